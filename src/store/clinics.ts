/** Founding a clinic: the one thing that cannot happen inside a clinic's scope (R12). */
import { v7 as uuidv7 } from 'uuid';
import type { Role } from '../domain/words.ts';
import type { Store } from './open.ts';
import { installStartingCatalogue } from './startingCatalogue.ts';

export interface NewClinic {
  readonly name: string;
  /** Two to four capital letters, before every order number of the clinic. */
  readonly numberPrefix: string;
  /** IANA name. */
  readonly timeZone: string;
  readonly paper: 'A4' | 'Letter';
}

export interface NewPerson {
  readonly email: string;
  readonly printedName: string;
  /** argon2id, from access/passwords.ts. */
  readonly passwordHash: string;
  readonly roles: readonly Role[];
}

/** Starting values that a clinic can change: common practice, no source; retention 42 CFR 424.516(f). */
const STARTING_VALUES = {
  alignmentToleranceDeg: 1,
  alignmentToleranceMm: 3,
  releaserMayBeSoleWorker: false,
  retentionYears: 7,
  firstRecheckDays: 14,
};

export interface FoundedClinic {
  readonly clinicId: string;
  /** In the order given. */
  readonly personIds: readonly string[];
}

/** Writes a clinic and its first people, as the database's owner: for start-up, the demo and tests. */
export async function foundClinic(
  store: Store,
  clinic: NewClinic,
  people: readonly NewPerson[],
  at: Date,
): Promise<FoundedClinic> {
  const clinicId = uuidv7({ msecs: at.getTime() });
  const persons = people.map((person) => ({
    ...person,
    id: uuidv7({ msecs: at.getTime() }),
    email: person.email.toLowerCase(),
  }));
  await store.prisma.$transaction(async (tx) => {
    await tx.clinic.create({
      data: { id: clinicId, ...clinic, ...STARTING_VALUES, createdAt: at },
    });
    await tx.person.createMany({
      data: persons.map(({ id, email, printedName, passwordHash }) => ({
        clinicId,
        id,
        email,
        printedName,
        passwordHash,
        createdAt: at,
      })),
    });
    await tx.roleGrant.createMany({
      data: persons.flatMap(({ id, roles }) =>
        roles.map((role) => ({
          clinicId,
          id: uuidv7({ msecs: at.getTime() }),
          personId: id,
          role,
          grantedAt: at,
        })),
      ),
    });
    await installStartingCatalogue(tx, clinicId, at);
  });
  return { clinicId, personIds: persons.map(({ id }) => id) };
}

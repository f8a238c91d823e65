/** Founding a clinic: the one thing that cannot happen inside a clinic's scope (R12). */
import { v7 as uuidv7 } from 'uuid';
import { LOCK_MINUTES, PIN_HOURS } from '../domain/benchPin.ts';
import { STARTING_VOLUME_SETTINGS } from '../domain/limbVolume.ts';
import {
  STARTING_AT_RISK_BELOW,
  STARTING_STAGE_DAYS,
  STARTING_WANTED_CHANCE,
} from '../domain/promise.ts';
import { STARTING_RESIN_SETTINGS } from '../domain/resin.ts';
import { STARTING_SHELF_SETTINGS } from '../domain/stockUse.ts';
import type { Role } from '../domain/words.ts';
import { giveCode } from './accessCodes.ts';
import { againstTimeZone } from './clinic.ts';
import type { Store } from './open.ts';
import { refuseIfAny } from './refused.ts';
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
  /** How the person signs in: argon2id of a password (the demo, tests), or of a one-time code for a first one. */
  readonly passwordHash?: string;
  readonly codeHash?: string;
  readonly roles: readonly Role[];
}

/** Starting values that a clinic can change: common practice, no source; retention 42 CFR 424.516(f). */
const STARTING_VALUES = {
  alignmentToleranceDeg: 1,
  alignmentToleranceMm: 3,
  releaserMayBeSoleWorker: false,
  retentionYears: 7,
  firstRecheckDays: 14,
  plyMeans: STARTING_VOLUME_SETTINGS.ply.means,
  perPly: STARTING_VOLUME_SETTINGS.ply.perPly,
  volumeLimitPercent: STARTING_VOLUME_SETTINGS.limitPercent,
  bagLossG: STARTING_RESIN_SETTINGS.bagLossG,
  resinMarginPercent: STARTING_RESIN_SETTINGS.marginPercent,
  scaleResolutionG: STARTING_RESIN_SETTINGS.scaleResolutionG,
  reorderWindowDays: STARTING_SHELF_SETTINGS.windowDays,
  reorderLeadDays: STARTING_SHELF_SETTINGS.leadDays,
  reorderCoverDays: STARTING_SHELF_SETTINGS.coverDays,
  wantedChance: STARTING_WANTED_CHANCE,
  atRiskBelow: STARTING_AT_RISK_BELOW,
  usualCastingDays: STARTING_STAGE_DAYS.casting,
  usualCheckFittingDays: STARTING_STAGE_DAYS.check_fitting,
  usualLaminationDays: STARTING_STAGE_DAYS.lamination,
  usualDeliveryDays: STARTING_STAGE_DAYS.delivery,
  figuresByPerson: false,
  secondFactorFor: 'nobody',
  benchLockMinutes: LOCK_MINUTES.starting,
  pinHours: PIN_HOURS.starting,
};

export interface FoundedClinic {
  readonly clinicId: string;
  /** In the order given. */
  readonly personIds: readonly string[];
}

/**
 * Writes a clinic and its first people, as the database's owner: for start-up, the demo and tests.
 * @throws Refused 'time-zone-unknown'
 */
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
    refuseIfAny(await againstTimeZone(tx, clinic.timeZone));
    await tx.clinic.create({
      data: { id: clinicId, ...clinic, ...STARTING_VALUES, createdAt: at },
    });
    await tx.person.createMany({
      data: persons.map(({ id, email, printedName, passwordHash }) => ({
        clinicId,
        id,
        email,
        printedName,
        passwordHash: passwordHash ?? null,
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
    for (const { id: personId, codeHash } of persons) {
      if (codeHash === undefined) continue;
      const purpose = 'invitation' as const;
      await giveCode(tx, { clinicId, personId, purpose, codeHash, at, givenById: null });
    }
    await installStartingCatalogue(tx, clinicId, at);
  });
  return { clinicId, personIds: persons.map(({ id }) => id) };
}

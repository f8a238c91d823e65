/** Statements on the people of a clinic, their roles and their sign-in names. */
import { v7 as uuidv7 } from 'uuid';
import { z } from 'zod';
import { Prisma } from '../generated/prisma/client.ts';
import { ROLES, type Role } from '../domain/words.ts';
import type { Act, Tx } from './act.ts';
import { isUniqueClash } from './failures.ts';
import { parseFirst, parseRows } from './rows.ts';

export interface PersonRow {
  readonly id: string;
  readonly email: string;
  readonly printedName: string;
  readonly active: boolean;
  readonly version: number;
  readonly roles: readonly Role[];
  /** False until a first one is set, and from a reset to the next. */
  readonly passwordSet: boolean;
  /** When the open one-time code ends, or ended, by itself; null where there is none. */
  readonly codeExpiresAt: Date | null;
  /** Whether a second factor is asked of them when they sign in. */
  readonly secondFactor: boolean;
}

const personRow = z.object({
  id: z.string(),
  email: z.string(),
  printedName: z.string(),
  active: z.boolean(),
  version: z.int(),
  roles: z.array(z.enum(ROLES)),
  passwordSet: z.boolean(),
  codeExpiresAt: z.date().nullable(),
  secondFactor: z.boolean(),
});

/** What is read of a person `p`. */
const PERSON = Prisma.sql`p.id, p.email, p.printed_name as "printedName", p.active, p.version,
  array(select g.role from role_grant g
    where g.clinic_id = p.clinic_id and g.person_id = p.id and g.ended_at is null order by g.role) as roles,
  p.password_hash is not null as "passwordSet",
  (select a.expires_at from access_code a
    where a.clinic_id = p.clinic_id and a.person_id = p.id and a.ended_at is null) as "codeExpiresAt",
  exists (select 1 from second_factor f
    where f.clinic_id = p.clinic_id and f.person_id = p.id and f.ended_at is null and f.confirmed_at is not null) as "secondFactor"`;

/** By printed name, then id; `limit` rows after the key. */
export async function peoplePage(
  tx: Tx,
  clinicId: string,
  after: { printedName: string; id: string } | undefined,
  limit: number,
): Promise<PersonRow[]> {
  const rows = await tx.$queryRaw`
    select ${PERSON}
    from person p
    where p.clinic_id = ${clinicId}::uuid
      and (${after?.id ?? null}::uuid is null
        or (p.printed_name, p.id) > (${after?.printedName ?? ''}, ${after?.id ?? null}::uuid))
    order by p.printed_name, p.id
    limit ${limit}`;
  return z.array(personRow).parse(rows);
}

export async function personById(
  tx: Tx,
  clinicId: string,
  id: string,
): Promise<PersonRow | undefined> {
  const rows = await tx.$queryRaw`
    select ${PERSON}
    from person p where p.clinic_id = ${clinicId}::uuid and p.id = ${id}::uuid`;
  return z.array(personRow).parse(rows)[0];
}

/** Holds the person's row until the transaction ends. */
export const lockPerson = (tx: Tx, clinicId: string, id: string): Promise<unknown> =>
  tx.$queryRaw`select 1 as held from person where clinic_id = ${clinicId}::uuid and id = ${id}::uuid for no key update`;

/**
 * The clinic's active administrators, held until the transaction ends: two who take each
 * other's role at the same moment wait for one another.
 */
export async function lockAdministrators(tx: Tx, clinicId: string): Promise<string[]> {
  const rows = await tx.$queryRaw`
    select p.id from person p
      join role_grant g on g.clinic_id = p.clinic_id and g.person_id = p.id
    where p.clinic_id = ${clinicId}::uuid and p.active and g.role = 'administrator' and g.ended_at is null
    order by p.id for no key update`;
  return z
    .array(z.object({ id: z.string() }))
    .parse(rows)
    .map(({ id }) => id);
}

/** @returns the new person's id; undefined where the address is taken, in whatever clinic */
export async function addPerson(
  act: Act,
  person: {
    email: string;
    printedName: string;
    passwordHash: string | null;
    roles: readonly Role[];
  },
): Promise<string | undefined> {
  const id = uuidv7();
  const { email, printedName, passwordHash } = person;
  try {
    await act.tx.person.create({
      data: { clinicId: act.clinicId, id, email, printedName, passwordHash, createdAt: act.at },
      select: { id: true },
    });
  } catch (failure) {
    if (isUniqueClash(failure, 'email')) return undefined;
    throw failure;
  }
  await grantRoles(act, id, person.roles);
  return id;
}

export async function grantRoles(
  act: Act,
  personId: string,
  roles: readonly Role[],
): Promise<void> {
  await act.tx.roleGrant.createMany({
    data: roles.map((role) => ({
      clinicId: act.clinicId,
      id: uuidv7(),
      personId,
      role,
      grantedAt: act.at,
      grantedById: act.by.personId,
    })),
  });
}

export async function endRoles(act: Act, personId: string, roles: readonly Role[]): Promise<void> {
  await act.tx.roleGrant.updateMany({
    where: { clinicId: act.clinicId, personId, role: { in: [...roles] }, endedAt: null },
    data: { endedAt: act.at, endedById: act.by.personId },
  });
}

/** Writes what an administrator may change, and counts the version up. */
export async function changePerson(
  act: Act,
  id: string,
  to: { printedName: string; active: boolean },
): Promise<void> {
  await act.tx.person.update({
    where: { clinicId_id: { clinicId: act.clinicId, id } },
    data: { ...to, version: { increment: 1 } },
    select: { id: true },
  });
}

/** Sets a new password, or ends the present one, and ends any lock. */
export async function setPassword(
  act: Pick<Act, 'tx' | 'clinicId'>,
  id: string,
  passwordHash: string | null,
): Promise<number> {
  const { count } = await act.tx.person.updateMany({
    where: { clinicId: act.clinicId, id },
    data: { passwordHash, failedSignIns: 0, lockedUntil: null, version: { increment: 1 } },
  });
  return count;
}

/** Names and addresses that somebody would try first as a password of this person. */
export async function expectedOf(tx: Tx, clinicId: string, id: string): Promise<string[]> {
  const rows = await tx.$queryRaw`
    select array[p.email, p.printed_name, c.name] as said
    from person p join clinic c on c.id = p.clinic_id
    where p.clinic_id = ${clinicId}::uuid and p.id = ${id}::uuid`;
  return parseFirst(z.object({ said: z.array(z.string()) }), rows)?.said ?? [];
}

const BenchPersonRow = z.object({ id: z.string(), printedName: z.string() });

/** Active technicians and prosthetists of the clinic, by name. */
export const benchPeople = async ({
  tx,
  clinicId,
}: Act): Promise<z.infer<typeof BenchPersonRow>[]> =>
  parseRows(
    BenchPersonRow,
    await tx.$queryRaw`
      select p.id, p.printed_name as "printedName" from person p
      where p.clinic_id = ${clinicId}::uuid and p.active and exists (
        select 1 from role_grant g where g.clinic_id = p.clinic_id and g.person_id = p.id
          and g.role in ('technician', 'prosthetist') and g.ended_at is null)
      order by p.printed_name, p.id`,
  );

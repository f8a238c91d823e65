/** Statements on one-time codes. */
import { v7 as uuidv7 } from 'uuid';
import { z } from 'zod';
import { CODE_LASTS_HOURS, MOST_CODE_TRIES } from '../domain/oneTimeCodes.ts';
import { CODE_PURPOSES, type CodeEnd, type CodePurpose } from '../domain/words.ts';
import type { Tx } from './act.ts';
import { parseFirst } from './rows.ts';

export interface NewCode {
  readonly clinicId: string;
  readonly personId: string;
  readonly purpose: CodePurpose;
  readonly codeHash: string;
  readonly at: Date;
  /** Null where the database's owner gives it. */
  readonly givenById: string | null;
}

export const codeExpiresAt = (at: Date): Date =>
  new Date(at.getTime() + CODE_LASTS_HOURS * 3_600_000);

/** Ends the code that is open, and keeps the new one. @returns when that expires */
export async function giveCode(tx: Tx, { at, ...code }: NewCode): Promise<Date> {
  await endOpenCode(tx, code.clinicId, code.personId, 'replaced', at);
  const expiresAt = codeExpiresAt(at);
  await tx.accessCode.create({
    data: { id: uuidv7(), ...code, givenAt: at, expiresAt },
    select: { id: true },
  });
  return expiresAt;
}

/** Ends a person's code, if one is open. */
export async function endOpenCode(
  tx: Tx,
  clinicId: string,
  personId: string,
  endedBecause: CodeEnd,
  at: Date,
): Promise<void> {
  await tx.accessCode.updateMany({
    where: { clinicId, personId, endedAt: null },
    data: { endedAt: at, endedBecause },
  });
}

const tried = z.object({
  id: z.string(),
  purpose: z.enum(CODE_PURPOSES),
  codeHash: z.string(),
  tries: z.int(),
  active: z.boolean(),
  printedName: z.string(),
  email: z.string(),
  clinicName: z.string(),
});
export type TriedCode = z.infer<typeof tried>;

/**
 * Counts a try at a person's code, before it is looked at: of many at once no more are
 * looked at than may be.
 * @returns undefined where no code counts: none is open, its time is over, its tries are used up
 */
export async function countCodeTry(
  tx: Tx,
  clinicId: string,
  personId: string,
  at: Date,
): Promise<TriedCode | undefined> {
  const rows = await tx.$queryRaw`
    update access_code a set tries = a.tries + 1
    from person p join clinic c on c.id = p.clinic_id
    where a.clinic_id = ${clinicId}::uuid and a.person_id = ${personId}::uuid and a.ended_at is null
      and a.expires_at > ${at} and a.tries < ${MOST_CODE_TRIES}
      and p.clinic_id = a.clinic_id and p.id = a.person_id
    returning a.id, a.purpose, a.code_hash as "codeHash", a.tries, p.active,
      p.printed_name as "printedName", p.email, c.name as "clinicName"`;
  return parseFirst(tried, rows);
}

/** Ends a code after its last try was wrong. @returns 0 where it had ended before */
export const endGuessedCode = (tx: Tx, clinicId: string, id: string, at: Date): Promise<number> =>
  tx.$executeRaw`
    update access_code set ended_at = ${at}, ended_because = 'guessed'
    where clinic_id = ${clinicId}::uuid and id = ${id}::uuid and ended_at is null and tries >= ${MOST_CODE_TRIES}`;

/**
 * Uses a code up and sets the password, if the code still counts and the person works here.
 * The condition is in the write, so of two that use it at once one does.
 * @returns 0 where it no longer counts; nothing is written then
 */
export const setPasswordByCode = (
  tx: Tx,
  { clinicId, personId, codeId }: { clinicId: string; personId: string; codeId: string },
  passwordHash: string,
  at: Date,
): Promise<number> => tx.$executeRaw`
  with spent as (
    update access_code a set ended_at = ${at}, ended_because = 'used'
    from person w where a.clinic_id = ${clinicId}::uuid and a.id = ${codeId}::uuid and a.person_id = ${personId}::uuid
      and a.ended_at is null and a.expires_at > ${at}
      and w.clinic_id = a.clinic_id and w.id = a.person_id and w.active
    returning a.clinic_id, a.person_id)
  update person p set password_hash = ${passwordHash}, failed_sign_ins = 0, locked_until = null, version = p.version + 1
  from spent s where p.clinic_id = s.clinic_id and p.id = s.person_id`;

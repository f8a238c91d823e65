/** Statements of signing in: names, failures, refresh tokens. */
import { v7 as uuidv7 } from 'uuid';
import { z } from 'zod';
import type { Tx } from './act.ts';

/** No clinic and no person has it: for a name that nobody has, the same statements run and find nothing. */
export const NOBODY = '00000000-0000-0000-0000-000000000000';

const candidate = z.object({ clinicId: z.string(), personId: z.string() });

/**
 * Who has an e-mail address, in whatever clinic; then sets the transaction's scope to that
 * clinic. The transaction must have been opened in the scope of `NOBODY`.
 */
export async function enterClinicOf(
  tx: Tx,
  email: string,
): Promise<{ clinicId: string; personId: string }> {
  const rows = await tx.$queryRaw`
    select clinic_id as "clinicId", person_id as "personId" from sign_in_candidate(${email})`;
  const found = z.array(candidate).parse(rows)[0] ?? { clinicId: NOBODY, personId: NOBODY };
  await tx.$queryRaw`select set_config('app.clinic', ${found.clinicId}, true)`;
  return found;
}

const nameRow = z.object({
  printedName: z.string(),
  /** Null where the person has set none yet. */
  passwordHash: z.string().nullable(),
  active: z.boolean(),
  failedSignIns: z.int(),
  lockedUntil: z.date().nullable(),
});
export type SignInName = z.infer<typeof nameRow>;

/** What a sign-in is checked against, held until the transaction ends, so that attempts count one by one. */
export async function lockSignInName(
  tx: Tx,
  clinicId: string,
  personId: string,
): Promise<SignInName | undefined> {
  const rows = await tx.$queryRaw`
    select printed_name as "printedName", password_hash as "passwordHash", active, failed_sign_ins as "failedSignIns", locked_until as "lockedUntil"
    from person where clinic_id = ${clinicId}::uuid and id = ${personId}::uuid for no key update`;
  return z.array(nameRow).parse(rows)[0];
}

export const writeFailures = (
  tx: Tx,
  clinicId: string,
  personId: string,
  failures: number,
  lockedUntil: Date | null,
): Promise<number> => tx.$executeRaw`
  update person set failed_sign_ins = ${failures}, locked_until = ${lockedUntil}
  where clinic_id = ${clinicId}::uuid and id = ${personId}::uuid`;

/**
 * Takes one counted failure back, and the lock that came with it: the password was right, and
 * more is asked. Whatever else was counted meanwhile stays.
 * @param lockedUntil the lock that the attempt set; null where it set none
 */
export const takeFailureBack = (
  tx: Tx,
  clinicId: string,
  personId: string,
  lockedUntil: Date | null,
): Promise<number> => tx.$executeRaw`
  update person set failed_sign_ins = greatest(failed_sign_ins - 1, 0),
    locked_until = case when locked_until = ${lockedUntil}::timestamptz then null else locked_until end
  where clinic_id = ${clinicId}::uuid and id = ${personId}::uuid`;

/**
 * Ends the count of failures; keeps a hash made with raised parameters where one is given.
 * @param provenHash the hash that the password was checked against
 * @returns 0 where the password has been changed or the person deactivated meanwhile
 */
export const writeSuccess = (
  tx: Tx,
  clinicId: string,
  personId: string,
  provenHash: string,
  betterHash: string | null,
): Promise<number> => tx.$executeRaw`
  update person set failed_sign_ins = 0, locked_until = null, password_hash = coalesce(${betterHash}, password_hash)
  where clinic_id = ${clinicId}::uuid and id = ${personId}::uuid and active and password_hash = ${provenHash}`;

export interface NewRefreshToken {
  readonly clinicId: string;
  readonly personId: string;
  readonly familyId: string;
  /** The token that was shown for it; null for the first of a sign-in. */
  readonly cameFromId: string | null;
  readonly tokenSha256: string;
  readonly issuedAt: Date;
  readonly expiresAt: Date;
}

export async function writeRefreshToken(tx: Tx, token: NewRefreshToken): Promise<void> {
  await tx.refreshToken.create({ data: { id: uuidv7(), ...token }, select: { id: true } });
}

const spent = z.object({
  id: z.string(),
  personId: z.string(),
  familyId: z.string(),
});

/**
 * Uses a refresh token up, if it still counts. The condition is in the write, so of two
 * that show the same token one wins.
 */
export async function spendRefreshToken(
  tx: Tx,
  clinicId: string,
  tokenSha256: string,
  at: Date,
): Promise<z.infer<typeof spent> | undefined> {
  const rows = await tx.$queryRaw`
    update refresh_token t set used_at = ${at}
    where t.clinic_id = ${clinicId}::uuid and t.token_sha256 = ${tokenSha256}
      and t.used_at is null and t.revoked_at is null and t.expires_at > ${at}
    returning t.id, t.person_id as "personId", t.family_id as "familyId"`;
  return z.array(spent).parse(rows)[0];
}

/**
 * Takes a token that was used a moment ago once more, where its answer was lost: nobody has
 * used the token that it gave, which from now on counts as used. Both can be shown again
 * by nobody: whoever does so ends the family.
 * @param since uses before this are no longer forgiven
 * @returns undefined where the token is not forgiven
 */
export async function forgiveUsedToken(
  tx: Tx,
  clinicId: string,
  tokenSha256: string,
  since: Date,
  at: Date,
): Promise<z.infer<typeof spent> | undefined> {
  const rows = await tx.$queryRaw`
    with shown as (
      update refresh_token t set shown_again_at = ${at}
      where t.clinic_id = ${clinicId}::uuid and t.token_sha256 = ${tokenSha256} and t.used_at >= ${since}
        and t.shown_again_at is null and t.revoked_at is null and t.expires_at > ${at}
        and exists (select 1 from refresh_token g where g.clinic_id = t.clinic_id and g.came_from_id = t.id
          and g.used_at is null and g.revoked_at is null)
      returning t.clinic_id, t.id, t.person_id, t.family_id),
    given as (
      update refresh_token g set used_at = ${at}, shown_again_at = ${at}
      from shown s where g.clinic_id = s.clinic_id and g.came_from_id = s.id
        and g.used_at is null and g.revoked_at is null)
    select s.id, s.person_id as "personId", s.family_id as "familyId" from shown s`;
  return z.array(spent).parse(rows)[0];
}

/** The family of a token that has been used before; undefined where it is no such token. */
export async function familyOfUsedToken(
  tx: Tx,
  clinicId: string,
  tokenSha256: string,
): Promise<{ personId: string; familyId: string } | undefined> {
  const token = await tx.refreshToken.findUnique({
    where: { clinicId_tokenSha256: { clinicId, tokenSha256 } },
    select: { personId: true, familyId: true, usedAt: true },
  });
  return token?.usedAt ? token : undefined;
}

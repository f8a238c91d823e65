/** Statements of the organisation's sign-in: the provider of a clinic, and the ways to it and back. */
import { v7 as uuidv7 } from 'uuid';
import { z } from 'zod';
import type { Act, Tx } from './act.ts';
import type { Cell, ColumnCipher } from './columnCipher.ts';
import { parseFirst } from './rows.ts';
import { NOBODY } from './signIns.ts';

const ProviderRow = z.object({
  id: z.string(),
  issuer: z.string(),
  clientId: z.string(),
  /** Encrypted; `clientSecretOf` opens it. */
  keptSecret: z.string(),
  buttonName: z.string(),
  active: z.boolean(),
  version: z.int(),
});
export type ProviderRow = z.infer<typeof ProviderRow>;

/** The clinic's provider, whether in use or not; undefined where none was ever entered. */
export async function providerOf(tx: Tx, clinicId: string): Promise<ProviderRow | undefined> {
  return parseFirst(
    ProviderRow,
    await tx.$queryRaw`
      select id, issuer, client_id as "clientId", client_secret as "keptSecret",
        button_name as "buttonName", active, version
      from openid_provider where clinic_id = ${clinicId}::uuid`,
  );
}

/** @throws Refused 'column-key-missing', 'column-value-broken' */
export const clientSecretOf = (
  cipher: ColumnCipher,
  clinicId: string,
  { id, keptSecret }: ProviderRow,
): string => cipher.decryptFor(secretCell(clinicId, id), keptSecret);

const secretCell = (clinicId: string, rowId: string): Cell => ({
  table: 'openid_provider',
  column: 'client_secret',
  clinicId,
  rowId,
});

/** As `providerOf`, and whoever changes it waits until the transaction ends. */
export async function holdProvider(act: Act): Promise<ProviderRow | undefined> {
  await act.tx.$queryRaw`select 1 from clinic where id = ${act.clinicId}::uuid for no key update`;
  return providerOf(act.tx, act.clinicId);
}

export type ProviderValues = Omit<ProviderRow, 'id' | 'version' | 'keptSecret'>;

/**
 * Enters the clinic's provider, or writes the next version of it; the caller holds it.
 * @param clientSecret the one that is there stays where it is left out; the first needs one
 */
export async function writeProvider(
  act: Act,
  before: ProviderRow | undefined,
  values: ProviderValues,
  clientSecret: string | undefined,
): Promise<void> {
  const { clinicId } = act;
  const id = before?.id ?? uuidv7();
  const kept =
    clientSecret === undefined
      ? (before?.keptSecret ?? '')
      : act.cipher.encryptFor(secretCell(clinicId, id), clientSecret);
  const changed = {
    ...values,
    clientSecret: kept,
    changedAt: act.at,
    changedById: act.by.personId,
  };
  if (before === undefined) {
    await act.tx.openIdProvider.create({
      data: { clinicId, id, version: 1, ...changed },
      select: { id: true },
    });
    return;
  }
  await act.tx.openIdProvider.update({
    where: { clinicId_id: { clinicId, id } },
    data: { ...changed, version: { increment: 1 } },
    select: { id: true },
  });
}

/**
 * The clinic behind a sign-in link; then sets the transaction's scope to it. The transaction
 * must have been opened in the scope of `NOBODY`.
 * @returns undefined where nobody signs in by an organisation there
 */
export async function enterClinicOfLink(tx: Tx, prefix: string): Promise<string | undefined> {
  const rows = await tx.$queryRaw`select openid_clinic(${prefix}) as "clinicId"`;
  const found = parseFirst(z.object({ clinicId: z.string().nullable() }), rows)?.clinicId;
  await tx.$queryRaw`select set_config('app.clinic', ${found ?? NOBODY}, true)`;
  return found ?? undefined;
}

export type Purpose = 'sign_in' | 'link' | 'sign';

export interface NewAttempt {
  readonly clinicId: string;
  readonly purpose: Purpose;
  readonly stateSha256: string;
  readonly browserSha256: string;
  readonly issuer: string;
  readonly providerVersion: number;
  /** What the way back needs. */
  readonly kept: string;
  /** Who is signed in already; null where the purpose is to sign in. */
  readonly personId: string | null;
  readonly familyId: string | null;
  readonly begunAt: Date;
  readonly expiresAt: Date;
}

export async function writeAttempt(
  tx: Tx,
  cipher: ColumnCipher,
  attempt: NewAttempt,
): Promise<void> {
  const id = uuidv7();
  const kept = cipher.encryptFor(keptCell(attempt.clinicId, id), attempt.kept);
  await tx.openIdAttempt.create({ data: { ...attempt, id, kept }, select: { id: true } });
}

const keptCell = (clinicId: string, rowId: string): Cell => ({
  table: 'openid_attempt',
  column: 'kept',
  clinicId,
  rowId,
});

const UsedRow = z.object({
  id: z.string(),
  providerVersion: z.int(),
  kept: z.string(),
  begunAt: z.date(),
});
export type UsedAttempt = z.infer<typeof UsedRow>;

/** Whose attempt it must be. */
export interface AttemptOf {
  readonly purpose: Purpose;
  readonly stateSha256: string;
  readonly browserSha256: string;
  readonly personId: string | null;
  readonly familyId: string | null;
}

/**
 * Uses an attempt up and takes its secrets out of the record, if it is of this browser and
 * purpose and still good. The condition is in the write, so of two who show it one wins.
 */
export async function useAttempt(
  tx: Tx,
  cipher: ColumnCipher,
  clinicId: string,
  of: AttemptOf,
  at: Date,
): Promise<UsedAttempt | undefined> {
  const used = parseFirst(
    UsedRow,
    await tx.$queryRaw`
      with meant as (
        select clinic_id, id, kept from openid_attempt
        where clinic_id = ${clinicId}::uuid and state_sha256 = ${of.stateSha256}
          and browser_sha256 = ${of.browserSha256} and purpose = ${of.purpose}
          and person_id is not distinct from ${of.personId}::uuid
          and family_id is not distinct from ${of.familyId}::uuid
          and used_at is null and expires_at > ${at}
        for update)
      update openid_attempt a set used_at = ${at}, kept = null
      from meant m where a.clinic_id = m.clinic_id and a.id = m.id and a.used_at is null
      returning a.id, a.provider_version as "providerVersion", m.kept, a.begun_at as "begunAt"`,
  );
  if (used === undefined) return undefined;
  return { ...used, kept: cipher.decryptFor(keptCell(clinicId, used.id), used.kept) };
}

export const writeProof = (act: Act, id: string, until: Date): Promise<number> =>
  act.tx.$executeRaw`
    update openid_attempt set proven_at = ${act.at}, proven_until = ${until}
    where clinic_id = ${act.clinicId}::uuid and id = ${id}::uuid and proven_at is null`;

/**
 * Spends a proof of this person, in this sign-in and browser, if it still counts: once, and
 * only while the link that it came by stands.
 * @returns the printed name of who proved it; undefined where it does not count
 */
export async function spendProof(
  tx: Tx,
  clinicId: string,
  proof: { id: string; browserSha256: string; personId: string; familyId: string },
  at: Date,
): Promise<string | undefined> {
  const rows = await tx.$queryRaw`
    update openid_attempt a set spent_at = ${at}
    from person p, openid_link l
    where a.clinic_id = ${clinicId}::uuid and a.id = ${proof.id}::uuid and a.browser_sha256 = ${proof.browserSha256}
      and a.person_id = ${proof.personId}::uuid and a.family_id = ${proof.familyId}::uuid
      and a.spent_at is null and a.proven_until > ${at}
      and p.clinic_id = a.clinic_id and p.id = a.person_id and p.active
      and l.clinic_id = a.clinic_id and l.person_id = a.person_id and l.issuer = a.issuer
      and l.subject is not null and l.ended_at is null
    returning p.printed_name as "printedName"`;
  return parseFirst(z.object({ printedName: z.string() }), rows)?.printedName;
}

/** Signed heads of the record and the keys that sign them (R11). */
import { z } from 'zod';
import {
  HEAD_CAUSES,
  HEAD_PURPOSE,
  KEY_ENTRIES,
  KEY_PURPOSE,
  type SignedHead,
  type SigningKey,
} from '../domain/signedHeads.ts';
import { Prisma } from '../generated/prisma/client.ts';
import { inClinic } from './act.ts';
import type { Store } from './open.ts';
import { parseFirst, parseRows } from './rows.ts';
import { NOBODY } from './signIns.ts';
import type { Tx } from './tx.ts';

/** Clinics whose head of their day is not signed yet, at a time. */
export const clinicsWithoutHead = (store: Store, at: Date): Promise<string[]> =>
  inClinic(store, NOBODY, async (tx) =>
    parseRows(
      z.object({ clinicId: z.string() }),
      await tx.$queryRaw`select clinic_id as "clinicId" from clinics_without_head(${at}::timestamptz)`,
    ).map(({ clinicId }) => clinicId),
  );

/** One signer of a clinic's heads at a time, until the transaction ends; writers of events do not wait. */
export const holdSigning = async (tx: Tx, clinicId: string): Promise<void> => {
  await tx.$queryRaw`select pg_advisory_xact_lock(hashtextextended(${`castbook head ${clinicId}`}, 0))::text`;
};

const PointRow = z.object({ seq: z.coerce.number(), chainSha256: z.string() });

/** Where the chain stands; undefined before the first event. */
export const newestEvent = async (
  tx: Tx,
  clinicId: string,
): Promise<z.infer<typeof PointRow> | undefined> =>
  parseFirst(
    PointRow,
    await tx.$queryRaw`select seq, chain_sha256 as "chainSha256" from event_head where clinic_id = ${clinicId}::uuid`,
  );

/** The chain value of an event; undefined where it is not there. */
export const chainValueAt = async (
  tx: Tx,
  clinicId: string,
  seq: number,
): Promise<string | undefined> =>
  parseFirst(
    z.object({ chainSha256: z.string() }),
    await tx.$queryRaw`select chain_sha256 as "chainSha256" from event where clinic_id = ${clinicId}::uuid and seq = ${seq}::bigint`,
  )?.chainSha256;

const HeadStatementJson = z.object({
  purpose: z.literal(HEAD_PURPOSE),
  clinicId: z.string(),
  number: z.int(),
  treeSize: z.int(),
  rootSha256: z.string(),
  chainSha256: z.string(),
  signedAt: z.string(),
  day: z.string(),
  cause: z.enum(HEAD_CAUSES),
  keyId: z.string(),
  previousHeadSha256: z.string().nullable(),
});
const KeyStatementJson = z.object({
  purpose: z.literal(KEY_PURPOSE),
  clinicId: z.string(),
  number: z.int(),
  keyId: z.string(),
  publicKey: z.string(),
  validFrom: z.string(),
  afterHead: z.int(),
  entry: z.enum(KEY_ENTRIES),
  previousKeyId: z.string().nullable(),
});

const HeadRow = z
  .object({
    statement: z.string(),
    signature: z.string(),
    headSha256: z.string(),
    askedBy: z.string().nullable(),
  })
  .transform(({ statement, ...row }) => ({
    ...row,
    statementText: statement,
    statement: HeadStatementJson.parse(JSON.parse(statement)),
  }));
/** A head as it is kept: what was signed, and the hash that the next one names. */
export type HeadKept = z.output<typeof HeadRow>;

const KeyRow = z
  .object({
    statement: z.string(),
    ownSignature: z.string(),
    previousSignature: z.string().nullable(),
  })
  .transform(({ statement, ...row }) => ({
    ...row,
    statement: KeyStatementJson.parse(JSON.parse(statement)),
  }));

const HEADS = Prisma.sql`
  select h.statement, h.signature, h.head_sha256 as "headSha256", p.printed_name as "askedBy"
  from signed_head h left join person p on p.clinic_id = h.clinic_id and p.id = h.asked_by_id`;

/** Heads before a number, the newest first. */
export const headsBefore = async (
  tx: Tx,
  clinicId: string,
  before: number | null,
  limit: number,
): Promise<HeadKept[]> =>
  parseRows(
    HeadRow,
    await tx.$queryRaw`${HEADS}
      where h.clinic_id = ${clinicId}::uuid and (${before}::int is null or h.number < ${before}::int)
      order by h.number desc limit ${limit}::int`,
  );

export const headByNumber = async (
  tx: Tx,
  clinicId: string,
  number: number,
): Promise<HeadKept | undefined> => {
  const [head] = parseRows(
    HeadRow,
    await tx.$queryRaw`${HEADS} where h.clinic_id = ${clinicId}::uuid and h.number = ${number}::int`,
  );
  return head;
};

export const newestHead = async (tx: Tx, clinicId: string): Promise<HeadKept | undefined> =>
  (await headsBefore(tx, clinicId, null, 1))[0];

/** Heads after a number, in their order, that cover no event after `upToEvent`. */
export const headsAfter = async (
  tx: Tx,
  clinicId: string,
  { after, upToEvent, limit }: { after: number; upToEvent: number; limit: number },
): Promise<HeadKept[]> =>
  parseRows(
    HeadRow,
    await tx.$queryRaw`
      select statement, signature, head_sha256 as "headSha256", null as "askedBy" from signed_head
      where clinic_id = ${clinicId}::uuid and number > ${after}::int and tree_size <= ${upToEvent}::bigint
      order by number limit ${limit}::int`,
  );

/** How many events the newest head covers among those that cover none after `upToEvent`; 0 where there is none. */
export const newestSizeWithin = async (
  tx: Tx,
  clinicId: string,
  upToEvent: number,
): Promise<number> =>
  parseFirst(
    z.object({ size: z.coerce.number() }),
    await tx.$queryRaw`
      select coalesce(max(tree_size), 0) as size from signed_head
      where clinic_id = ${clinicId}::uuid and tree_size <= ${upToEvent}::bigint`,
  )?.size ?? 0;

/** Whether the daily head of a day (or a later one) is signed. */
export const isDaySigned = async (tx: Tx, clinicId: string, day: string): Promise<boolean> => {
  const rows: unknown[] = await tx.$queryRaw`
    select 1 from signed_head where clinic_id = ${clinicId}::uuid and cause = 'daily' and day >= ${day}::date limit 1`;
  return rows.length > 0;
};

/** Keys in their order. */
export const signingKeys = async (tx: Tx, clinicId: string): Promise<SigningKey[]> =>
  parseRows(
    KeyRow,
    await tx.$queryRaw`
      select statement, own_signature as "ownSignature", previous_signature as "previousSignature"
      from signing_key where clinic_id = ${clinicId}::uuid order by number`,
  );

/** @throws Refused 'signed-head-unfit' */
export async function insertHead(
  tx: Tx,
  { statement, signature }: SignedHead,
  kept: { readonly text: string; readonly headSha256: string; readonly askedById: string | null },
): Promise<void> {
  await tx.$executeRaw`
    insert into signed_head (clinic_id, number, tree_size, root_sha256, chain_sha256, signed_at, day, cause, asked_by_id,
      key_id, previous_head_sha256, statement, signature, head_sha256)
    values (${statement.clinicId}::uuid, ${statement.number}::int, ${statement.treeSize}::bigint, ${statement.rootSha256},
      ${statement.chainSha256}, ${statement.signedAt}::timestamptz, ${statement.day}::date, ${statement.cause},
      ${kept.askedById}::uuid, ${statement.keyId}, ${statement.previousHeadSha256}, ${kept.text}, ${signature}, ${kept.headSha256})`;
}

/** @throws Refused 'signing-key-unfit' */
export async function insertKey(
  tx: Tx,
  { statement, ownSignature, previousSignature }: SigningKey,
  text: string,
): Promise<void> {
  await tx.$executeRaw`
    insert into signing_key (clinic_id, number, key_id, public_key, statement, own_signature, previous_signature, valid_from,
      after_head, entry, previous_key_id)
    values (${statement.clinicId}::uuid, ${statement.number}::int, ${statement.keyId}, ${statement.publicKey}, ${text},
      ${ownSignature}, ${previousSignature}, ${statement.validFrom}::timestamptz, ${statement.afterHead}::int,
      ${statement.entry}, ${statement.previousKeyId})`;
}

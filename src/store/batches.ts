import { z } from 'zod';
import type { Day } from '../domain/days.ts';
import { BATCH_KINDS, BATCH_UNITS, type BatchKind } from '../domain/words.ts';
import { v7 as uuidv7 } from 'uuid';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act, Tx } from './act.ts';
import { parseRows } from './rows.ts';

const BatchRow = z.object({
  id: z.string(),
  kind: z.enum(BATCH_KINDS),
  name: z.string(),
  lot: z.string(),
  receivedOn: z.string().transform((day) => day as Day),
  expiresOn: z
    .string()
    .transform((day) => day as Day)
    .nullable(),
  openedOn: z
    .string()
    .transform((day) => day as Day)
    .nullable(),
  quantity: z.number(),
  left: z.number(),
  unit: z.enum(BATCH_UNITS),
  quarantined: z.boolean(),
  quarantineReason: z.string().nullable(),
  resinProductId: z.string().nullable(),
  resinProduct: z.string().nullable(),
  fabricId: z.string().nullable(),
  fabric: z.string().nullable(),
  priceMinor: z.number().nullable(),
  version: z.number(),
});
/** A batch with what is left of it: what came less what was used. */
export type BatchRow = z.infer<typeof BatchRow>;

const SELECT = Prisma.sql`
  select b.id, b.kind, b.name, b.lot, b.received_on::text as "receivedOn", b.expires_on::text as "expiresOn",
    b.opened_on::text as "openedOn", b.quantity,
    b.quantity - coalesce((select sum(u.amount) from batch_use u
      where u.clinic_id = b.clinic_id and u.batch_id = b.id), 0) as left,
    b.unit, b.quarantined_at is not null as quarantined, b.quarantine_reason as "quarantineReason",
    b.resin_product_id as "resinProductId",
    (select r.name from resin_product r where r.clinic_id = b.clinic_id and r.id = b.resin_product_id) as "resinProduct",
    b.fabric_id as "fabricId",
    (select f.name from fabric f where f.clinic_id = b.clinic_id and f.id = b.fabric_id) as fabric,
    b.price_minor as "priceMinor", b.version
  from batch b`;

/**
 * The given batches of this clinic. With `lock` their rows are held, so that two
 * people drawing from one batch cannot both have the last of it.
 */
export async function loadBatches(
  tx: Tx,
  clinicId: string,
  ids: readonly string[],
  lock = false,
): Promise<BatchRow[]> {
  if (ids.length === 0) return [];
  if (lock) {
    await tx.$queryRaw`
      select 1 from batch where clinic_id = ${clinicId}::uuid and id = any(${ids}::uuid[]) order by id for no key update`;
  }
  return parseRows(
    BatchRow,
    await tx.$queryRaw`
      ${SELECT}
      where b.clinic_id = ${clinicId}::uuid and b.id = any(${ids}::uuid[])`,
  );
}

export interface BatchQuery {
  readonly kind: BatchKind | null;
  readonly lot: string | null;
  /** Only what may still be used on this day: not expired, not in quarantine, something left. */
  readonly usableOn: Day | null;
  readonly afterId: string | null;
  readonly take: number;
}

/** Batches, those entered last first. */
export async function listBatches(act: Act, query: BatchQuery): Promise<BatchRow[]> {
  const asked = [
    query.kind === null ? null : Prisma.sql`r.kind = ${query.kind}`,
    query.lot === null ? null : Prisma.sql`r.lot = ${query.lot}`,
    query.usableOn === null
      ? null
      : Prisma.sql`not r.quarantined and r.left > 0 and coalesce(r."expiresOn"::date >= ${query.usableOn}::date, true)`,
    query.afterId === null ? null : Prisma.sql`r.id < ${query.afterId}::uuid`,
    Prisma.sql`true`,
  ].filter((condition) => condition !== null);
  return parseRows(
    BatchRow,
    await act.tx.$queryRaw`
      select * from (${SELECT} where b.clinic_id = ${act.clinicId}::uuid) r
      where ${Prisma.join(asked, ' and ')} order by r.id desc limit ${query.take}::int`,
  );
}

/** What a batch was used for: an attempt at an operation, a torque confirmation, or the weighing of a cup. */
export type UsedFor =
  | UsedForOne<'operationRecordId'>
  | UsedForOne<'torqueConfirmationId'>
  | UsedForOne<'resinWeighingId'>;
type UsedForKey = 'operationRecordId' | 'torqueConfirmationId' | 'resinWeighingId';
type UsedForOne<K extends UsedForKey> = Readonly<
  Record<K, string> & Partial<Record<Exclude<UsedForKey, K>, undefined>>
>;

/** Writes how much of which batches went into a socket. `amount` is in the batch's unit; null where not asked. */
export async function writeBatchUses(
  act: Act,
  socketId: string,
  usedFor: UsedFor,
  uses: readonly { readonly batchId: string; readonly amount: number | null }[],
): Promise<void> {
  if (uses.length === 0) return;
  const rows = uses.map(({ batchId, amount }) => ({ id: uuidv7(), batch_id: batchId, amount }));
  await act.tx.$executeRaw`
    insert into batch_use (clinic_id, id, batch_id, socket_id, operation_record_id, torque_confirmation_id,
      resin_weighing_id, amount, used_at, used_by_id)
    select ${act.clinicId}::uuid, u.id, u.batch_id, ${socketId}::uuid, ${usedFor.operationRecordId ?? null}::uuid,
      ${usedFor.torqueConfirmationId ?? null}::uuid, ${usedFor.resinWeighingId ?? null}::uuid, u.amount, ${act.at}::timestamptz, ${act.by.personId}::uuid
    from jsonb_to_recordset(${JSON.stringify(rows)}::jsonb) as u(id uuid, batch_id uuid, amount float8)`;
}

export const USED_FOR = ['operation', 'torque', 'weighing'] as const;

const UseRow = z.object({
  id: z.string(),
  socketId: z.string(),
  socketNumber: z.string(),
  orderId: z.string(),
  amount: z.number().nullable(),
  usedFor: z.enum(USED_FOR),
  usedAt: z.date(),
  usedBy: z.string(),
});
export type BatchUseRow = z.infer<typeof UseRow>;

/** Every use of a batch: in which socket, how much, when and by whom; the newest first. */
export async function usesOfBatch(act: Act, batchId: string): Promise<BatchUseRow[]> {
  return parseRows(
    UseRow,
    await act.tx.$queryRaw`
      select u.id, s.id as "socketId", s.number as "socketNumber", s.order_id as "orderId", u.amount,
        case when u.resin_weighing_id is not null then 'weighing'
          when u.torque_confirmation_id is not null then 'torque' else 'operation' end as "usedFor",
        u.used_at as "usedAt", p.printed_name as "usedBy"
      from batch_use u
      join socket s on s.clinic_id = u.clinic_id and s.id = u.socket_id
      join person p on p.clinic_id = u.clinic_id and p.id = u.used_by_id
      where u.clinic_id = ${act.clinicId}::uuid and u.batch_id = ${batchId}::uuid
      order by u.id desc`,
  );
}

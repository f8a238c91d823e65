import { z } from 'zod';
import { OPERATION_KIND_NAMES, type Check } from '../domain/operations.ts';
import { BATCH_KINDS, OPERATION_STATES } from '../domain/words.ts';
import type { Tx } from './act.ts';
import { parseRows } from './rows.ts';

const key = z.string();
const ask = z.string();
/** A check as it stands in a route. The wire's schema is stricter; this reads what was stored. */
export const StoredCheck: z.ZodType<Check> = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('yes_no'), key, ask }),
  z.object({
    kind: z.literal('measured'),
    key,
    ask,
    unit: z.string(),
    min: z.number().nullable(),
    max: z.number().nullable(),
  }),
  z.object({
    kind: z.literal('batch'),
    key,
    ask,
    batchKind: z.enum(BATCH_KINDS),
    amountAsked: z.boolean(),
  }),
  z.object({ kind: z.literal('note'), key, ask }),
  z.object({ kind: z.literal('second_person'), key, ask }),
]);

const OperationRow = z.object({
  id: z.string(),
  seq: z.number(),
  kind: z.enum(OPERATION_KIND_NAMES),
  title: z.string(),
  checks: z.array(StoredCheck),
  caution: z.string().nullable(),
  state: z.enum(OPERATION_STATES),
  attempts: z.number(),
  doneAt: z.date().nullable(),
  doneBy: z.string().nullable(),
});
/** An operation of a socket, with how often it was attempted and who last recorded it. */
export type OperationRow = z.infer<typeof OperationRow>;

/** The operations of a socket, in their order. */
export const loadOperations = async (
  tx: Tx,
  clinicId: string,
  socketId: string,
): Promise<OperationRow[]> =>
  parseRows(
    OperationRow,
    await tx.$queryRaw`
      select o.id, o.seq, o.kind, o.title, o.checks, o.caution, o.state, coalesce(r.attempt, 0) as attempts,
        r.recorded_at as "doneAt", p.printed_name as "doneBy"
      from operation o
      left join lateral (
        select attempt, recorded_at, recorded_by_id from operation_record r
        where r.clinic_id = o.clinic_id and r.operation_id = o.id order by attempt desc limit 1) r on true
      left join person p on p.clinic_id = o.clinic_id and p.id = r.recorded_by_id
      where o.clinic_id = ${clinicId}::uuid and o.socket_id = ${socketId}::uuid
      order by o.seq`,
  );

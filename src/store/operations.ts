import { z } from 'zod';
import { OPERATION_KIND_NAMES, SCANS_OF, type Answers, type Check } from '../domain/operations.ts';
import { BATCH_KINDS, OPERATION_STATES, type OperationState } from '../domain/words.ts';
import type { Act, Tx } from './act.ts';
import { parseFirst, parseRows } from './rows.ts';

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
  z.object({ kind: z.literal('scan'), key, ask, of: z.enum(SCANS_OF) }),
  z.object({ kind: z.literal('photo'), key, ask }),
]);

const OperationRow = z.object({
  id: z.string(),
  seq: z.number(),
  kind: z.enum(OPERATION_KIND_NAMES),
  title: z.string(),
  checks: z.array(StoredCheck),
  caution: z.string().nullable(),
  bench: z.string().nullable(),
  plannedMinutes: z.number().nullable(),
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
      select o.id, o.seq, o.kind, o.title, o.checks, o.caution, b.name as bench,
        o.planned_minutes as "plannedMinutes", o.state, coalesce(r.attempt, 0) as attempts,
        coalesce(r.bench_at, r.recorded_at) as "doneAt", p.printed_name as "doneBy"
      from operation o
      left join bench b on b.clinic_id = o.clinic_id and b.id = o.bench_id
      left join lateral (
        select attempt, bench_at, recorded_at, recorded_by_id from operation_record r
        where r.clinic_id = o.clinic_id and r.operation_id = o.id order by attempt desc limit 1) r on true
      left join person p on p.clinic_id = o.clinic_id and p.id = r.recorded_by_id
      where o.clinic_id = ${clinicId}::uuid and o.socket_id = ${socketId}::uuid
      order by o.seq`,
  );

/**
 * Locks the socket of an operation until the transaction ends, so that a delivery and an
 * operation cannot pass each other.
 * @returns its id; undefined where the clinic has no such operation.
 */
export async function lockSocketOf(
  tx: Tx,
  clinicId: string,
  operationId: string,
): Promise<string | undefined> {
  const row = parseFirst(
    z.object({ id: z.string() }),
    await tx.$queryRaw`
      select s.id from socket s
      join operation o on o.clinic_id = s.clinic_id and o.socket_id = s.id
      where s.clinic_id = ${clinicId}::uuid and o.clinic_id = ${clinicId}::uuid and o.id = ${operationId}::uuid
      for no key update of s`,
  );
  return row?.id;
}

export interface NewRecord {
  readonly id: string;
  readonly outcome: Extract<OperationState, 'done' | 'stopped'>;
  readonly results: Answers;
  readonly minutes: number | null;
  readonly secondPersonId: string | null;
}

/**
 * Writes one attempt at an operation together with the state that it leads to.
 * @returns false where the operation is no longer in the state that was read.
 */
export async function writeRecord(
  act: Act,
  operation: Pick<OperationRow, 'id' | 'state' | 'attempts'>,
  record: NewRecord,
): Promise<boolean> {
  const written = await act.tx.$executeRaw`
    with changed as (
      update operation set state = ${record.outcome}
      where clinic_id = ${act.clinicId}::uuid and id = ${operation.id}::uuid and state = ${operation.state}
      returning clinic_id, id)
    insert into operation_record
      (clinic_id, id, operation_id, attempt, outcome, results, minutes, bench_at, recorded_at, recorded_by_id, second_person_id)
    select clinic_id, ${record.id}::uuid, id, ${operation.attempts + 1}::int, ${record.outcome},
      ${JSON.stringify(record.results)}::jsonb, ${record.minutes}::int, ${act.benchAt}::timestamptz, ${act.at}::timestamptz,
      ${act.by.personId}::uuid, ${record.secondPersonId}::uuid
    from changed`;
  return written === 1;
}

/**
 * The queue of long work, as the processes that do it see it. A process takes one work for a
 * while by the database's own clock, and again with each step; work of a killed process is
 * taken up by another when that while is over, at the step that was not done.
 */
import { z } from 'zod';
import { LONG_WORK_KINDS, LONG_WORK_STATES, type LongWorkState } from '../domain/longWork.ts';
import { inClinic, type Act, type Tx } from './act.ts';
import type { Json } from './events.ts';
import { pieceCell, type FailureKept } from './longWorks.ts';
import type { Store } from './open.ts';
import { parseFirst } from './rows.ts';
import { NOBODY } from './signIns.ts';

export interface Taken {
  readonly clinicId: string;
  readonly id: string;
}

/** The oldest work that waits, or whose process has not been heard of; undefined where there is none. */
export const takeLongWork = (
  store: Store,
  worker: string,
  leaseS: number,
  at: Date,
): Promise<Taken | undefined> =>
  inClinic(store, NOBODY, async (tx) =>
    parseFirst(
      z.object({ clinicId: z.string(), id: z.string() }),
      await tx.$queryRaw`
        select clinic_id as "clinicId", id from take_long_work(${worker}::uuid, ${leaseS}::int, ${at}::timestamptz)`,
    ),
  );

const HeldRow = z.object({
  kind: z.enum(LONG_WORK_KINDS),
  asked: z.json(),
  askedById: z.string(),
  state: z.enum(LONG_WORK_STATES),
  total: z.number().nullable(),
  done: z.number(),
  position: z.json(),
  cancelledAt: z.date().nullable(),
  takings: z.number(),
  pieces: z.number(),
});
export type HeldWork = z.infer<typeof HeldRow>;

/** Holds the work until the transaction ends; undefined where another process has it by now. */
export async function holdLongWork(
  tx: Tx,
  { clinicId, id }: Taken,
  worker: string,
): Promise<HeldWork | undefined> {
  return parseFirst(
    HeldRow,
    await tx.$queryRaw`
      select kind, asked, asked_by_id as "askedById", state, total, done, position,
        cancelled_at as "cancelledAt", takings, pieces
      from long_work
      where clinic_id = ${clinicId}::uuid and id = ${id}::uuid and state = 'running' and taken_by = ${worker}::uuid
      for update`,
  );
}

export interface StepDone {
  readonly total: number | null;
  readonly done: number;
  readonly position: Json;
  readonly pieces: number;
}

/** After a step, in its transaction; the process has the work for another while. */
export const writeStep = (
  tx: Tx,
  { clinicId, id }: Taken,
  { total, done, position, pieces }: StepDone,
  leaseS: number,
): Promise<number> => tx.$executeRaw`
  update long_work set total = ${total}::int, done = ${done}::int, position = ${JSON.stringify(position)}::jsonb,
    pieces = ${pieces}::int, lease_until = clock_timestamp() + make_interval(secs => ${leaseS}::int)
  where clinic_id = ${clinicId}::uuid and id = ${id}::uuid`;

export const writeEnd = (
  act: Act,
  id: string,
  state: Exclude<LongWorkState, 'waiting' | 'running'>,
  told: {
    readonly summary?: Readonly<Record<string, number>>;
    readonly failure?: z.infer<typeof FailureKept>;
  } = {},
): Promise<number> => act.tx.$executeRaw`
  update long_work set state = ${state}, ended_at = ${act.at}, lease_until = null,
    summary = ${told.summary === undefined ? null : JSON.stringify(told.summary)}::jsonb,
    failure = ${told.failure === undefined ? null : JSON.stringify(told.failure)}::jsonb
  where clinic_id = ${act.clinicId}::uuid and id = ${id}::uuid`;

/** Gives the work back, for a process that stops in order; it was not this one's fault. */
export const giveBack = (tx: Tx, { clinicId, id }: Taken, worker: string): Promise<number> =>
  tx.$executeRaw`
    update long_work set state = 'waiting', taken_by = null, lease_until = null, takings = takings - 1
    where clinic_id = ${clinicId}::uuid and id = ${id}::uuid and state = 'running' and taken_by = ${worker}::uuid`;

export const insertPiece = (
  { tx, clinicId, cipher }: Act,
  { id }: Taken,
  seq: number,
  body: string,
  withoutContact: string | null,
): Promise<number> => tx.$executeRaw`
  insert into long_work_piece (clinic_id, long_work_id, seq, body, body_without_contact)
  values (${clinicId}::uuid, ${id}::uuid, ${seq}::int, ${cipher.encryptFor(pieceCell(clinicId, id, seq), body)}, ${withoutContact})`;

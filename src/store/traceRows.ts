/**
 * The timeline of the trace: every kind of record that can stand in it, in one
 * order by time and id. A scope says which records of each kind belong to what was
 * asked; the pieces here are the same for all of them.
 */
import { z } from 'zod';
import { TRACE_KINDS, type TraceKind } from '../domain/trace.ts';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act } from './act.ts';
import { parseRows } from './rows.ts';
import { DETAILS_SQL, TRACE_DETAILS, type TraceDetails } from './traceDetails.ts';

export type Sql = Prisma.Sql;

/**
 * Where each record stands and which of its columns say when, by whom, on what.
 * `x` is the record, `y` what leads from it to its socket. A record with a
 * beginning and an end is told in two steps, 0 and 1.
 */
const BRANCHES = {
  order: branch('order', 0, 'fabrication_order x', 'x.opened_at', 'null', 'x.id', 'x.opened_by_id'),
  cast: branch('cast', 0, 'limb_cast x', 'x.recorded_at', 'null', 'x.order_id', 'x.taken_by_id'),
  stage: branch(
    'stage',
    0,
    'stage_change x',
    'x.changed_at',
    'null',
    'x.order_id',
    'x.changed_by_id',
  ),
  socket: branch('socket', 0, 'socket x', 'x.started_at', 'x.id', 'x.order_id', 'x.started_by_id'),
  // The socket of a move is found for the rows of a page only, by its places.
  move: branch('move', 0, 'move x', 'x.moved_at', 'null', 'null', 'x.moved_by_id'),
  operation: branch(
    'operation',
    0,
    'operation_record x join operation y on y.clinic_id = x.clinic_id and y.id = x.operation_id',
    'x.recorded_at',
    'y.socket_id',
    'null',
    'x.recorded_by_id',
  ),
  batch_use: branch('batch_use', 0, 'batch_use x', 'x.used_at', 'x.socket_id', 'null', 'x.used_by_id'),
  torque: branch(
    'torque',
    0,
    'torque_confirmation x join joint y on y.clinic_id = x.clinic_id and y.id = x.joint_id',
    'x.recorded_at',
    'y.socket_id',
    'null',
    'x.recorded_by_id',
  ),
  lock_check: branch(
    'lock_check',
    0,
    'lock_check x',
    'x.recorded_at',
    'x.socket_id',
    'null',
    'x.recorded_by_id',
  ),
  alignment: branch(
    'alignment',
    0,
    'alignment x',
    'x.measured_at',
    'x.socket_id',
    'null',
    'x.measured_by_id',
  ),
  fitting: branch('fitting', 0, 'fitting x', 'x.judged_at', 'x.socket_id', 'null', 'x.judged_by_id'),
  findingOpened: branch(
    'finding',
    0,
    'finding x',
    'x.opened_at',
    'x.socket_id',
    'null',
    'x.opened_by_id',
  ),
  findingDisposed: branch(
    'finding',
    1,
    'finding x',
    'x.disposed_at',
    'x.socket_id',
    'null',
    'x.disposed_by_id',
  ),
  delivery: branch(
    'delivery',
    0,
    'delivery x',
    'x.delivered_at',
    'x.socket_id',
    'x.order_id',
    'x.released_by_id',
  ),
  serviceOpened: branch(
    'service',
    0,
    'service_visit x',
    'x.opened_at',
    'x.socket_id',
    'x.order_id',
    'x.opened_by_id',
  ),
  serviceClosed: branch(
    'service',
    1,
    'service_visit x',
    'x.closed_at',
    'x.socket_id',
    'x.order_id',
    'x.closed_by_id',
  ),
  // As for a move: what was signed is looked up for the rows of a page only.
  signature: branch('signature', 0, 'signature x', 'x.signed_at', 'null', 'null', 'x.person_id'),
  calibration: branch(
    'calibration',
    0,
    'calibration x',
    'x.recorded_at',
    'null',
    'null',
    'x.recorded_by_id',
  ),
} as const;
export type Branch = keyof typeof BRANCHES;

interface BranchSql {
  readonly select: Sql;
  readonly from: Sql;
  /** When: for the scope's conditions and the order. */
  readonly at: Sql;
  readonly step: number;
}

function branch(
  kind: TraceKind,
  step: 0 | 1,
  from: string,
  at: string,
  socketId: string,
  orderId: string,
  personId: string,
): BranchSql {
  return {
    select: Prisma.raw(
      `${at} as at, '${kind}' as kind, ${step} as step, x.id as record_id, ` +
        `${socketId}::uuid as socket_id, ${orderId}::uuid as order_id, ${personId}::uuid as person_id`,
    ),
    from: Prisma.raw(from),
    at: Prisma.raw(at),
    step,
  };
}

/** When a branch's record happened, for conditions on time. */
export const atOf = (name: Branch): Sql => BRANCHES[name].at;
/** Who did it, for conditions on the person. */
export const personOf = (name: Branch): Sql =>
  Prisma.raw(PERSON_COLUMNS[name]);

const PERSON_COLUMNS = {
  order: 'x.opened_by_id',
  cast: 'x.taken_by_id',
  stage: 'x.changed_by_id',
  socket: 'x.started_by_id',
  move: 'x.moved_by_id',
  operation: 'x.recorded_by_id',
  batch_use: 'x.used_by_id',
  torque: 'x.recorded_by_id',
  lock_check: 'x.recorded_by_id',
  alignment: 'x.measured_by_id',
  fitting: 'x.judged_by_id',
  findingOpened: 'x.opened_by_id',
  findingDisposed: 'x.disposed_by_id',
  delivery: 'x.released_by_id',
  serviceOpened: 'x.opened_by_id',
  serviceClosed: 'x.closed_by_id',
  signature: 'x.person_id',
  calibration: 'x.recorded_by_id',
} as const satisfies Record<Branch, string>;

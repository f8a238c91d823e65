/** Every kind of record that can stand in the timeline of the trace, with the columns it is found by. */
import type { TraceKind } from '../domain/trace.ts';
import { Prisma } from '../generated/prisma/client.ts';

export type Sql = Prisma.Sql;

/** Columns of a kind of record: `x` is the record itself, `y` what leads from it to its socket. */
export interface BranchColumns {
  readonly kind: TraceKind;
  /** 1 for the end of a record that has a beginning and an end. */
  readonly step?: 0 | 1;
  readonly from: string;
  readonly at: string;
  readonly by: string;
  /** When it was recorded at the bench, where that is told. */
  readonly bench?: string;
  readonly socket?: string;
  readonly order?: string;
  /** Which of the records stand in the trace at all; all of them where nothing is said. */
  readonly only?: string;
}

export const BRANCHES = {
  order: {
    kind: 'order',
    from: 'fabrication_order x',
    at: 'x.opened_at',
    by: 'x.opened_by_id',
    order: 'x.id',
  },
  cast: {
    kind: 'cast',
    from: 'limb_cast x',
    at: 'x.recorded_at',
    by: 'x.taken_by_id',
    order: 'x.order_id',
  },
  // A cast's own measures were taken with it: the cast tells of them.
  measures: {
    kind: 'measures',
    from: 'measure_set x',
    at: 'x.recorded_at',
    by: 'x.taken_by_id',
    socket: 'x.socket_id',
    order: 'x.order_id',
    only: "x.occasion <> 'cast'",
  },
  volume_decision: {
    kind: 'volume_decision',
    from: 'volume_decision x',
    at: 'x.decided_at',
    by: 'x.decided_by_id',
    order: 'x.order_id',
  },
  stage: {
    kind: 'stage',
    from: 'stage_change x',
    at: 'x.changed_at',
    by: 'x.changed_by_id',
    order: 'x.order_id',
  },
  socket: {
    kind: 'socket',
    from: 'socket x',
    at: 'x.started_at',
    by: 'x.started_by_id',
    socket: 'x.id',
  },
  // The sockets of moves and signatures are found for the rows of a page only.
  move: {
    kind: 'move',
    from: 'move x',
    at: 'x.moved_at',
    by: 'x.moved_by_id',
    bench: 'x.bench_at',
  },
  signature: { kind: 'signature', from: 'signature x', at: 'x.signed_at', by: 'x.person_id' },
  operation: {
    kind: 'operation',
    from: 'operation_record x join operation y on y.clinic_id = x.clinic_id and y.id = x.operation_id',
    at: 'x.recorded_at',
    by: 'x.recorded_by_id',
    bench: 'x.bench_at',
    socket: 'y.socket_id',
  },
  batch_use: {
    kind: 'batch_use',
    from: 'batch_use x',
    at: 'x.used_at',
    by: 'x.used_by_id',
    socket: 'x.socket_id',
  },
  layup_drafted: {
    kind: 'layup',
    from: 'layup x',
    at: 'x.drafted_at',
    by: 'x.drafted_by_id',
    socket: 'x.socket_id',
  },
  // When and by whom, the signature says: it is of one layup, which is approved once.
  layup_approved: {
    kind: 'layup',
    step: 1,
    from: 'layup x join signature y on y.clinic_id = x.clinic_id and y.subject_id = x.id',
    at: 'y.signed_at',
    by: 'y.person_id',
    socket: 'x.socket_id',
    only: "y.meaning = 'layup_approved'",
  },
  recipe: {
    kind: 'recipe',
    from: 'resin_recipe x',
    at: 'x.made_at',
    by: 'x.made_by_id',
    socket: 'x.socket_id',
  },
  weighing: {
    kind: 'weighing',
    from: 'resin_weighing x',
    at: 'x.recorded_at',
    by: 'x.recorded_by_id',
    bench: 'x.bench_at',
    socket: 'x.socket_id',
  },
  torque: {
    kind: 'torque',
    from: 'torque_confirmation x join joint y on y.clinic_id = x.clinic_id and y.id = x.joint_id',
    at: 'x.recorded_at',
    by: 'x.recorded_by_id',
    bench: 'x.bench_at',
    socket: 'y.socket_id',
  },
  lock_check: {
    kind: 'lock_check',
    from: 'lock_check x',
    at: 'x.recorded_at',
    by: 'x.recorded_by_id',
    bench: 'x.bench_at',
    socket: 'x.socket_id',
  },
  alignment: {
    kind: 'alignment',
    from: 'alignment x',
    at: 'x.measured_at',
    by: 'x.measured_by_id',
    socket: 'x.socket_id',
  },
  fitting: {
    kind: 'fitting',
    from: 'fitting x',
    at: 'x.judged_at',
    by: 'x.judged_by_id',
    socket: 'x.socket_id',
  },
  finding_opened: {
    kind: 'finding',
    from: 'finding x',
    at: 'x.opened_at',
    by: 'x.opened_by_id',
    bench: 'x.bench_at',
    socket: 'x.socket_id',
  },
  finding_disposed: {
    kind: 'finding',
    step: 1,
    from: 'finding x',
    at: 'x.disposed_at',
    by: 'x.disposed_by_id',
    socket: 'x.socket_id',
  },
  delivery: {
    kind: 'delivery',
    from: 'delivery x',
    at: 'x.delivered_at',
    by: 'x.released_by_id',
    socket: 'x.socket_id',
  },
  service_opened: {
    kind: 'service',
    from: 'service_visit x',
    at: 'x.opened_at',
    by: 'x.opened_by_id',
    socket: 'x.socket_id',
  },
  service_closed: {
    kind: 'service',
    step: 1,
    from: 'service_visit x',
    at: 'x.closed_at',
    by: 'x.closed_by_id',
    socket: 'x.socket_id',
  },
  calibration: {
    kind: 'calibration',
    from: 'calibration x',
    at: 'x.recorded_at',
    by: 'x.recorded_by_id',
  },
  part_draft_scanned: {
    kind: 'part_draft',
    from: 'part_draft x',
    at: 'x.scanned_at',
    by: 'x.scanned_by_id',
  },
  part_draft_resolved: {
    kind: 'part_draft',
    step: 1,
    from: 'part_draft x',
    at: 'x.resolved_at',
    by: 'x.resolved_by_id',
  },
} as const satisfies Record<string, BranchColumns>;

export type Branch = keyof typeof BRANCHES;
export const BRANCH_NAMES = Object.keys(BRANCHES) as Branch[];

/** The columns that a scope's conditions are written in. */
export const atOf = (name: Branch): Sql => Prisma.raw(BRANCHES[name].at);
export const personOf = (name: Branch): Sql => Prisma.raw(BRANCHES[name].by);

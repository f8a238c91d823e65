/**
 * The timeline of the trace: every kind of record that can stand in it, in one
 * order by time and id. A scope says which records of each kind belong to what was
 * asked; what is here is the same for all of them.
 */
import { z } from 'zod';
import type { TraceKind } from '../domain/trace.ts';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act } from './act.ts';
import { parseRows } from './rows.ts';
import { FoundRow, tell, type TraceRow } from './traceTold.ts';

export type Sql = Prisma.Sql;

/** Columns of a kind of record: `x` is the record itself, `y` what leads from it to its socket. */
interface BranchColumns {
  readonly kind: TraceKind;
  /** 1 for the end of a record that has a beginning and an end. */
  readonly step?: 0 | 1;
  readonly from: string;
  readonly at: string;
  readonly by: string;
  readonly socket?: string;
  readonly order?: string;
}

const BRANCHES = {
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
  move: { kind: 'move', from: 'move x', at: 'x.moved_at', by: 'x.moved_by_id' },
  signature: { kind: 'signature', from: 'signature x', at: 'x.signed_at', by: 'x.person_id' },
  operation: {
    kind: 'operation',
    from: 'operation_record x join operation y on y.clinic_id = x.clinic_id and y.id = x.operation_id',
    at: 'x.recorded_at',
    by: 'x.recorded_by_id',
    socket: 'y.socket_id',
  },
  batch_use: {
    kind: 'batch_use',
    from: 'batch_use x',
    at: 'x.used_at',
    by: 'x.used_by_id',
    socket: 'x.socket_id',
  },
  torque: {
    kind: 'torque',
    from: 'torque_confirmation x join joint y on y.clinic_id = x.clinic_id and y.id = x.joint_id',
    at: 'x.recorded_at',
    by: 'x.recorded_by_id',
    socket: 'y.socket_id',
  },
  lock_check: {
    kind: 'lock_check',
    from: 'lock_check x',
    at: 'x.recorded_at',
    by: 'x.recorded_by_id',
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
} as const satisfies Record<string, BranchColumns>;

export type Branch = keyof typeof BRANCHES;
export const BRANCH_NAMES = Object.keys(BRANCHES) as Branch[];

/** The columns that a scope's conditions are written in. */
export const atOf = (name: Branch): Sql => Prisma.raw(BRANCHES[name].at);
export const personOf = (name: Branch): Sql => Prisma.raw(BRANCHES[name].by);

/** Which records belong to what was asked. A branch left out has none. */
export interface TraceScope {
  /** `with` clauses that the conditions refer to. */
  readonly with?: Sql;
  /** A condition on `x` and `y` for each branch. */
  readonly where: Readonly<Partial<Record<Branch, Sql>>>;
}

/** Where a page ended: the order of the timeline. */
export const TraceCursor = z.tuple([z.iso.datetime(), z.guid(), z.int().min(0).max(1)]);
export type TraceCursor = Readonly<z.infer<typeof TraceCursor>>;

export interface TimelinePage {
  readonly rows: readonly TraceRow[];
  /** Where the next page begins; null on the last. */
  readonly next: TraceCursor | null;
}

/**
 * The records of a scope as one timeline, by time, then by id.
 * @param limit rows at most
 */
export async function timeline(
  act: Act,
  scope: TraceScope,
  { limit, after }: { limit: number; after?: TraceCursor | undefined },
): Promise<TimelinePage> {
  const branches = BRANCH_NAMES.flatMap((name) => {
    const condition = scope.where[name];
    return condition === undefined ? [] : [branchSql(act, name, condition, limit, after)];
  });
  if (branches.length === 0) return { rows: [], next: null };
  const found = parseRows(
    FoundRow,
    await act.tx.$queryRaw(Prisma.sql`
      ${scope.with === undefined ? Prisma.empty : Prisma.sql`with ${scope.with}`}
      select * from (${Prisma.join(branches, ' union all ')}) found
      order by at, "recordId", step limit ${limit + 1}`),
  );
  const shown = found.slice(0, limit);
  const last = shown.at(-1);
  return {
    rows: await tell(act, shown),
    next:
      found.length > limit && last !== undefined
        ? [last.at.toISOString(), last.recordId, last.step]
        : null,
  };
}

/** Ids and times only: whatever costs more is read for the rows that are shown. */
function branchSql(
  act: Act,
  name: Branch,
  condition: Sql,
  limit: number,
  after: TraceCursor | undefined,
): Sql {
  const {
    kind,
    step = 0,
    from,
    at,
    by,
    socket = 'null',
    order = 'null',
  }: BranchColumns = BRANCHES[name];
  const columns = Prisma.raw(
    `select ${at} as at, '${kind}' as kind, ${step} as step, x.id as "recordId", ${socket}::uuid as "socketId", ` +
      `${order}::uuid as "orderId", ${by} as "personId" from ${from}`,
  );
  const instant = Prisma.raw(at);
  const beyond =
    after === undefined
      ? Prisma.sql`${instant} is not null`
      : Prisma.sql`(${instant}, x.id, ${Prisma.raw(String(step))}) > (${after[0]}::timestamptz, ${after[1]}::uuid, ${after[2]}::int)`;
  return Prisma.sql`(${columns} where x.clinic_id = ${act.clinicId}::uuid and (${condition}) and ${beyond}
    order by ${instant}, x.id limit ${limit + 1})`;
}

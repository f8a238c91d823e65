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
import { DETAILS_SQL, traceRowWith } from './traceDetails.ts';

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
export const TraceCursor = z.tuple([z.iso.datetime(), z.uuid(), z.int().min(0).max(1)]);
export type TraceCursor = z.infer<typeof TraceCursor>;

const RawRow = z.object({ at: z.date(), step: z.int() }).loose();
const Row = traceRowWith({ at: z.date() });
export type TraceRow = z.infer<typeof Row>;

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
  const raw = parseRows(RawRow, await act.tx.$queryRaw(pageSql(act, scope, branches, limit)));
  const rows = raw.slice(0, limit);
  const last = rows.at(-1);
  return {
    rows: parseRows(Row, rows),
    next:
      raw.length > limit && last !== undefined
        ? TraceCursor.parse([last.at.toISOString(), last['recordId'], last.step])
        : null,
  };
}

/** Only ids and times: whatever costs more is read for the rows that are shown. */
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
    `select x.clinic_id, ${at} as at, '${kind}' as kind, ${step} as step, x.id as record_id, ` +
      `${socket}::uuid as socket_id, ${order}::uuid as order_id, ${by} as person_id from ${from}`,
  );
  const instant = Prisma.raw(at);
  const beyond =
    after === undefined
      ? Prisma.sql`${instant} is not null`
      : Prisma.sql`(${instant}, x.id, ${Prisma.raw(String(step))}) > (${after[0]}::timestamptz, ${after[1]}::uuid, ${after[2]}::int)`;
  return Prisma.sql`(${columns} where x.clinic_id = ${act.clinicId}::uuid and (${condition}) and ${beyond}
    order by ${instant}, x.id limit ${limit + 1})`;
}

function pageSql(act: Act, scope: TraceScope, branches: readonly Sql[], limit: number): Sql {
  const before = scope.with === undefined ? Prisma.empty : Prisma.sql`${scope.with},`;
  return Prisma.sql`
    with ${before} page as (
      select * from (${Prisma.join(branches, ' union all ')}) found
      order by at, record_id, step limit ${limit + 1})
    select p.at, p.kind, p.step, p.record_id as "recordId", s.id as "socketId", s.number as "socketNumber",
      o.id as "orderId", o.number as "orderNumber", t.chart_number as "chartNumber", n.printed_name as who,
      ${DETAILS_SQL} as details
    from page p
    left join move v on p.kind = 'move' and v.clinic_id = p.clinic_id and v.id = p.record_id
    left join place mf on mf.clinic_id = v.clinic_id and mf.id = v.from_place_id
    left join place mt on mt.clinic_id = v.clinic_id and mt.id = v.to_place_id
    left join signature g on p.kind = 'signature' and g.clinic_id = p.clinic_id and g.id = p.record_id
    left join lateral (${SIGNED}) signed on true
    left join socket s on s.clinic_id = p.clinic_id
      and s.id = coalesce(p.socket_id, mt.socket_id, mf.socket_id, signed.socket_id)
    left join fabrication_order o on o.clinic_id = p.clinic_id
      and o.id = coalesce(p.order_id, s.order_id, signed.order_id)
    left join patient t on t.clinic_id = o.clinic_id and t.id = o.patient_id
    left join person n on n.clinic_id = p.clinic_id and n.id = p.person_id
    where p.clinic_id = ${act.clinicId}::uuid
    order by p.at, p.record_id, p.step`;
}

/** Kinds of record that can be signed, with the socket or order that they are about. */
const SIGNABLE = {
  socket: ['id', 'order_id'],
  fabrication_order: ['null::uuid', 'id'],
  stage_change: ['null::uuid', 'order_id'],
  mass_acknowledgement: ['null::uuid', 'order_id'],
  fitting: ['socket_id', 'null::uuid'],
  finding: ['socket_id', 'null::uuid'],
  alignment: ['socket_id', 'null::uuid'],
  delivery: ['socket_id', 'order_id'],
  service_visit: ['socket_id', 'order_id'],
} as const;

/** The socket and order of what the signature `g` signs. */
const SIGNED = Prisma.raw(
  Object.entries(SIGNABLE)
    .map(
      ([table, [socket, order]]) =>
        `select ${socket} as socket_id, ${order} as order_id from ${table} where clinic_id = g.clinic_id and id = g.subject_id`,
    )
    .join(' union all '),
);

/** Ids of all that can be signed about these sockets and orders: subjects of signatures. */
export const signablesOf = (
  clinicId: string,
  socketIds: readonly string[],
  orderIds: readonly string[],
): Sql =>
  Prisma.join(
    Object.entries(SIGNABLE).flatMap(([table, [socket, order]]) =>
      [
        socket === 'null::uuid' ? null : ([socket, socketIds] as const),
        order === 'null::uuid' ? null : ([order, orderIds] as const),
      ].flatMap((pair) =>
        pair === null || pair[1].length === 0
          ? []
          : [
              Prisma.sql`select id from ${Prisma.raw(table)}
                where clinic_id = ${clinicId}::uuid and ${Prisma.raw(pair[0])} = any(${pair[1]}::uuid[])`,
            ],
      ),
    ),
    ' union all ',
  );

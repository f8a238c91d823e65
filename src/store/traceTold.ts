/** The second half of the timeline: what is told of the records that a page shows. */
import { z } from 'zod';
import { TRACE_KINDS } from '../domain/trace.ts';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act } from './act.ts';
import { parseRows } from './rows.ts';
import type { Sql } from './traceBranches.ts';
import { detailsSql } from './traceDetails.ts';
import { traceRowWith } from './traceRow.ts';

/** A record of the timeline by its ids, as the scope found it. */
export const FoundRow = z.object({
  at: z.date(),
  kind: z.enum(TRACE_KINDS),
  step: z.int(),
  recordId: z.string(),
  socketId: z.string().nullable(),
  orderId: z.string().nullable(),
  personId: z.string().nullable(),
  /** When it was recorded at the bench, where that is told. */
  recordedAt: z.date().nullable(),
});
export type FoundRow = z.infer<typeof FoundRow>;

const Row = traceRowWith({ at: z.date(), recordedAt: z.date().nullable() });
export type TraceRow = z.infer<typeof Row>;

const ToldRow = z.object({ n: z.int() }).loose();

/**
 * Tells what is to be said of each record. A statement of its own, with only the
 * kinds that the page has: planning one for all kinds takes longer than running it.
 */
export async function tell(act: Act, found: readonly FoundRow[]): Promise<TraceRow[]> {
  if (found.length === 0) return [];
  const kinds = TRACE_KINDS.filter((kind) => found.some((row) => row.kind === kind));
  const rows = found.map((row, n) => ({ n, ...row }));
  const told = parseRows(
    ToldRow,
    await act.tx.$queryRaw(Prisma.sql`
      select p.n, s.id as "socketId", s.number as "socketNumber", o.id as "orderId", o.number as "orderNumber",
        o.chart_number as "chartNumber", w.printed_name as who, ${detailsSql(kinds)} as details
      from (
        select ${act.clinicId}::uuid as clinic_id, n, kind, step, "recordId" as record_id, "socketId" as socket_id,
          "orderId" as order_id, "personId" as person_id
        from jsonb_to_recordset(${JSON.stringify(rows)}::jsonb) as r(
          n int, kind text, step int, "recordId" uuid, "socketId" uuid, "orderId" uuid, "personId" uuid)) p
      ${kinds.includes('move') ? MOVED : NOT_MOVED}
      ${kinds.includes('signature') ? SIGNED : NOT_SIGNED}
      cross join lateral (select coalesce(p.socket_id, m.socket_id, g.socket_id) as socket_id offset 0) a
      left join lateral (
        select id, number, order_id from socket where clinic_id = p.clinic_id and id = a.socket_id limit 1) s on true
      cross join lateral (select coalesce(p.order_id, s.order_id, g.order_id) as order_id offset 0) b
      left join lateral (
        select f.id, f.number, t.chart_number from fabrication_order f
        join patient t on t.clinic_id = f.clinic_id and t.id = f.patient_id
        where f.clinic_id = p.clinic_id and f.id = b.order_id limit 1) o on true
      left join person w on w.clinic_id = p.clinic_id and w.id = p.person_id`),
  );
  const byNumber = new Map(told.map((row) => [row.n, row]));
  return parseRows(
    Row,
    found.map(({ at, recordedAt, kind, recordId }, n) => ({
      ...byNumber.get(n),
      at,
      recordedAt,
      kind,
      recordId,
    })),
  );
}

// `limit 1` in a lateral keeps the planner at one look into an index for each row
// of the page, instead of reading a whole table for a join. `coalesce` stands apart,
// behind `offset 0`, because under row-level security it may not be an index's key.

/** The places and socket of a move: of where it went, else of where it came from. */
const MOVED = Prisma.sql`left join lateral (
  select mf.name as from_name, mt.name as to_name, coalesce(mt.socket_id, mf.socket_id) as socket_id
  from move v
  join place mt on mt.clinic_id = v.clinic_id and mt.id = v.to_place_id
  left join place mf on mf.clinic_id = v.clinic_id and mf.id = v.from_place_id
  where p.kind = 'move' and v.clinic_id = p.clinic_id and v.id = p.record_id limit 1) m on true`;
const NOT_MOVED = Prisma.sql`cross join (select null::uuid as socket_id) m`;

/** Kinds of record that can be signed, with the socket or order that they are about. */
const SIGNABLE = {
  socket: ['id', 'order_id'],
  fabrication_order: ['null::uuid', 'id'],
  stage_change: ['null::uuid', 'order_id'],
  mass_acknowledgement: ['null::uuid', 'order_id'],
  fitting: ['socket_id', 'null::uuid'],
  finding: ['socket_id', 'null::uuid'],
  alignment: ['socket_id', 'null::uuid'],
  layup: ['socket_id', 'null::uuid'],
  delivery: ['socket_id', 'order_id'],
  service_visit: ['socket_id', 'order_id'],
  correction: ['null::uuid', 'order_id'],
} as const;

/** The socket and order of what a signature signs. */
const SIGNED = Prisma.raw(`left join lateral (
  select u.socket_id, u.order_id from signature z cross join lateral (${Object.entries(SIGNABLE)
    .map(
      ([table, [socket, order]]) =>
        `select ${socket} as socket_id, ${order} as order_id from ${table} where clinic_id = z.clinic_id and id = z.subject_id`,
    )
    .join(' union all ')}) u
  where p.kind = 'signature' and z.clinic_id = p.clinic_id and z.id = p.record_id limit 1) g on true`);
const NOT_SIGNED = Prisma.sql`cross join (select null::uuid as socket_id, null::uuid as order_id) g`;

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

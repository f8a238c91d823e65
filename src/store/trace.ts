/** What the trace is asked about, and the way of hardware through sockets. */
import { z } from 'zod';
import type { TraceKey } from '../domain/trace.ts';
import {
  BATCH_KINDS,
  BATCH_UNITS,
  LEVELS,
  MOVE_REASONS,
  PART_KINDS,
  POSITIONS,
  ROLES,
  SHOP_TOOL_KINDS,
  SIDES,
  SOCKET_KINDS,
  SOCKET_STATES,
  STAGES,
  SUSPENSIONS,
} from '../domain/words.ts';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act } from './act.ts';
import { parseFirst, parseRows } from './rows.ts';
import { ITEM_LABEL } from './traceDetails.ts';
import type { Sql } from './traceBranches.ts';

const LABEL = Prisma.raw(ITEM_LABEL);

/** A thing is named by its id or by the name that people know it by. */
export type Named = { readonly id: string } | { readonly name: string };

const matches = (named: Named, nameColumn: string, alias: string): Sql =>
  'id' in named
    ? Prisma.sql`${Prisma.raw(alias)}.id = ${named.id}::uuid`
    : Prisma.sql`${Prisma.raw(`${alias}.${nameColumn}`)} = ${named.name}`;

const PatientSubject = z.object({
  id: z.string(),
  chartNumber: z.string(),
  givenName: z.string(),
  familyName: z.string(),
  birthDate: z.string().nullable(),
});
export type PatientSubject = z.infer<typeof PatientSubject>;

/** By id or chart number; a chart number may be typed in lower case. */
export const findPatient = async (act: Act, named: Named): Promise<PatientSubject | undefined> =>
  parseFirst(
    PatientSubject,
    await act.tx.$queryRaw(Prisma.sql`
      select t.id, t.chart_number as "chartNumber", t.given_name as "givenName", t.family_name as "familyName",
        t.birth_date::text as "birthDate"
      from patient t where t.clinic_id = ${act.clinicId}::uuid and ${
        'id' in named
          ? Prisma.sql`t.id = ${named.id}::uuid`
          : Prisma.sql`t.chart_number in (${named.name}, upper(${named.name}))`
      }
      order by t.chart_number <> ${'id' in named ? '' : named.name} limit 1`),
  );

const OrderSubject = z.object({
  id: z.string(),
  number: z.string(),
  stage: z.enum(STAGES),
  side: z.enum(SIDES),
  level: z.enum(LEVELS),
  suspension: z.enum(SUSPENSIONS),
  patientId: z.string(),
});
export type OrderSubject = z.infer<typeof OrderSubject>;

const orders = async (act: Act, condition: Sql): Promise<OrderSubject[]> =>
  parseRows(
    OrderSubject,
    await act.tx.$queryRaw(Prisma.sql`
      select o.id, o.number, o.stage, o.side, o.level, o.suspension, o.patient_id as "patientId"
      from fabrication_order o where o.clinic_id = ${act.clinicId}::uuid and ${condition} order by o.id`),
  );

export const findOrder = async (act: Act, named: Named): Promise<OrderSubject | undefined> =>
  (await orders(act, matches(named, 'number', 'o')))[0];

export const ordersOfPatient = (act: Act, patientId: string): Promise<OrderSubject[]> =>
  orders(act, Prisma.sql`o.patient_id = ${patientId}::uuid`);

const SocketSubject = z.object({
  id: z.string(),
  number: z.string(),
  socketKind: z.enum(SOCKET_KINDS),
  state: z.enum(SOCKET_STATES),
  orderId: z.string(),
  orderNumber: z.string(),
  patientId: z.string(),
  castNumber: z.int(),
  replaces: z.string().nullable(),
  replacedBy: z.string().nullable(),
});
export type SocketSubject = z.infer<typeof SocketSubject>;

const sockets = async (act: Act, condition: Sql): Promise<SocketSubject[]> =>
  parseRows(
    SocketSubject,
    await act.tx.$queryRaw(Prisma.sql`
      select s.id, s.number, s.kind as "socketKind", s.state, o.id as "orderId", o.number as "orderNumber",
        o.patient_id as "patientId", k.number as "castNumber", r.number as replaces,
        (select q.number from socket q where q.clinic_id = s.clinic_id and q.order_id = s.order_id
          and q.replaces_socket_id = s.id order by q.id desc limit 1) as "replacedBy"
      from socket s
      join fabrication_order o on o.clinic_id = s.clinic_id and o.id = s.order_id
      join limb_cast k on k.clinic_id = s.clinic_id and k.id = s.cast_id
      left join socket r on r.clinic_id = s.clinic_id and r.id = s.replaces_socket_id
      where s.clinic_id = ${act.clinicId}::uuid and ${condition} order by s.id`),
  );

export const findSocket = async (act: Act, named: Named): Promise<SocketSubject | undefined> =>
  (await sockets(act, matches(named, 'number', 's')))[0];

export const socketsOfOrders = (act: Act, orderIds: readonly string[]): Promise<SocketSubject[]> =>
  sockets(act, Prisma.sql`s.order_id = any(${orderIds}::uuid[])`);

const PieceSubject = z.object({
  id: z.string(),
  label: z.string(),
  partId: z.string(),
  part: z.string(),
  partKind: z.enum(PART_KINDS),
  serial: z.string().nullable(),
  lot: z.string().nullable(),
  udi: z.string().nullable(),
  expiresOn: z.string().nullable(),
  madeOn: z.string().nullable(),
  receivedAt: z.date(),
  now: z.string().nullable(),
});
export type PieceSubject = z.infer<typeof PieceSubject>;

/** Pieces by serial or by lot, of whichever part, in the order received, with where each is now. */
export const findPieces = async (
  act: Act,
  by: Extract<TraceKey, 'serial' | 'lot'>,
  value: string,
): Promise<PieceSubject[]> =>
  parseRows(
    PieceSubject,
    await act.tx.$queryRaw(Prisma.sql`
      select i.id, ${LABEL} as label, pt.id as "partId", pt.name as part, pt.kind as "partKind", i.serial, i.lot, i.udi,
        i.expires_on::text as "expiresOn", i.made_on::text as "madeOn", i.received_at as "receivedAt", q.name as now
      from item i
      join part pt on pt.clinic_id = i.clinic_id and pt.id = i.part_id
      left join custody c on c.clinic_id = i.clinic_id and c.thing_id = i.id
      left join place q on q.clinic_id = c.clinic_id and q.id = c.place_id
      where i.clinic_id = ${act.clinicId}::uuid and ${Prisma.raw(`i.${by}`)} = ${value}
      order by i.id`),
  );

const BatchSubject = z.object({
  id: z.string(),
  batchKind: z.enum(BATCH_KINDS),
  name: z.string(),
  lot: z.string(),
  receivedOn: z.string(),
  openedOn: z.string().nullable(),
  expiresOn: z.string().nullable(),
  quantity: z.number(),
  unit: z.enum(BATCH_UNITS),
  quarantinedAt: z.date().nullable(),
  quarantineReason: z.string().nullable(),
  uses: z.int(),
  usedAmount: z.number(),
});
export type BatchSubject = z.infer<typeof BatchSubject>;

/** Batches by id or lot; one lot can be on batches of several kinds. */
export const findBatches = async (act: Act, named: Named): Promise<BatchSubject[]> =>
  parseRows(
    BatchSubject,
    await act.tx.$queryRaw(Prisma.sql`
      select b.id, b.kind as "batchKind", b.name, b.lot, b.received_on::text as "receivedOn",
        b.opened_on::text as "openedOn", b.expires_on::text as "expiresOn", b.quantity, b.unit,
        b.quarantined_at as "quarantinedAt", b.quarantine_reason as "quarantineReason",
        u.uses, u.used as "usedAmount"
      from batch b
      cross join lateral (
        select count(*)::int as uses, coalesce(sum(x.amount), 0)::float8 as used from batch_use x
        where x.clinic_id = b.clinic_id and x.batch_id = b.id) u
      where b.clinic_id = ${act.clinicId}::uuid and ${matches(named, 'lot', 'b')} order by b.id`),
  );

const ToolSubject = z.object({
  id: z.string(),
  name: z.string(),
  toolKind: z.enum(SHOP_TOOL_KINDS),
  serial: z.string().nullable(),
  outOfService: z.boolean(),
  now: z.string().nullable(),
});
export type ToolSubject = z.infer<typeof ToolSubject>;

export const findTool = async (act: Act, named: Named): Promise<ToolSubject | undefined> =>
  parseFirst(
    ToolSubject,
    await act.tx.$queryRaw(Prisma.sql`
      select t.id, t.name, t.kind as "toolKind", t.serial, t.out_of_service as "outOfService", q.name as now
      from shop_tool t
      left join custody c on c.clinic_id = t.clinic_id and c.thing_id = t.id
      left join place q on q.clinic_id = c.clinic_id and q.id = c.place_id
      where t.clinic_id = ${act.clinicId}::uuid and ${matches(named, 'name', 't')}`),
  );

const PersonSubject = z.object({
  id: z.string(),
  printedName: z.string(),
  active: z.boolean(),
  roles: z.array(z.enum(ROLES)),
});
export type PersonSubject = z.infer<typeof PersonSubject>;

export const findPerson = async (act: Act, personId: string): Promise<PersonSubject | undefined> =>
  parseFirst(
    PersonSubject,
    await act.tx.$queryRaw(Prisma.sql`
      select n.id, n.printed_name as "printedName", n.active,
        array(select g.role from role_grant g where g.clinic_id = n.clinic_id and g.person_id = n.id
          and g.ended_at is null order by g.role) as roles
      from person n where n.clinic_id = ${act.clinicId}::uuid and n.id = ${personId}::uuid`),
  );

const Stay = z.object({
  thingId: z.string(),
  thing: z.string(),
  socketId: z.string(),
  socketNumber: z.string(),
  socketKind: z.enum(SOCKET_KINDS),
  socketState: z.enum(SOCKET_STATES),
  position: z.enum(POSITIONS),
  orderId: z.string(),
  orderNumber: z.string(),
  chartNumber: z.string(),
  enteredAt: z.date(),
  enteredBy: z.string(),
  enteredWhy: z.enum(MOVE_REASONS),
  enteredFrom: z.string().nullable(),
  leftAt: z.date().nullable(),
  leftBy: z.string().nullable(),
  leftWhy: z.enum(MOVE_REASONS).nullable(),
  leftTo: z.string().nullable(),
});
/** A thing's time in one position of one socket; `left…` are null while it is still there. */
export type Stay = z.infer<typeof Stay>;

/** Whose stays: pieces', a shop tool's, or all that sockets ever held. */
export type StaysOf =
  | { readonly itemIds: readonly string[] }
  | { readonly shopToolId: string }
  | { readonly socketIds: readonly string[] };

/**
 * The way of things through sockets, by thing, then by time; at most `limit` stays.
 * The stays are found first, and the rest is looked up for each by its key.
 */
export async function staysOf(act: Act, whose: StaysOf, limit: number): Promise<Stay[]> {
  return parseRows(
    Stay,
    await act.tx.$queryRaw(Prisma.sql`
      select m.thing_id as "thingId", thing.label as thing, s.id as "socketId", s.number as "socketNumber",
        s.kind as "socketKind", s.state as "socketState", m.position, s.order_id as "orderId",
        s.order_number as "orderNumber", s.chart_number as "chartNumber", m.moved_at as "enteredAt",
        (select printed_name from person w where w.clinic_id = m.clinic_id and w.id = m.moved_by_id) as "enteredBy",
        m.reason as "enteredWhy",
        (select name from place f where f.clinic_id = m.clinic_id and f.id = m.from_place_id) as "enteredFrom",
        n.moved_at as "leftAt",
        (select printed_name from person w where w.clinic_id = m.clinic_id and w.id = n.moved_by_id) as "leftBy",
        n.reason as "leftWhy",
        (select name from place l where l.clinic_id = m.clinic_id and l.id = n.to_place_id) as "leftTo"
      from (
        select m.clinic_id, coalesce(m.item_id, m.shop_tool_id) as thing_id, m.item_id, m.shop_tool_id, m.seq,
          m.moved_at, m.moved_by_id, m.reason, m.from_place_id, q.socket_id, q.position
        from move m
        join place q on q.clinic_id = m.clinic_id and q.id = m.to_place_id and q.socket_id is not null
        where m.clinic_id = ${act.clinicId}::uuid and ${whoseMoves(act, whose)}
        order by thing_id, m.seq limit ${limit}) m
      cross join lateral (
        (select ${LABEL} as label from item i join part pt on pt.clinic_id = i.clinic_id and pt.id = i.part_id
          where i.clinic_id = m.clinic_id and i.id = m.item_id)
        union all
        (select t.name from shop_tool t where t.clinic_id = m.clinic_id and t.id = m.shop_tool_id)
        limit 1) thing
      cross join lateral (
        select s.id, s.number, s.kind, s.state, s.order_id, o.number as order_number, t.chart_number
        from socket s
        join fabrication_order o on o.clinic_id = s.clinic_id and o.id = s.order_id
        join patient t on t.clinic_id = o.clinic_id and t.id = o.patient_id
        where s.clinic_id = m.clinic_id and s.id = m.socket_id limit 1) s
      left join lateral (
        (select moved_at, reason, to_place_id, moved_by_id from move
          where clinic_id = m.clinic_id and item_id = m.item_id and seq = m.seq + 1)
        union all
        (select moved_at, reason, to_place_id, moved_by_id from move
          where clinic_id = m.clinic_id and shop_tool_id = m.shop_tool_id and seq = m.seq + 1)
        limit 1) n on true
      order by m.thing_id, m.seq`),
  );
}

function whoseMoves(act: Act, whose: StaysOf): Sql {
  if ('itemIds' in whose) return Prisma.sql`m.item_id = any(${whose.itemIds}::uuid[])`;
  if ('shopToolId' in whose) return Prisma.sql`m.shop_tool_id = ${whose.shopToolId}::uuid`;
  return Prisma.sql`m.to_place_id = any(array(select id from place
    where clinic_id = ${act.clinicId}::uuid and socket_id = any(${whose.socketIds}::uuid[])))`;
}

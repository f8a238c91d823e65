/**
 * What a traveller shows and no other page asks for: the order with its patient
 * as the bench may know it, the last record of each operation, where each piece
 * of hardware came from, and the evidence behind joints, lock and alignment.
 */
import { z } from 'zod';
import type { Alignment } from '../domain/alignment.ts';
import type { Day } from '../domain/days.ts';
import { reason } from '../domain/reasons/index.ts';
import {
  FINDING_KINDS,
  FUNCTIONAL_LEVELS,
  HOLD_REASONS,
  LEVELS,
  SIDES,
  SOCKET_KINDS,
  SOCKET_STATES,
  STAGES,
  SUSPENSIONS,
} from '../domain/words.ts';
import { found } from './refused.ts';
import { parseFirst, parseRows } from './rows.ts';
import type { Tx } from './tx.ts';

const storedDay = z.string().transform((text) => text as Day);

const OrderRow = z.object({
  number: z.string(),
  version: z.number(),
  side: z.enum(SIDES),
  level: z.enum(LEVELS),
  suspension: z.enum(SUSPENSIONS),
  functionalLevel: z.enum(FUNCTIONAL_LEVELS),
  stage: z.enum(STAGES),
  holdReason: z.enum(HOLD_REASONS).nullable(),
  heldAt: z.date().nullable(),
  liner: z.string().nullable(),
  openedAt: z.date(),
  promisedOn: storedDay.nullable(),
  deliveredAt: z.date().nullable(),
  chartNumber: z.string(),
  givenInitial: z.string(),
  familyInitial: z.string(),
  patientId: z.string(),
  massId: z.string().nullable(),
  massKg: z.number().nullable(),
  massMeasuredOn: storedDay.nullable(),
});

/**
 * The order, and of its patient no more than chart number, first letters and
 * body mass: the rest does not leave the database.
 * @throws Refused 'not-found' where the clinic has no such order.
 */
export async function orderForTraveller(
  tx: Tx,
  clinicId: string,
  orderId: string,
): Promise<z.infer<typeof OrderRow>> {
  const row = parseFirst(
    OrderRow,
    await tx.$queryRaw`
      select o.number, o.version, o.side, o.level, o.suspension, o.functional_level as "functionalLevel", o.stage,
        o.hold_reason as "holdReason", o.held_at as "heldAt", o.liner, o.opened_at as "openedAt",
        o.promised_on::text as "promisedOn", o.delivered_at as "deliveredAt", t.chart_number as "chartNumber",
        left(btrim(t.given_name), 1) as "givenInitial", left(btrim(t.family_name), 1) as "familyInitial",
        t.id as "patientId", b.id as "massId", b.mass_kg as "massKg", b.measured_on::text as "massMeasuredOn"
      from fabrication_order o
      join patient t on t.clinic_id = o.clinic_id and t.id = o.patient_id
      left join lateral (
        select id, mass_kg, measured_on from body_mass b
        where b.clinic_id = t.clinic_id and b.patient_id = t.id
        order by b.measured_on desc, b.id desc limit 1) b on true
      where o.clinic_id = ${clinicId}::uuid and o.id = ${orderId}::uuid`,
  );
  return found(row, () => reason('not-found', { what: 'order', id: orderId }));
}

const SocketRow = z.object({
  id: z.string(),
  number: z.string(),
  kind: z.enum(SOCKET_KINDS),
  state: z.enum(SOCKET_STATES),
  castNumber: z.number(),
  replaces: z.string().nullable(),
  sheetThicknessMm: z.number().nullable(),
});
export type TravellerSocketRow = z.infer<typeof SocketRow>;

/** The sockets of an order, the first one first. */
export const socketsForTraveller = async (
  tx: Tx,
  clinicId: string,
  orderId: string,
): Promise<TravellerSocketRow[]> =>
  parseRows(
    SocketRow,
    await tx.$queryRaw`
      select s.id, s.number, s.kind, s.state, k.number as "castNumber", r.number as replaces,
        s.sheet_thickness_mm as "sheetThicknessMm"
      from socket s
      join limb_cast k on k.clinic_id = s.clinic_id and k.id = s.cast_id
      left join socket r on r.clinic_id = s.clinic_id and r.id = s.replaces_socket_id
      where s.clinic_id = ${clinicId}::uuid and s.order_id = ${orderId}::uuid
      order by s.started_at, s.id`,
  );

const StoredAnswer = z.union([
  z.boolean(),
  z.number(),
  z.string(),
  z.object({ batchId: z.string(), amount: z.number().optional() }),
  z.object({ personId: z.string() }),
  z.object({ scan: z.string() }),
  z.object({ photoIds: z.array(z.string()) }),
]);

const RecordRow = z.object({
  id: z.string(),
  operationId: z.string(),
  outcome: z.enum(['done', 'stopped']),
  results: z.record(z.string(), StoredAnswer),
  recordedAt: z.date(),
  benchAt: z.date().nullable(),
  recordedBy: z.string(),
  secondPerson: z.string().nullable(),
  batches: z.array(
    z.object({
      batchId: z.string(),
      lot: z.string(),
      unit: z.string(),
      amount: z.number().nullable(),
    }),
  ),
});
export type LastRecord = z.infer<typeof RecordRow>;

/** The last attempt at each operation of a socket, with the batches and the person it names. */
export async function lastRecords(
  tx: Tx,
  clinicId: string,
  socketId: string,
): Promise<Map<string, LastRecord>> {
  const rows = parseRows(
    RecordRow,
    await tx.$queryRaw`
      select distinct on (r.operation_id) r.id, r.operation_id as "operationId", r.outcome, r.results,
        r.recorded_at as "recordedAt", r.bench_at as "benchAt", p.printed_name as "recordedBy", s.printed_name as "secondPerson",
        coalesce((select json_agg(json_build_object('batchId', b.id, 'lot', b.lot, 'unit', b.unit, 'amount', u.amount))
          from batch_use u join batch b on b.clinic_id = u.clinic_id and b.id = u.batch_id
          where u.clinic_id = r.clinic_id and u.operation_record_id = r.id), '[]'::json) as batches
      from operation_record r
      join operation o on o.clinic_id = r.clinic_id and o.id = r.operation_id
      join person p on p.clinic_id = r.clinic_id and p.id = r.recorded_by_id
      left join person s on s.clinic_id = r.clinic_id and s.id = r.second_person_id
      where o.clinic_id = ${clinicId}::uuid and o.socket_id = ${socketId}::uuid
      order by r.operation_id, r.attempt desc`,
  );
  return new Map(rows.map((row) => [row.operationId, row]));
}

const OriginRow = z.object({
  itemId: z.string(),
  catalogueNumber: z.string(),
  fromKind: z.enum(['receiving', 'bin', 'socket_position', 'quarantine']).nullable(),
  fromName: z.string().nullable(),
  fromSocket: z.string().nullable(),
});
export type Origin = z.infer<typeof OriginRow>;

/**
 * For each item in a socket, the bin or other socket it came from: a stay on the
 * bench in between, for trimming, does not count.
 */
export async function originsOf(
  tx: Tx,
  clinicId: string,
  socketId: string,
): Promise<Map<string, Origin>> {
  const rows = parseRows(
    OriginRow,
    await tx.$queryRaw`
      select c.item_id as "itemId", pt.catalogue_number as "catalogueNumber", src.kind as "fromKind",
        src.name as "fromName", src.socket as "fromSocket"
      from place p
      join custody c on c.clinic_id = p.clinic_id and c.place_id = p.id
      join item i on i.clinic_id = c.clinic_id and i.id = c.item_id
      join part pt on pt.clinic_id = i.clinic_id and pt.id = i.part_id
      left join lateral (
        select f.kind, f.name, s.number as socket
        from move m
        join place f on f.clinic_id = m.clinic_id and f.id = m.from_place_id
        left join socket s on s.clinic_id = f.clinic_id and s.id = f.socket_id
        where m.clinic_id = c.clinic_id and m.item_id = c.item_id and f.kind <> 'bench'
          and f.socket_id is distinct from p.socket_id
        order by m.seq desc limit 1) src on true
      where p.clinic_id = ${clinicId}::uuid and p.socket_id = ${socketId}::uuid`,
  );
  return new Map(rows.map((row) => [row.itemId, row]));
}

const ConfirmationRow = z.object({
  id: z.string(),
  recordedAt: z.date(),
  benchAt: z.date().nullable(),
  recordedBy: z.string(),
  tool: z.string(),
  threadlockerLot: z.string().nullable(),
  readings: z.array(
    z.object({
      fastener: z.number(),
      pass: z.number(),
      torqueNm: z.number(),
      final: z.boolean(),
    }),
  ),
});
export type ConfirmationDetails = z.infer<typeof ConfirmationRow>;

/** Torque confirmations by their ids, with their readings. */
export async function confirmationDetails(
  tx: Tx,
  clinicId: string,
  ids: readonly string[],
): Promise<Map<string, ConfirmationDetails>> {
  const rows = parseRows(
    ConfirmationRow,
    await tx.$queryRaw`
      select c.id, c.recorded_at as "recordedAt", c.bench_at as "benchAt", p.printed_name as "recordedBy", t.name as tool,
        b.lot as "threadlockerLot",
        (select json_agg(json_build_object('fastener', r.fastener, 'pass', r.pass, 'torqueNm', r.torque_nm,
            'final', r.final) order by r.fastener, r.pass)
          from torque_reading r where r.clinic_id = c.clinic_id and r.confirmation_id = c.id) as readings
      from torque_confirmation c
      join person p on p.clinic_id = c.clinic_id and p.id = c.recorded_by_id
      join shop_tool t on t.clinic_id = c.clinic_id and t.id = c.tool_id
      left join batch b on b.clinic_id = c.clinic_id and b.id = c.threadlocker_batch_id
      where c.clinic_id = ${clinicId}::uuid and c.id = any(${ids}::uuid[])`,
  );
  return new Map(rows.map((row) => [row.id, row]));
}

const LockCheckRow = z.object({
  recordedAt: z.date(),
  benchAt: z.date().nullable(),
  recordedBy: z.string(),
  cycles: z.array(z.object({ clicks: z.number() })),
});

/** A lock check by its id. */
export async function lockCheckDetails(
  tx: Tx,
  clinicId: string,
  id: string,
): Promise<z.infer<typeof LockCheckRow> | undefined> {
  return parseFirst(
    LockCheckRow,
    await tx.$queryRaw`
      select l.recorded_at as "recordedAt", l.bench_at as "benchAt", p.printed_name as "recordedBy", l.cycles
      from lock_check l
      join person p on p.clinic_id = l.clinic_id and p.id = l.recorded_by_id
      where l.clinic_id = ${clinicId}::uuid and l.id = ${id}::uuid`,
  );
}

const AlignmentRow = z.object({
  socket: z.string(),
  measuredAt: z.date(),
  measuredBy: z.string(),
  values: z.object({
    flexionDeg: z.number(),
    adductionDeg: z.number(),
    anteriorOffsetMm: z.number(),
    lateralOffsetMm: z.number(),
    toeOutDeg: z.number(),
    heightToFloorMm: z.number(),
  } satisfies Record<keyof Alignment, z.ZodNumber>),
});

/** An alignment by its id, with the socket it was measured on. */
export async function alignmentDetails(
  tx: Tx,
  clinicId: string,
  id: string,
): Promise<z.infer<typeof AlignmentRow> | undefined> {
  return parseFirst(
    AlignmentRow,
    await tx.$queryRaw`
      select s.number as socket, a.measured_at as "measuredAt", p.printed_name as "measuredBy",
        json_build_object('flexionDeg', a.flexion_deg, 'adductionDeg', a.adduction_deg,
          'anteriorOffsetMm', a.anterior_offset_mm, 'lateralOffsetMm', a.lateral_offset_mm,
          'toeOutDeg', a.toe_out_deg, 'heightToFloorMm', a.height_to_floor_mm) as values
      from alignment a
      join socket s on s.clinic_id = a.clinic_id and s.id = a.socket_id
      join person p on p.clinic_id = a.clinic_id and p.id = a.measured_by_id
      where a.clinic_id = ${clinicId}::uuid and a.id = ${id}::uuid`,
  );
}

const FindingRow = z.object({
  id: z.string(),
  socket: z.string(),
  kind: z.enum(FINDING_KINDS),
  note: z.string(),
  operation: z.string().nullable(),
  openedAt: z.date(),
  photos: z.int(),
});

/** The open findings on all sockets of an order, the oldest first. */
export const openFindingsOf = async (
  tx: Tx,
  clinicId: string,
  orderId: string,
): Promise<z.infer<typeof FindingRow>[]> =>
  parseRows(
    FindingRow,
    await tx.$queryRaw`
      select f.id, s.number as socket, f.kind, f.note, o.title as operation, f.opened_at as "openedAt",
        (select count(*)::int from photo p where p.clinic_id = f.clinic_id and p.finding_id = f.id) as photos
      from finding f
      join socket s on s.clinic_id = f.clinic_id and s.id = f.socket_id
      left join operation o on o.clinic_id = f.clinic_id and o.id = f.operation_id
      where s.clinic_id = ${clinicId}::uuid and s.order_id = ${orderId}::uuid and f.disposition is null
      order by f.id`,
  );

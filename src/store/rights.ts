/** Statements on what holds a patient's record, what is asked of it, and what is erased of it. */
import { z } from 'zod';
import { CORRECTION_DECISIONS, DENIAL_GROUNDS } from '../domain/corrections.ts';
import type { Day } from '../domain/days.ts';
import { ERASABLE, ERASURE_STATES, HOLD_SUBJECTS } from '../domain/retention.ts';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act } from './act.ts';
import { parseFirst, parseRows } from './rows.ts';

const storedDay = z.string().transform((text) => text as Day);

// ── Retention ────────────────────────────────────────────────────────────────────
const ActivityRow = z.object({
  lastDeliveryOn: storedDay.nullable(),
  lastVisitOn: storedDay.nullable(),
  lastEntryOn: storedDay,
  ordersOpen: z.number(),
  birthDate: storedDay.nullable(),
});
export type ActivityRow = z.infer<typeof ActivityRow>;

const ACTIVITY = Prisma.sql`
  a.last_delivery::text as "lastDeliveryOn", a.last_visit::text as "lastVisitOn",
  a.last_entry::text as "lastEntryOn", a.orders_open as "ordersOpen", p.birth_date::text as "birthDate"`;

/** What the years of one patient's record run from. */
export const activityOf = async (act: Act, patientId: string): Promise<ActivityRow | undefined> =>
  parseFirst(
    ActivityRow,
    await act.tx.$queryRaw`
      select ${ACTIVITY} from patient p, activity_of(p.clinic_id, p.id) a
      where p.clinic_id = ${act.clinicId}::uuid and p.id = ${patientId}::uuid`,
  );

const DueRow = ActivityRow.extend({
  patientId: z.string(),
  chartNumber: z.string(),
  keptUntil: storedDay,
  holds: z.number(),
  identityErased: z.boolean(),
  erasureAsked: z.boolean(),
});
export type DueRow = z.infer<typeof DueRow>;

/** Patients whose years end before a day, the earliest first, then by chart number. */
export const recordsDue = async (
  act: Act,
  before: Day,
  after: { readonly keptUntil: string; readonly chartNumber: string } | undefined,
  take: number,
): Promise<DueRow[]> =>
  parseRows(
    DueRow,
    await act.tx.$queryRaw`
      select p.id as "patientId", p.chart_number as "chartNumber", k.until::text as "keptUntil", ${ACTIVITY},
        (select count(*)::int from holds_on(p.clinic_id, p.id)) as holds,
        p.identity_erasure_id is not null as "identityErased",
        exists (select 1 from erasure e where e.clinic_id = p.clinic_id and e.patient_id = p.id and e.state = 'asked') as "erasureAsked"
      from patient p, kept_until(p.clinic_id, p.id) k(until), activity_of(p.clinic_id, p.id) a
      where p.clinic_id = ${act.clinicId}::uuid and p.identity_erasure_id is null and k.until < ${before}::date
        and (${after?.keptUntil ?? null}::text is null
          or (k.until, p.chart_number) > (${after?.keptUntil ?? null}::date, ${after?.chartNumber ?? null}::text))
      order by k.until, p.chart_number limit ${take}::int`,
  );

// ── Holds ────────────────────────────────────────────────────────────────────────
const HoldRow = z.object({
  id: z.string(),
  subjectKind: z.enum(HOLD_SUBJECTS),
  patientId: z.string().nullable(),
  chartNumber: z.string().nullable(),
  orderId: z.string().nullable(),
  orderNumber: z.string().nullable(),
  partId: z.string().nullable(),
  partName: z.string().nullable(),
  lot: z.string().nullable(),
  reason: z.string(),
  reference: z.string(),
  placedAt: z.date(),
  placedBy: z.string(),
  liftedAt: z.date().nullable(),
  liftedBy: z.string().nullable(),
  liftReason: z.string().nullable(),
});
export type HoldRow = z.infer<typeof HoldRow>;

const holdsFrom = (from: Prisma.Sql): Prisma.Sql => Prisma.sql`
  select h.id, h.subject_kind as "subjectKind", coalesce(h.patient_id, o.patient_id) as "patientId",
    t.chart_number as "chartNumber", h.order_id as "orderId", o.number as "orderNumber",
    h.part_id as "partId", pt.name as "partName", h.lot, h.reason, h.reference, h.placed_at as "placedAt",
    pb.printed_name as "placedBy", h.lifted_at as "liftedAt", lb.printed_name as "liftedBy", h.lift_reason as "liftReason"
  from ${from} h
  left join fabrication_order o on o.clinic_id = h.clinic_id and o.id = h.order_id
  left join patient t on t.clinic_id = h.clinic_id and t.id = coalesce(h.patient_id, o.patient_id)
  left join part pt on pt.clinic_id = h.clinic_id and pt.id = h.part_id
  join person pb on pb.clinic_id = h.clinic_id and pb.id = h.placed_by_id
  left join person lb on lb.clinic_id = h.clinic_id and lb.id = h.lifted_by_id`;

/** The holds in force that concern a patient, the oldest first. */
export const holdsOn = async (act: Act, patientId: string): Promise<HoldRow[]> =>
  parseRows(
    HoldRow,
    await act.tx.$queryRaw`
      ${holdsFrom(Prisma.sql`holds_on(${act.clinicId}::uuid, ${patientId}::uuid)`)} order by h.placed_at, h.id`,
  );

/** The holds in force on lots of a part, or on one lot of it, the oldest first. */
export const holdsOnLots = async (
  act: Act,
  partId: string,
  lot: string | null,
): Promise<HoldRow[]> =>
  parseRows(
    HoldRow,
    await act.tx.$queryRaw`
      ${holdsFrom(Prisma.sql`legal_hold`)} where h.clinic_id = ${act.clinicId}::uuid and h.part_id = ${partId}::uuid
        and (${lot}::text is null or h.lot = ${lot}::text) and h.lifted_at is null order by h.placed_at, h.id`,
  );

/** Every hold, those in force first, then the newest. */
export const listHolds = async (act: Act): Promise<HoldRow[]> =>
  parseRows(
    HoldRow,
    await act.tx.$queryRaw`
      ${holdsFrom(Prisma.sql`legal_hold`)} where h.clinic_id = ${act.clinicId}::uuid
      order by h.lifted_at is not null, h.placed_at desc, h.id limit 500`,
  );

export const loadHold = async (act: Act, id: string): Promise<HoldRow | undefined> =>
  parseFirst(
    HoldRow,
    await act.tx.$queryRaw`
      ${holdsFrom(Prisma.sql`legal_hold`)} where h.clinic_id = ${act.clinicId}::uuid and h.id = ${id}::uuid`,
  );

/** Whether any piece of a part has that lot. */
export const hasLot = async (act: Act, partId: string, lot: string): Promise<boolean> =>
  (await act.tx.item.findFirst({
    where: { clinicId: act.clinicId, partId, lot },
    select: { id: true },
  })) !== null;

// ── Requests ────────────────────────────────────────────────────────────────────
const RequestRow = z.object({
  id: z.string(),
  patientId: z.string(),
  askedOn: storedDay,
  said: z.string(),
  recordedAt: z.date(),
  recordedBy: z.string(),
  decision: z.enum(CORRECTION_DECISIONS).nullable(),
  denialGround: z.enum(DENIAL_GROUNDS).nullable(),
  decisionReason: z.string().nullable(),
  decidedAt: z.date().nullable(),
  decidedBy: z.string().nullable(),
  disagreement: z.string().nullable(),
  disagreementAt: z.date().nullable(),
  disagreementBy: z.string().nullable(),
});
export type RequestRow = z.infer<typeof RequestRow>;

const REQUESTS = Prisma.sql`
  select q.id, q.patient_id as "patientId", q.asked_on::text as "askedOn", q.said, q.recorded_at as "recordedAt",
    rb.printed_name as "recordedBy", q.decision, q.denial_ground as "denialGround",
    q.decision_reason as "decisionReason", q.decided_at as "decidedAt", db.printed_name as "decidedBy",
    q.disagreement, q.disagreement_at as "disagreementAt", sb.printed_name as "disagreementBy"
  from correction_request q
  join person rb on rb.clinic_id = q.clinic_id and rb.id = q.recorded_by_id
  left join person db on db.clinic_id = q.clinic_id and db.id = q.decided_by_id
  left join person sb on sb.clinic_id = q.clinic_id and sb.id = q.disagreement_by_id`;

/** What a patient asked to be corrected, the newest first. */
export const requestsOf = async (act: Act, patientId: string): Promise<RequestRow[]> =>
  parseRows(
    RequestRow,
    await act.tx.$queryRaw`
      ${REQUESTS} where q.clinic_id = ${act.clinicId}::uuid and q.patient_id = ${patientId}::uuid
      order by q.recorded_at desc, q.id desc`,
  );

/** Held until the transaction ends, so that it is decided once. */
export async function holdRequest(act: Act, id: string): Promise<RequestRow | undefined> {
  await act.tx.$queryRaw`
    select 1 from correction_request where clinic_id = ${act.clinicId}::uuid and id = ${id}::uuid for no key update`;
  return parseFirst(
    RequestRow,
    await act.tx
      .$queryRaw`${REQUESTS} where q.clinic_id = ${act.clinicId}::uuid and q.id = ${id}::uuid`,
  );
}

// ── Erasures ─────────────────────────────────────────────────────────────────────
const ErasureRow = z.object({
  id: z.string(),
  patientId: z.string(),
  chartNumber: z.string(),
  what: z.array(z.enum(ERASABLE)),
  why: z.string(),
  legalBasis: z.string(),
  askedAt: z.date(),
  askedById: z.string(),
  askedBy: z.string(),
  state: z.enum(ERASURE_STATES),
  settledAt: z.date().nullable(),
  settledBy: z.string().nullable(),
  erased: z.record(z.string(), z.number()).nullable(),
});
export type ErasureRow = z.infer<typeof ErasureRow>;

const ERASURES = Prisma.sql`
  select e.id, e.patient_id as "patientId", t.chart_number as "chartNumber", e.what, e.why,
    e.legal_basis as "legalBasis", e.asked_at as "askedAt", e.asked_by_id as "askedById", ab.printed_name as "askedBy",
    e.state, e.settled_at as "settledAt", sb.printed_name as "settledBy", e.erased
  from erasure e
  join patient t on t.clinic_id = e.clinic_id and t.id = e.patient_id
  join person ab on ab.clinic_id = e.clinic_id and ab.id = e.asked_by_id
  left join person sb on sb.clinic_id = e.clinic_id and sb.id = e.settled_by_id`;

export const erasuresOf = async (act: Act, patientId: string): Promise<ErasureRow[]> =>
  parseRows(
    ErasureRow,
    await act.tx.$queryRaw`
      ${ERASURES} where e.clinic_id = ${act.clinicId}::uuid and e.patient_id = ${patientId}::uuid
      order by e.asked_at desc, e.id desc`,
  );

/** @param ids which; those that are not there are left out */
export const erasuresById = async (act: Act, ids: readonly string[]): Promise<ErasureRow[]> =>
  ids.length === 0
    ? []
    : parseRows(
        ErasureRow,
        await act.tx.$queryRaw`
          ${ERASURES} where e.clinic_id = ${act.clinicId}::uuid and e.id = any(${ids}::uuid[]) order by e.asked_at`,
      );

/** Held until the transaction ends. */
export async function holdErasure(act: Act, id: string): Promise<ErasureRow | undefined> {
  await act.tx.$queryRaw`
    select 1 from erasure where clinic_id = ${act.clinicId}::uuid and id = ${id}::uuid for no key update`;
  const [row] = await erasuresById(act, [id]);
  return row;
}

/** Which of the erasable things still stand in the record. */
export async function standing(act: Act, patientId: string): Promise<ReadonlySet<string>> {
  const row = parseFirst(
    z.object({
      phone: z.boolean(),
      address: z.boolean(),
      desk_notes: z.boolean(),
      identity: z.boolean(),
    }),
    await act.tx.$queryRaw`
      select p.birth_date is not null as identity,
        p.phone is not null or ${sealedStands('phone')} as phone,
        p.address is not null or ${sealedStands('address')} as address,
        exists (select 1 from appointment a where a.clinic_id = p.clinic_id and a.patient_id = p.id
          and (a.note is not null or a.why <> ''))
          or exists (select 1 from recall_call c join socket s on s.clinic_id = c.clinic_id and s.id = c.socket_id
            join fabrication_order o on o.clinic_id = s.clinic_id and o.id = s.order_id
            where c.clinic_id = p.clinic_id and o.patient_id = p.id and c.note is not null) as desk_notes
      from patient p where p.clinic_id = ${act.clinicId}::uuid and p.id = ${patientId}::uuid`,
  );
  return new Set(Object.entries(row ?? {}).flatMap(([key, stands]) => (stands ? [key] : [])));
}

/** A value that is gone from the patient still stands under the seals of older events. */
const sealedStands = (field: string): Prisma.Sql => Prisma.sql`
  exists (select 1 from event e, jsonb_each(e.sealed) v where e.clinic_id = p.clinic_id and e.subject_id = p.id
    and regexp_replace(v.key, '^(before|after)\\.', '') = ${field} and not v.value ? 'erased')`;

import { v7 as uuidv7 } from 'uuid';
import { z } from 'zod';
import type { Day } from '../domain/days.ts';
import { reason } from '../domain/reasons/index.ts';
import {
  CAST_STATES,
  FUNCTIONAL_LEVELS,
  HOLD_REASONS,
  LEVELS,
  SIDES,
  SOCKET_KINDS,
  SOCKET_STATES,
  STAGES,
  SUSPENSIONS,
  type FunctionalLevel,
  type HoldReason,
  type Level,
  type Side,
  type Stage,
  type Suspension,
} from '../domain/words.ts';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act } from './act.ts';
import { found } from './refused.ts';
import { parseFirst, parseRows } from './rows.ts';

const storedDay = z.string().transform((text) => text as Day);

const ORDER_FIELDS = {
  id: z.string(),
  number: z.string(),
  patientId: z.string(),
  side: z.enum(SIDES),
  level: z.enum(LEVELS),
  suspension: z.enum(SUSPENSIONS),
  functionalLevel: z.enum(FUNCTIONAL_LEVELS),
  stage: z.enum(STAGES),
  holdReason: z.enum(HOLD_REASONS).nullable(),
  heldAt: z.date().nullable(),
  promisedOn: storedDay.nullable(),
  firstPromisedOn: storedDay.nullable(),
  offeredChance: z.number().nullable(),
  offerSeed: z.number().nullable(),
  liner: z.string().nullable(),
  note: z.string().nullable(),
  prosthetistId: z.string().nullable(),
  openedAt: z.date(),
  deliveredAt: z.date().nullable(),
  version: z.number(),
};
const OrderRow = z.object(ORDER_FIELDS);

/** An order as it stands in the book. `version` counts its changes (If-Match). */
export type OrderRecord = z.infer<typeof OrderRow>;

const COLUMNS = Prisma.sql`o.id, o.number, o.patient_id as "patientId", o.side, o.level, o.suspension,
  o.functional_level as "functionalLevel", o.stage, o.hold_reason as "holdReason", o.held_at as "heldAt",
  o.promised_on::text as "promisedOn", o.first_promised_on::text as "firstPromisedOn",
  o.offered_chance as "offeredChance", o.offer_seed as "offerSeed", o.liner, o.note,
  o.prosthetist_id as "prosthetistId", o.opened_at as "openedAt", o.delivered_at as "deliveredAt", o.version`;

const byId = (act: Act, orderId: string): Prisma.Sql =>
  Prisma.sql`o.clinic_id = ${act.clinicId}::uuid and o.id = ${orderId}::uuid`;

/**
 * Reads an order.
 * @throws Refused 'not-found' where the clinic has no such order.
 */
export async function loadOrder(act: Act, orderId: string): Promise<OrderRecord> {
  const row = parseFirst(
    OrderRow,
    await act.tx.$queryRaw`select ${COLUMNS} from fabrication_order o where ${byId(act, orderId)}`,
  );
  return found(row, () => reason('not-found', { what: 'order', id: orderId }));
}

/**
 * As `loadOrder`, and holds the order until the transaction ends: for acts that
 * count what the order has (casts, sockets) before they add to it.
 */
export async function holdOrder(act: Act, orderId: string): Promise<OrderRecord> {
  const row = parseFirst(
    OrderRow,
    await act.tx.$queryRaw`
      select ${COLUMNS} from fabrication_order o where ${byId(act, orderId)} for no key update`,
  );
  return found(row, () => reason('not-found', { what: 'order', id: orderId }));
}

/** An order with what its line in a list says of patient and people. */
export const ListedRow = z.object({
  ...ORDER_FIELDS,
  chartNumber: z.string(),
  givenName: z.string(),
  familyName: z.string(),
  birthDate: storedDay.nullable(),
  prosthetistName: z.string().nullable(),
  /** When it last came to its present stage. */
  stageSince: z.date().nullable(),
});
export type ListedOrder = z.infer<typeof ListedRow>;

/** What a line in a list is read from; `o` is the order, `t` its patient. */
export const LISTED = Prisma.sql`
  select ${COLUMNS}, t.chart_number as "chartNumber", t.given_name as "givenName", t.family_name as "familyName",
    t.birth_date::text as "birthDate", cpo.printed_name as "prosthetistName",
    (select max(c.changed_at) from stage_change c
      where c.clinic_id = o.clinic_id and c.order_id = o.id and c.to_stage = o.stage) as "stageSince"
  from fabrication_order o
  join patient t on t.clinic_id = o.clinic_id and t.id = o.patient_id
  left join person cpo on cpo.clinic_id = o.clinic_id and cpo.id = o.prosthetist_id`;

const PageRow = ListedRow.extend({
  openedByName: z.string(),
  bodyMassKg: z.number().nullable(),
  casts: z.array(z.object({ id: z.string(), number: z.number(), state: z.enum(CAST_STATES) })),
  sockets: z.array(
    z.object({
      id: z.string(),
      number: z.string(),
      kind: z.enum(SOCKET_KINDS),
      state: z.enum(SOCKET_STATES),
    }),
  ),
  stages: z.array(z.object({ stage: z.enum(STAGES), since: z.coerce.date() })),
});
/** All that an order's own page says. */
export type OrderOnPage = z.infer<typeof PageRow>;

/** An order by its id or its number, with body mass, casts, sockets and the stages it came through. */
export async function loadOrderPage(
  act: Act,
  key: { readonly id: string } | { readonly number: string },
): Promise<OrderOnPage> {
  const asked =
    'id' in key ? Prisma.sql`o.id = ${key.id}::uuid` : Prisma.sql`o.number = ${key.number}`;
  const row = parseFirst(
    PageRow,
    await act.tx.$queryRaw`
      select listed.*, by.printed_name as "openedByName",
        (select b.mass_kg from body_mass b where b.clinic_id = ${act.clinicId}::uuid
          and b.patient_id = listed."patientId" order by b.measured_on desc, b.id desc limit 1) as "bodyMassKg",
        coalesce((select json_agg(json_build_object('id', k.id, 'number', k.number, 'state', k.state) order by k.number)
          from limb_cast k where k.clinic_id = ${act.clinicId}::uuid and k.order_id = listed.id), '[]'::json) as casts,
        coalesce((select json_agg(json_build_object('id', s.id, 'number', s.number, 'kind', s.kind, 'state', s.state)
            order by s.started_at, s.id)
          from socket s where s.clinic_id = ${act.clinicId}::uuid and s.order_id = listed.id), '[]'::json) as sockets,
        coalesce((select json_agg(json_build_object('stage', c.to_stage, 'since', c.changed_at) order by c.seq)
          from stage_change c where c.clinic_id = ${act.clinicId}::uuid and c.order_id = listed.id), '[]'::json) as stages
      from (${LISTED} where o.clinic_id = ${act.clinicId}::uuid and ${asked}) listed
      join fabrication_order f on f.clinic_id = ${act.clinicId}::uuid and f.id = listed.id
      join person by on by.clinic_id = f.clinic_id and by.id = f.opened_by_id`,
  );
  return found(row, () =>
    reason('not-found', { what: 'order', id: 'id' in key ? key.id : key.number }),
  );
}

const NumberRow = z.object({ number: z.string() });

/** Numbers of the orders that are open for one limb of a patient. */
export async function openOrdersFor(
  act: Act,
  limb: { readonly patientId: string; readonly side: Side; readonly level: Level },
): Promise<string[]> {
  const rows = parseRows(
    NumberRow,
    await act.tx.$queryRaw`
      select number from fabrication_order
      where clinic_id = ${act.clinicId}::uuid and patient_id = ${limb.patientId}::uuid
        and side = ${limb.side} and level = ${limb.level} and stage not in ('delivered', 'cancelled')
      order by number`,
  );
  return rows.map((row) => row.number);
}

/**
 * Puts an order on hold, or takes it off.
 * @returns false where it was changed since it was read.
 */
export async function writeHold(
  act: Act,
  order: OrderRecord,
  holdReason: HoldReason | null,
): Promise<boolean> {
  const { count } = await act.tx.fabricationOrder.updateMany({
    where: { clinicId: act.clinicId, id: order.id, version: order.version },
    data: {
      holdReason,
      heldAt: holdReason === null ? null : act.at,
      version: { increment: 1 },
    },
  });
  return count === 1;
}

/** An order as it is opened. */
export interface NewOrder {
  readonly id: string;
  readonly number: string;
  readonly patientId: string;
  readonly side: Side;
  readonly level: Level;
  readonly suspension: Suspension;
  readonly functionalLevel: FunctionalLevel;
  readonly stage: Stage;
  /** Kept as the day promised first, too. */
  readonly promisedOn: Day | null;
  readonly offeredChance: number | null;
  readonly offerSeed: number | null;
  readonly liner: string | null;
  readonly note: string | null;
  readonly prosthetistId: string | null;
}

/** Writes an order and the first line of its stages, in one statement. */
export async function writeOrder(act: Act, order: NewOrder): Promise<void> {
  await act.tx.$executeRaw`
    with opened as (
      insert into fabrication_order (clinic_id, id, number, patient_id, side, level, suspension, functional_level,
        stage, promised_on, first_promised_on, offered_chance, offer_seed, liner, note, prosthetist_id, opened_at,
        opened_by_id)
      values (${act.clinicId}::uuid, ${order.id}::uuid, ${order.number}, ${order.patientId}::uuid, ${order.side},
        ${order.level}, ${order.suspension}, ${order.functionalLevel}, ${order.stage}, ${order.promisedOn}::date,
        ${order.promisedOn}::date, ${order.offeredChance}::float8, ${order.offerSeed}::int,
        ${order.liner}, ${order.note}, ${order.prosthetistId}::uuid, ${act.at}::timestamptz, ${act.by.personId}::uuid)
      returning clinic_id, id, stage, opened_at, opened_by_id)
    insert into stage_change (clinic_id, id, order_id, seq, to_stage, changed_at, changed_by_id)
    select clinic_id, ${uuidv7()}::uuid, id, 1, stage, opened_at, opened_by_id from opened`;
}

/**
 * Moves an order to `next` and writes the step beside it, in one statement. What is remade
 * after its delivery has no promised day: the one that stood was for the limb delivered.
 * @returns false where the order is no longer at the stage and version that were read.
 */
export async function writeStageStep(
  act: Act,
  order: OrderRecord,
  next: Stage,
  why: string | null,
  signatureId: string | null,
): Promise<boolean> {
  const written = await act.tx.$executeRaw`
    with stepped as (
      update fabrication_order set
        stage = ${next}, version = version + 1,
        hold_reason = case when ${next} = 'cancelled' then null else hold_reason end,
        held_at = case when ${next} = 'cancelled' then null else held_at end,
        promised_on = case when stage = 'delivered' then null else promised_on end,
        delivered_at = case when ${next} = 'delivered' then ${act.at}::timestamptz else delivered_at end
      where clinic_id = ${act.clinicId}::uuid and id = ${order.id}::uuid
        and stage = ${order.stage} and version = ${order.version}::int
      returning clinic_id, id)
    insert into stage_change
      (clinic_id, id, order_id, seq, from_stage, to_stage, why, changed_at, changed_by_id, signature_id)
    select clinic_id, ${uuidv7()}::uuid, id,
      (select coalesce(max(seq), 0) + 1 from stage_change c where c.clinic_id = stepped.clinic_id and c.order_id = stepped.id),
      ${order.stage}, ${next}, ${why}, ${act.at}::timestamptz, ${act.by.personId}::uuid, ${signatureId}::uuid
    from stepped`;
  return written === 1;
}

const ProsthetistRow = z.object({ id: z.string(), printedName: z.string() });

/** Active prosthetists of the clinic, by name. */
export async function prosthetists(act: Act): Promise<{ id: string; printedName: string }[]> {
  return parseRows(
    ProsthetistRow,
    await act.tx.$queryRaw`
      select p.id, p.printed_name as "printedName" from person p
      where p.clinic_id = ${act.clinicId}::uuid and p.active and exists (
        select 1 from role_grant g where g.clinic_id = p.clinic_id and g.person_id = p.id
          and g.role = 'prosthetist' and g.ended_at is null)
      order by p.printed_name, p.id`,
  );
}

const EventRow = z.object({
  seq: z.coerce.number(),
  at: z.date(),
  by: z.string().nullable(),
  kind: z.string(),
  subjectKind: z.string(),
  subjectId: z.string(),
  data: z.record(z.string(), z.unknown()),
});

/** What happened to an order and all that belongs to it, the newest first. */
export async function orderEvents(
  act: Act,
  orderId: string,
  beforeSeq: number | null,
  take: number,
): Promise<z.infer<typeof EventRow>[]> {
  const page = beforeSeq === null ? Prisma.empty : Prisma.sql`and e.seq < ${beforeSeq}::bigint`;
  return parseRows(
    EventRow,
    await act.tx.$queryRaw`
      select e.seq, e.at, p.printed_name as by, e.kind, e.subject_kind as "subjectKind",
        e.subject_id as "subjectId", e.data
      from event e left join person p on p.clinic_id = e.clinic_id and p.id = e.person_id
      where e.clinic_id = ${act.clinicId}::uuid and e.order_id = ${orderId}::uuid ${page}
      order by e.seq desc limit ${take}::int`,
  );
}

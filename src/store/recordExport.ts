/** Statements of the export: the tables of the record, page by page, of a clinic or of one order. */
import { z } from 'zod';
import { Prisma } from '../generated/prisma/client.ts';
import type { KeptValue } from '../domain/seals.ts';
import type { Act } from './act.ts';
import { CHAINED_EVENT, ChainedEventRow } from './chainedEvents.ts';
import { Refused } from './refused.ts';
import { parseFirst, parseRows } from './rows.ts';
import { openSealed } from './sealedValues.ts';

interface Exported {
  /** What orders its rows within the clinic, with the type of each column. */
  readonly key: readonly (readonly [column: string, type: 'uuid' | 'text' | 'int' | 'float8'])[];
  /** Which rows belong to one order, where $order stands for its id; null where none does. */
  readonly ofOrder: string | null;
}

const ID = [['id', 'uuid']] as const;
const byOrder = { key: ID, ofOrder: 'order_id = $order' };
const SOCKETS = 'select id from socket where order_id = $order';
const bySocket = { key: ID, ofOrder: `socket_id in (${SOCKETS})` };
const PATIENT = 'select patient_id from fabrication_order where id = $order';
const OPERATIONS = `select id from operation where socket_id in (${SOCKETS})`;
const CONFIRMATIONS = `select id from torque_confirmation where joint_id in (select id from joint where socket_id in (${SOCKETS}))`;
const PLACES = `select id from place where socket_id in (${SOCKETS})`;
const MOVES = `from_place_id in (${PLACES}) or to_place_id in (${PLACES})`;
const ITEMS = `select item_id from move where ${MOVES}`;
const shopOnly = { key: ID, ofOrder: null };

/** Every table of the record, in the order of the export; a row comes after what it points at where it can. */
export const EXPORTED: Readonly<Record<string, Exported>> = {
  person: { key: ID, ofOrder: 'true' },
  role_grant: shopOnly,
  number_counter: {
    key: [
      ['counts', 'text'],
      ['year', 'int'],
    ],
    ofOrder: null,
  },
  work_calendar: shopOnly,
  bench: shopOnly,
  layup_rule_set: shopOnly,
  fabric: shopOnly,
  resin_product: {
    key: ID,
    ofOrder: `id in (select product_id from resin_recipe where socket_id in (${SOCKETS}))`,
  },
  part: { key: ID, ofOrder: `id in (select part_id from item where id in (${ITEMS}))` },
  part_draft: shopOnly,
  torque_setting: {
    key: ID,
    ofOrder: `id in (select torque_setting_id from torque_confirmation where id in (${CONFIRMATIONS}))`,
  },
  route: { key: ID, ofOrder: 'id in (select route_id from socket where order_id = $order)' },
  route_operation: {
    key: [
      ['route_id', 'uuid'],
      ['seq', 'int'],
    ],
    ofOrder: 'route_id in (select route_id from socket where order_id = $order)',
  },
  shop_tool: {
    key: ID,
    ofOrder: `id in (select tool_id from torque_confirmation where id in (${CONFIRMATIONS}))`,
  },
  calibration: {
    key: ID,
    ofOrder: `id in (select calibration_id from torque_confirmation where id in (${CONFIRMATIONS}))`,
  },
  batch: {
    key: ID,
    ofOrder: `id in (select batch_id from batch_use where socket_id in (${SOCKETS}))`,
  },
  patient: { key: ID, ofOrder: `id in (${PATIENT})` },
  body_mass: { key: ID, ofOrder: `patient_id in (${PATIENT})` },
  signature: {
    key: ID,
    ofOrder: [
      'stage_change where order_id = $order',
      'mass_acknowledgement where order_id = $order',
      'service_visit where order_id = $order',
      'delivery where order_id = $order',
      `fitting where socket_id in (${SOCKETS})`,
      `finding where socket_id in (${SOCKETS})`,
      `layup where socket_id in (${SOCKETS})`,
      'correction where order_id = $order',
    ]
      .map((from) => `id in (select signature_id from ${from} and signature_id is not null)`)
      .join(' or '),
  },
  fabrication_order: { key: ID, ofOrder: 'id = $order' },
  stage_change: byOrder,
  mass_acknowledgement: byOrder,
  limb_cast: byOrder,
  measure_set: byOrder,
  measure: {
    key: [
      ['measure_set_id', 'uuid'],
      ['height_mm', 'float8'],
    ],
    ofOrder: 'measure_set_id in (select id from measure_set where order_id = $order)',
  },
  socket: byOrder,
  place: bySocket,
  operation: bySocket,
  operation_record: { key: ID, ofOrder: `operation_id in (${OPERATIONS})` },
  layup: bySocket,
  resin_recipe: bySocket,
  resin_weighing: bySocket,
  batch_use: bySocket,
  item: { key: ID, ofOrder: `id in (${ITEMS})` },
  service_visit: byOrder,
  move: { key: ID, ofOrder: `(${MOVES})` },
  custody: { key: [['thing_id', 'uuid']], ofOrder: `item_id in (${ITEMS})` },
  joint: bySocket,
  torque_confirmation: { key: ID, ofOrder: `id in (${CONFIRMATIONS})` },
  torque_reading: {
    key: [
      ['confirmation_id', 'uuid'],
      ['fastener', 'int'],
      ['pass', 'int'],
    ],
    ofOrder: `confirmation_id in (${CONFIRMATIONS})`,
  },
  lock_check: bySocket,
  alignment: bySocket,
  fitting: bySocket,
  finding: bySocket,
  delivery: byOrder,
  volume_decision: byOrder,
  appointment: byOrder,
  label_sizes: shopOnly,
  photo: {
    key: ID,
    ofOrder: `finding_id in (select id from finding where socket_id in (${SOCKETS}))
      or operation_record_id in (select id from operation_record where operation_id in (${OPERATIONS}))`,
  },
  recall_call: bySocket,
  legal_hold: { key: ID, ofOrder: 'order_id = $order' },
  correction_request: shopOnly,
  correction: byOrder,
  erasure: shopOnly,
  patient_look: { key: ID, ofOrder: `patient_id in (${PATIENT})` },
  break_glass: { key: ID, ofOrder: `patient_id in (${PATIENT})` },
  break_glass_review: {
    key: ID,
    ofOrder: `break_glass_id in (select id from break_glass where patient_id in (${PATIENT}))`,
  },
};
export const EXPORTED_TABLES = Object.keys(EXPORTED);

/** Tables with rows of a clinic that are not exported, each with the reason. */
export const NOT_EXPORTED: Readonly<Record<string, string>> = {
  access_code: 'a secret of a sign-in; that it was given and used stands in the events',
  openid_provider: 'a secret among it; what was entered stands in the events',
  openid_link: 'whom an account stood for from when to when stands in the events',
  openid_attempt: 'ways to the provider and back, of no record',
  session: 'who signed in when, and out, stands in the events',
  second_factor:
    'secrets of sign-ins, not of the record; when they came and went stands in the events',
  recovery_code: 'secrets of sign-ins, not of the record',
  bench_pin: 'secrets of sign-ins, not of the record',
  refresh_token: 'a secret of a sign-in, not of the record',
  idempotency_key: 'answers that were given already; what they tell of stands in the tables',
  event: 'exported after the tables, by its own number',
  event_head: 'the last event says it',
  column_key: 'which keys the database is under; the export is under none',
  signing_key: 'exported before the events, as what was signed',
  signed_head: 'exported before the events, as what was signed',
  merkle_node: 'made from the events again',
  long_work: 'about the export, not of what is exported',
  long_work_piece: 'the exports themselves',
};

/** Columns that are no part of what an auditor needs: who the patient is and how to reach, and secrets. */
const WITHHELD: Readonly<Record<string, readonly string[]>> = {
  person: ['password_hash', 'failed_sign_ins', 'locked_until', 'email'],
  // Its SHA-256 stands in the row; the picture itself is asked for by its id.
  photo: ['bytes'],
  patient: [
    'given_name',
    'family_name',
    'name_key',
    'birth_date',
    'phone',
    'phone_digests',
    'address',
  ],
  // What was said to the desk; that it was said stands in the event, under a seal.
  appointment: ['note', 'why'],
  recall_call: ['note'],
  // What the patient said is wrong, and why a hold was asked for: sealed in the events likewise.
  correction_request: ['said', 'decision_reason', 'disagreement'],
  legal_hold: ['reason', 'reference', 'lift_reason'],
  // Who took the limb is most often the patient.
  delivery: ['received_by_name'],
  // Why somebody opened fields speaks of the patient.
  break_glass: ['words'],
};

/** Names come from the lists above, never from a request. */
const name = (identifier: string): Prisma.Sql => Prisma.raw(`"${identifier}"`);

function scope(act: Act, table: string, orderId: string | null): Prisma.Sql {
  const own = Prisma.sql`clinic_id = ${act.clinicId}::uuid`;
  if (orderId === null) return own;
  const [first = 'false', ...rest] = (EXPORTED[table]?.ofOrder ?? 'false').split('$order');
  const ofOrder = rest.reduce(
    (sql, part) => Prisma.sql`${sql}${orderId}::uuid${Prisma.raw(part)}`,
    Prisma.raw(first),
  );
  return Prisma.sql`${own} and (${ofOrder})`;
}

/** How many rows of a table there are to export; row-level security keeps to the clinic inside too. */
export async function countRows(act: Act, table: string, orderId: string | null): Promise<number> {
  const rows = await act.tx.$queryRaw(Prisma.sql`
    select count(*)::int as n from ${name(table)} where ${scope(act, table, orderId)}`);
  return parseFirst(z.object({ n: z.number() }), rows)?.n ?? 0;
}

const ExportedRow = z.object({
  row: z.record(z.string(), z.json()),
  key: z.array(z.string()),
});

/**
 * A page of a table's rows as JSON, in the order of their key.
 * @param after the key of the last row of the page before
 */
export async function exportedRows(
  act: Act,
  table: string,
  orderId: string | null,
  after: readonly string[] | null,
  limit: number,
): Promise<z.infer<typeof ExportedRow>[]> {
  const { key } = EXPORTED[table] ?? { key: ID };
  const columns = Prisma.join(key.map(([column]) => name(column)));
  const values = key.map(
    ([, type], at) => Prisma.sql`${after?.[at] ?? ''}::text::${Prisma.raw(type)}`,
  );
  const onward =
    after === null ? Prisma.empty : Prisma.sql`and (${columns}) > (${Prisma.join(values)})`;
  const texts = Prisma.join(key.map(([column]) => Prisma.sql`${name(column)}::text`));
  return parseRows(
    ExportedRow,
    await act.tx.$queryRaw(Prisma.sql`
      select to_jsonb(t) - ${[...(WITHHELD[table] ?? [])]}::text[] as row, array[${texts}] as key
      from ${name(table)} t where ${scope(act, table, orderId)} ${onward}
      order by ${columns} limit ${limit}::int`),
  );
}

/** An event of the export, with what is kept for its seals. */
export interface ExportedEvent extends Omit<z.infer<typeof ChainedEventRow>, 'sealed'> {
  readonly kept: Readonly<Record<string, KeptValue>>;
}

/** A page of events, up to the one that was the last when the export began. */
export async function exportedEvents(
  act: Act,
  orderId: string | null,
  { after, upTo, limit }: { after: number; upTo: number; limit: number },
): Promise<ExportedEvent[]> {
  const rows = parseRows(
    ChainedEventRow,
    await act.tx.$queryRaw`
      select ${CHAINED_EVENT}
      from event
      where clinic_id = ${act.clinicId}::uuid and seq > ${after} and seq <= ${upTo}
        and (${orderId}::uuid is null or order_id = ${orderId}::uuid)
      order by seq limit ${limit}::int`,
  );
  const { cipher, clinicId } = act;
  return rows.map(({ sealed, ...row }) => ({
    ...row,
    kept: openedOrNot(cipher, { clinicId, eventId: row.id }, sealed),
  }));
}

/** A value that was changed in the database stops no export: its seal then has nothing that fits it. */
function openedOrNot(
  ...[cipher, of, sealed]: Parameters<typeof openSealed>
): ExportedEvent['kept'] {
  try {
    return openSealed(cipher, of, sealed) ?? {};
  } catch (failure) {
    const isBroken =
      failure instanceof Refused &&
      failure.reasons.some(({ code }) => code === 'column-value-broken');
    if (!isBroken) throw failure;
    return {};
  }
}

export async function countEvents(act: Act, orderId: string | null, upTo: number): Promise<number> {
  if (orderId === null) return upTo;
  const rows = await act.tx.$queryRaw`
    select count(*)::int as n from event
    where clinic_id = ${act.clinicId}::uuid and order_id = ${orderId}::uuid and seq <= ${upTo}`;
  return parseFirst(z.object({ n: z.number() }), rows)?.n ?? 0;
}

/** Statements of a patient's whole record: the rows of each section, the events, who is who. */
import { z } from 'zod';
import { onWire } from '../domain/patientRecord/columns.ts';
import { PATIENT_RECORD, type Section } from '../domain/patientRecord/index.ts';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act } from './act.ts';
import { CHAINED_EVENT, ChainedEventRow } from './chainedEvents.ts';
import { parseRows } from './rows.ts';
import { openSealed } from './sealedValues.ts';

const ORDERS = 'select id from fabrication_order where patient_id = $patient';
const SOCKETS = `select id from socket where order_id in (${ORDERS})`;
const PLACES = `select id from place where socket_id in (${SOCKETS})`;
const OPERATIONS = `select id from operation where socket_id in (${SOCKETS})`;
const RECORDS = `select id from operation_record where operation_id in (${OPERATIONS})`;
const CONFIRMATIONS = `select id from torque_confirmation where joint_id in (select id from joint where socket_id in (${SOCKETS}))`;
const FINDINGS = `select id from finding where socket_id in (${SOCKETS})`;
/** Pieces alone: a shop tool that was in a socket goes on to others. */
const MOVES = `item_id is not null and (from_place_id in (${PLACES}) or to_place_id in (${PLACES}))`;
const ITEMS = `select item_id from move where ${MOVES}`;
const CORRECTIONS = 'select id from correction where patient_id = $patient';

const ofOrders = `order_id in (${ORDERS})`;
const ofSockets = `socket_id in (${SOCKETS})`;
const ofPatient = 'patient_id = $patient';

/** Which rows are the patient's, where $patient stands for the id. */
const ROWS_OF: Readonly<Record<Section, string>> = {
  patient: 'id = $patient',
  body_mass: ofPatient,
  fabrication_order: ofPatient,
  stage_change: ofOrders,
  limb_cast: ofOrders,
  measure_set: ofOrders,
  measure: `measure_set_id in (select id from measure_set where ${ofOrders})`,
  volume_decision: ofOrders,
  socket: ofOrders,
  place: ofSockets,
  operation: ofSockets,
  operation_record: `operation_id in (${OPERATIONS})`,
  layup: ofSockets,
  resin_product: `id in (select product_id from resin_recipe where ${ofSockets})`,
  resin_recipe: ofSockets,
  resin_weighing: ofSockets,
  part: `id in (select part_id from item where id in (${ITEMS}))
    or id in (select part_id from mass_acknowledgement where ${ofOrders})`,
  torque_setting: `id in (select torque_setting_id from torque_confirmation where id in (${CONFIRMATIONS}))`,
  item: `id in (${ITEMS})`,
  move: MOVES,
  joint: ofSockets,
  shop_tool: `id in (select tool_id from torque_confirmation where id in (${CONFIRMATIONS}))`,
  calibration: `id in (select calibration_id from torque_confirmation where id in (${CONFIRMATIONS}))`,
  torque_confirmation: `id in (${CONFIRMATIONS})`,
  torque_reading: `confirmation_id in (${CONFIRMATIONS})`,
  lock_check: ofSockets,
  alignment: ofSockets,
  fitting: ofSockets,
  finding: ofSockets,
  photo: `finding_id in (${FINDINGS}) or operation_record_id in (${RECORDS})`,
  mass_acknowledgement: ofOrders,
  batch: `id in (select batch_id from batch_use where ${ofSockets}) or id in (select batch_id from finding where ${ofSockets})
    or id in (select batch_id from recall_call where ${ofSockets})`,
  batch_use: ofSockets,
  delivery: ofOrders,
  service_visit: ofOrders,
  appointment: ofPatient,
  recall_call: ofSockets,
  signature: [
    `stage_change where ${ofOrders}`,
    `mass_acknowledgement where ${ofOrders}`,
    `service_visit where ${ofOrders}`,
    `delivery where ${ofOrders}`,
    `fitting where ${ofSockets}`,
    `finding where ${ofSockets}`,
    `layup where ${ofSockets}`,
    `correction where ${ofPatient}`,
    `erasure where ${ofPatient}`,
  ]
    .map((from) => `id in (select signature_id from ${from} and signature_id is not null)`)
    .concat(`subject_id in (select id from alignment where ${ofSockets})`)
    .concat(`subject_id in (${SOCKETS})`)
    .join(' or '),
  correction_request: ofPatient,
  correction: ofPatient,
  erasure: ofPatient,
  patient_look: ofPatient,
};

/** Names come from the lists of the code, never from a request. */
const name = (identifier: string): Prisma.Sql => Prisma.raw(`"${identifier}"`);

/** SQL of ours with the patient's id bound wherever $patient stands. */
function bound(sql: string, patientId: string): Prisma.Sql {
  const [first = '', ...rest] = sql.split('$patient');
  return rest.reduce(
    (so, part) => Prisma.sql`${so}${patientId}::uuid${Prisma.raw(part)}`,
    Prisma.raw(first),
  );
}

/** Tables of which a row has no id of its own, and what tells one from another. */
const KEYS: Readonly<Partial<Record<Section, string>>> = {
  measure: `t.measure_set_id || ' ' || to_char(t.height_mm, '000000.000000')`,
  torque_reading: `t.confirmation_id || ' ' || to_char(t.fastener, '000') || ' ' || to_char(t.pass, '000')`,
};

/** What is kept encrypted and handed out open: the patient's own. */
const ENCRYPTED: Readonly<Partial<Record<Section, readonly string[]>>> = {
  patient: ['phone', 'address'],
  appointment: ['note', 'why'],
  recall_call: ['note'],
};

const Row = z.object({ row: z.record(z.string(), z.json()), key: z.string() });

/**
 * A page of a section's rows, in the order of their keys, by the names of the wire.
 * @param after the key of the last row of the page before
 */
export async function sectionRows(
  act: Act,
  section: Section,
  patientId: string,
  after: string | null,
  limit: number,
): Promise<z.infer<typeof Row>[]> {
  const columns = Object.keys(PATIENT_RECORD[section].columns).map((column) =>
    column === 'bytes'
      ? Prisma.sql`encode(t.bytes, 'base64') as bytes`
      : Prisma.sql`t.${name(column)} as ${name(onWire(column))}`,
  );
  const key = Prisma.raw(KEYS[section] ?? 't.id::text');
  return parseRows(
    Row,
    await act.tx.$queryRaw(Prisma.sql`
      select to_jsonb(r) as row, k.key
      from (select * from ${name(section)}
          where clinic_id = ${act.clinicId}::uuid and (${bound(ROWS_OF[section], patientId)})) t,
        lateral (select ${Prisma.join(columns)}) r, lateral (select ${key} as key) k
      where ${after}::text is null or k.key > ${after}::text
      order by k.key limit ${limit}::int`),
  ).map(({ row, key: id }) => ({ row: opened(act, section, row, id), key: id }));
}

function opened(
  { cipher, clinicId }: Act,
  section: Section,
  row: z.infer<typeof Row>['row'],
  rowId: string,
): z.infer<typeof Row>['row'] {
  const open = (ENCRYPTED[section] ?? []).flatMap((column): [string, string][] => {
    const kept = row[onWire(column)];
    // Empty where it was erased.
    if (typeof kept !== 'string' || kept === '') return [];
    return [[onWire(column), cipher.decryptFor({ table: section, column, clinicId, rowId }, kept)]];
  });
  return { ...row, ...Object.fromEntries(open) };
}

/** What else than an order an event about the patient can be of. */
const SUBJECTS = `select id from patient where id = $patient
  union all select id from appointment where ${ofPatient}
  union all select id from correction_request where ${ofPatient}
  union all ${CORRECTIONS}
  union all select id from erasure where ${ofPatient}
  union all ${SOCKETS}`;

/** A page of the events about the patient, up to the one that was the last when the record was begun. */
export const patientEvents = async (
  act: Act,
  patientId: string,
  { after, upTo, limit }: { after: number; upTo: number; limit: number },
) =>
  parseRows(
    ChainedEventRow,
    await act.tx.$queryRaw(Prisma.sql`
      select ${CHAINED_EVENT}
      from event
      where clinic_id = ${act.clinicId}::uuid and seq > ${after} and seq <= ${upTo}
        and (order_id = any(array(${bound(ORDERS, patientId)})) or subject_id = any(array(${bound(SUBJECTS, patientId)})))
      order by seq limit ${limit}::int`),
  ).map((row) => ({
    ...row,
    sealed: openSealed(act.cipher, { clinicId: act.clinicId, eventId: row.id }, row.sealed),
  }));

const PersonRow = z.object({
  id: z.string(),
  printedName: z.string(),
  roles: z.array(z.string()),
});

/** Who those of these ids are. */
export const whoIsWho = async (act: Act, ids: readonly string[]) =>
  parseRows(
    PersonRow,
    await act.tx.$queryRaw`
      select p.id, p.printed_name as "printedName", array(select distinct g.role from role_grant g
        where g.clinic_id = p.clinic_id and g.person_id = p.id order by g.role) as roles
      from person p where p.clinic_id = ${act.clinicId}::uuid and p.id = any(${ids}::uuid[]) order by p.printed_name, p.id`,
  );

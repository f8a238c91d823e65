/** The events of one record, the newest first, and the names behind the ids in them. */
import { z } from 'zod';
import type { JsonValue } from '../domain/canonical.ts';
import { LOOKS, type SubjectKind } from '../domain/eventKinds.ts';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act } from './act.ts';
import { CHAINED_EVENT, ChainedEventRow } from './chainedEvents.ts';
import { Refused } from './refused.ts';
import { parseFirst, parseRows } from './rows.ts';
import { KeptSealed, openSealed } from './sealedValues.ts';
import type { Sql } from './traceBranches.ts';

/** Where a record of each kind is kept. */
const TABLE_OF: Readonly<Record<SubjectKind, string>> = {
  order: 'fabrication_order',
  patient: 'patient',
  socket: 'socket',
  operation: 'operation',
  cast: 'limb_cast',
  measure_set: 'measure_set',
  volume_decision: 'volume_decision',
  layup: 'layup',
  resin_recipe: 'resin_recipe',
  resin_weighing: 'resin_weighing',
  item: 'item',
  shop_tool: 'shop_tool',
  torque_confirmation: 'torque_confirmation',
  lock_check: 'lock_check',
  alignment: 'alignment',
  fitting: 'fitting',
  appointment: 'appointment',
  finding: 'finding',
  mass_acknowledgement: 'mass_acknowledgement',
  delivery: 'delivery',
  service_visit: 'service_visit',
  place: 'place',
  part: 'part',
  part_draft: 'part_draft',
  batch: 'batch',
  fabric: 'fabric',
  resin_product: 'resin_product',
  clinic: 'clinic',
  route: 'route',
  layup_rule_set: 'layup_rule_set',
  calendar: 'work_calendar',
  label_sizes: 'label_sizes',
  bench: 'bench',
  person: 'person',
  legal_hold: 'legal_hold',
  correction_request: 'correction_request',
  correction: 'correction',
  erasure: 'erasure',
  long_work: 'long_work',
};

const json = z.json() as z.ZodType<JsonValue>;
/** @throws Refused where what is sealed cannot be opened */
const withOpenSealed = <Row extends { readonly id: string; readonly sealed: KeptSealed }>(
  { clinicId, cipher }: Act,
  row: Row,
): Omit<Row, 'sealed'> & { readonly sealed: Sealed } => ({
  ...row,
  sealed: openSealed(cipher, { clinicId, eventId: row.id }, row.sealed),
});
type Sealed = ReturnType<typeof openSealed>;

const HistoryRow = z.object({
  id: z.string(),
  seq: z.coerce.number(),
  at: z.date(),
  byId: z.string().nullable(),
  by: z.string().nullable(),
  kind: z.string(),
  subjectKind: z.string(),
  subjectId: z.string(),
  orderId: z.string().nullable(),
  data: z.record(z.string(), json),
  sealed: KeptSealed,
});
/** An event as the record holds it, its personal values beside it. */
export type HistoryRow = ReturnType<typeof withOpenSealed<z.infer<typeof HistoryRow>>>;

/** Whether there is such a record in the clinic. */
export async function recordExists(act: Act, kind: SubjectKind, id: string): Promise<boolean> {
  const own = kind === 'clinic' ? Prisma.empty : Prisma.sql`and clinic_id = ${act.clinicId}::uuid`;
  const rows: unknown[] = await act.tx.$queryRaw(
    Prisma.sql`select 1 from ${Prisma.raw(TABLE_OF[kind])} where id = ${id}::uuid ${own}`,
  );
  return rows.length > 0;
}

/**
 * Which events are of a record: an order's are all that name it, a socket's also those of
 * its operations, joints and findings; what is written in versions is one record.
 */
function eventsOf({ clinicId }: Act, kind: SubjectKind, id: string): Sql {
  const clinic = Prisma.sql`${clinicId}::uuid`;
  switch (kind) {
    case 'order':
      return Prisma.sql`e.order_id = ${id}::uuid`;
    case 'socket':
      return Prisma.sql`(e.subject_id = ${id}::uuid or (
        e.order_id = (select order_id from socket where clinic_id = ${clinic} and id = ${id}::uuid)
        and e.data->>'socket' = (select number from socket where clinic_id = ${clinic} and id = ${id}::uuid)))`;
    case 'route':
      return Prisma.sql`e.subject_id = any(array(select other.id from route mine join route other
        on other.clinic_id = mine.clinic_id and other.socket_kind = mine.socket_kind and other.suspension = mine.suspension
        where mine.clinic_id = ${clinic} and mine.id = ${id}::uuid))`;
    case 'calendar':
    case 'layup_rule_set':
    case 'label_sizes':
      return Prisma.sql`e.subject_id = any(array(select id from ${Prisma.raw(TABLE_OF[kind])} where clinic_id = ${clinic}))`;
    case 'patient':
      return Prisma.sql`e.subject_id = any(array(
        select ${id}::uuid
        union all select id from correction_request where clinic_id = ${clinic} and patient_id = ${id}::uuid
        union all select id from correction where clinic_id = ${clinic} and patient_id = ${id}::uuid
        union all select id from legal_hold where clinic_id = ${clinic} and patient_id = ${id}::uuid
        union all select id from erasure where clinic_id = ${clinic} and patient_id = ${id}::uuid))`;
    default:
      // With what corrects it.
      return Prisma.sql`(e.subject_kind = ${kind} and e.subject_id = ${id}::uuid or e.subject_id = any(array(
        select id from correction where clinic_id = ${clinic} and subject_id = ${id}::uuid)))`;
  }
}

/** @param looks whether events come along that only tell that somebody looked */
export async function recordEvents(
  act: Act,
  of: { readonly kind: SubjectKind; readonly id: string },
  page: { readonly beforeSeq: number | null; readonly take: number; readonly looks: boolean },
): Promise<HistoryRow[]> {
  const from =
    page.beforeSeq === null ? Prisma.empty : Prisma.sql`and e.seq < ${page.beforeSeq}::bigint`;
  const looks = page.looks ? Prisma.empty : Prisma.sql`and e.kind <> all(${LOOKS}::text[])`;
  return parseRows(
    HistoryRow,
    await act.tx.$queryRaw(Prisma.sql`
      select e.id, e.seq, e.at, e.person_id as "byId", p.printed_name as by, e.kind, e.subject_kind as "subjectKind",
        e.subject_id as "subjectId", e.order_id as "orderId", e.data, e.sealed
      from event e left join person p on p.clinic_id = e.clinic_id and p.id = e.person_id
      where e.clinic_id = ${act.clinicId}::uuid and ${eventsOf(act, of.kind, of.id)} ${from} ${looks}
      order by e.seq desc limit ${page.take}::int`),
  ).map((row) => withOpenSealed(act, row));
}

/** What things are called: the table, as x, and the name. */
const NAMES: readonly (readonly [from: string, name: string])[] = [
  ['person x', 'x.printed_name'],
  ['patient x', 'x.chart_number'],
  ['fabrication_order x', 'x.number'],
  ['socket x', 'x.number'],
  ['place x', 'x.name'],
  ['part x', 'x.name'],
  ['shop_tool x', 'x.name'],
  ['batch x', `x.name || ' lot ' || x.lot`],
  ['bench x', 'x.name'],
  ['fabric x', 'x.name'],
  ['resin_product x', 'x.name'],
  ['route x', `x.name || ', version ' || x.version`],
  ['limb_cast x', `'cast ' || x.number`],
  ['operation x', 'x.title'],
  [
    'item x join part pt on pt.clinic_id = x.clinic_id and pt.id = x.part_id',
    `pt.name || coalesce(' serial ' || x.serial, ' lot ' || x.lot)`,
  ],
];

const NameRow = z.object({ id: z.string(), name: z.string() });

/** What people call the things of these ids; those that are not known here are left out. */
export async function namesOf(
  act: Act,
  ids: readonly string[],
): Promise<ReadonlyMap<string, string>> {
  if (ids.length === 0) return new Map();
  const wanted = Prisma.sql`x.clinic_id = ${act.clinicId}::uuid and x.id = any(${ids}::uuid[])`;
  const branches = NAMES.map(
    ([from, name]) =>
      Prisma.sql`select x.id, ${Prisma.raw(name)} as name from ${Prisma.raw(from)} where ${wanted}`,
  );
  const rows = parseRows(
    NameRow,
    await act.tx.$queryRaw(Prisma.sql`${Prisma.join(branches, ' union all ')}`),
  );
  return new Map(rows.map(({ id, name }) => [id, name]));
}

const HeadRow = z.object({ seq: z.coerce.number(), chainSha256: z.string() });

/** The newest event's number and chain value; undefined where nothing is written yet. */
export const chainHead = async (act: Act): Promise<z.infer<typeof HeadRow> | undefined> =>
  parseFirst(
    HeadRow,
    await act.tx.$queryRaw`
      select seq, chain_sha256 as "chainSha256" from event_head where clinic_id = ${act.clinicId}::uuid`,
  );

/** An event with its place in the chain. */
export type ChainRow = ReturnType<typeof withOpenSealed<ChainedEventRow>>;

/** Events in the order of the chain, after a number. */
export const chainedEvents = async (
  act: Act,
  afterSeq: number,
  take: number,
): Promise<ChainRow[]> =>
  parseRows(
    ChainedEventRow,
    await act.tx.$queryRaw`
      select ${CHAINED_EVENT} from event
      where clinic_id = ${act.clinicId}::uuid and event.seq > ${afterSeq}::bigint
      order by event.seq limit ${take}::int`,
  ).map((row) => orNothing(act, row));

/** Whoever verifies is told that a seal is broken where nothing opens, and goes on. */
function orNothing(act: Act, row: ChainedEventRow): ChainRow {
  try {
    return withOpenSealed(act, row);
  } catch (failure) {
    if (!(failure instanceof Refused) || failure.reasons[0].code !== 'column-value-broken') {
      throw failure;
    }
    return { ...row, sealed: {} };
  }
}

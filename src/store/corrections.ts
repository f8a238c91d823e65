/** Statements on corrections by addition (R10): of what, by whom, and beside which records they are read. */
import { z } from 'zod';
import { CORRECTABLE, type Correctable } from '../domain/corrections.ts';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act } from './act.ts';
import { parseFirst, parseRows } from './rows.ts';

const CorrectionRow = z.object({
  id: z.string(),
  patientId: z.string(),
  orderId: z.string().nullable(),
  orderNumber: z.string().nullable(),
  subjectKind: z.enum(CORRECTABLE),
  subjectId: z.string(),
  requestId: z.string().nullable(),
  wrong: z.string(),
  right: z.string(),
  why: z.string(),
  correctedAt: z.date(),
  correctedBy: z.string(),
  signatureId: z.string(),
  contentSha256: z.string(),
});
export type CorrectionRow = z.infer<typeof CorrectionRow>;

const CORRECTION = Prisma.sql`
  c.id, c.patient_id as "patientId", c.order_id as "orderId", o.number as "orderNumber",
  c.subject_kind as "subjectKind", c.subject_id as "subjectId", c.request_id as "requestId",
  c.wrong, c."right", c.why, c.corrected_at as "correctedAt", p.printed_name as "correctedBy",
  c.signature_id as "signatureId", g.content_sha256 as "contentSha256"`;
const WITH_CORRECTION = Prisma.sql`
  join person p on p.clinic_id = c.clinic_id and p.id = c.corrected_by_id
  join signature g on g.clinic_id = c.clinic_id and g.id = c.signature_id
  left join fabrication_order o on o.clinic_id = c.clinic_id and o.id = c.order_id`;

/** Corrections of a patient's records, or of one order's, the newest first. */
export const correctionsOf = async (
  act: Act,
  of: { readonly patientId: string } | { readonly orderId: string },
): Promise<CorrectionRow[]> =>
  parseRows(
    CorrectionRow,
    await act.tx.$queryRaw`
      select ${CORRECTION} from correction c ${WITH_CORRECTION}
      where c.clinic_id = ${act.clinicId}::uuid
        and ${'patientId' in of ? Prisma.sql`c.patient_id = ${of.patientId}::uuid` : Prisma.sql`c.order_id = ${of.orderId}::uuid`}
      order by c.corrected_at desc, c.id desc`,
  );

/** Corrections by the record that they are read beside, the oldest first. */
export type CorrectionsBeside = ReadonlyMap<string, readonly CorrectionRow[]>;

/**
 * The corrections that are read beside these records: of the record itself; beside a cast those
 * of the measures that were taken with it, beside a use of a batch those of the operation, the
 * cup or the torque that it was used for, beside a signature those of what was signed, and the
 * correction itself that a signature makes.
 */
export async function correctionsBeside(
  act: Act,
  recordIds: readonly string[],
): Promise<CorrectionsBeside> {
  if (recordIds.length === 0) return new Map();
  const ids = Prisma.sql`any(${recordIds}::uuid[])`;
  const whose = Prisma.sql`${act.clinicId}::uuid`;
  const rows = parseRows(
    CorrectionRow.extend({ beside: z.string() }),
    await act.tx.$queryRaw(Prisma.sql`
      select b.beside, ${CORRECTION} from (
        select c.subject_id as beside, c.id from correction c where c.clinic_id = ${whose} and c.subject_id = ${ids}
        union select m.cast_id, c.id from correction c join measure_set m on m.clinic_id = c.clinic_id and m.id = c.subject_id
          where c.clinic_id = ${whose} and c.subject_kind = 'measure_set' and m.cast_id = ${ids}
        union select u.id, c.id from batch_use u join correction c on c.clinic_id = u.clinic_id
            and c.subject_id = coalesce(u.operation_record_id, u.torque_confirmation_id, u.resin_weighing_id)
          where u.clinic_id = ${whose} and u.id = ${ids}
        union select s.id, c.id from signature s join correction c on c.clinic_id = s.clinic_id
            and (c.subject_id = s.subject_id or c.id = s.subject_id)
          where s.clinic_id = ${whose} and s.id = ${ids}) b
      join correction c on c.clinic_id = ${whose} and c.id = b.id ${WITH_CORRECTION}
      order by c.corrected_at, c.id`),
  );
  const beside = new Map<string, CorrectionRow[]>();
  for (const { beside: of, ...row } of rows) beside.set(of, [...(beside.get(of) ?? []), row]);
  return beside;
}

/** The corrections beside any of these records, each once, the oldest first. */
export async function correctionsOfAny(
  act: Act,
  recordIds: readonly string[],
): Promise<CorrectionRow[]> {
  const each = [...(await correctionsBeside(act, recordIds)).values()].flat();
  const once = new Map(each.map((row) => [row.id, row]));
  return [...once.values()].sort(
    (a, b) => a.correctedAt.getTime() - b.correctedAt.getTime() || (a.id < b.id ? -1 : 1),
  );
}

/** What stands on a socket itself, with when it was recorded. */
const ON_SOCKET = [
  ['layup', 'x.drafted_at'],
  ['resin_weighing', 'x.recorded_at'],
  ['lock_check', 'x.recorded_at'],
  ['alignment', 'x.measured_at'],
  ['fitting', 'x.judged_at'],
  ['finding', 'x.opened_at'],
  ['delivery', 'x.delivered_at'],
  ['service_visit', 'x.opened_at'],
] as const;

/**
 * Ids of all that a release of a limb rests on at an instant: the socket's work, checks, fits and
 * findings recorded until then, the delivery or visit itself, and the body mass known then.
 */
export async function releasedOn(
  act: Act,
  { socketId, until }: { readonly socketId: string; readonly until: Date },
): Promise<string[]> {
  const whose = Prisma.sql`${act.clinicId}::uuid`;
  const socket = Prisma.sql`${socketId}::uuid`;
  const onSocket = ON_SOCKET.map(
    ([table, at]) => Prisma.sql`select x.id from ${Prisma.raw(table)} x
      where x.clinic_id = ${whose} and x.socket_id = ${socket} and ${Prisma.raw(at)} <= ${until}`,
  );
  const rows = await act.tx.$queryRaw(Prisma.sql`
    ${Prisma.join(onSocket, ' union all ')}
    union all select x.id from operation_record x join operation y on y.clinic_id = x.clinic_id and y.id = x.operation_id
      where x.clinic_id = ${whose} and y.socket_id = ${socket} and x.recorded_at <= ${until}
    union all select x.id from torque_confirmation x join joint y on y.clinic_id = x.clinic_id and y.id = x.joint_id
      where x.clinic_id = ${whose} and y.socket_id = ${socket} and x.recorded_at <= ${until}
    union all (select x.id from socket s join fabrication_order o on o.clinic_id = s.clinic_id and o.id = s.order_id
      join body_mass x on x.clinic_id = o.clinic_id and x.patient_id = o.patient_id
      where s.clinic_id = ${whose} and s.id = ${socket} and x.recorded_at <= ${until}
      order by x.measured_on desc, x.id desc limit 1)`);
  return parseRows(z.object({ id: z.string() }), rows).map(({ id }) => id);
}

/** The body mass of an order's patient that was known at an instant; null where there was none. */
export async function massKnown(act: Act, orderId: string, until: Date): Promise<string | null> {
  const rows = await act.tx.$queryRaw`
    select x.id from fabrication_order o
    join body_mass x on x.clinic_id = o.clinic_id and x.patient_id = o.patient_id
    where o.clinic_id = ${act.clinicId}::uuid and o.id = ${orderId}::uuid and x.recorded_at <= ${until}
    order by x.measured_on desc, x.id desc limit 1`;
  return parseFirst(z.object({ id: z.string() }), rows)?.id ?? null;
}

const HandedRow = z.object({ socketId: z.string(), id: z.string() });
/** The deliveries of these sockets and the visits to them: what says that a socket is worn, and with what. */
export const handedOver = async (
  act: Act,
  socketIds: readonly string[],
): Promise<z.infer<typeof HandedRow>[]> => {
  const of = (table: string): Prisma.Sql => Prisma.sql`
    select socket_id as "socketId", id from ${Prisma.raw(table)}
    where clinic_id = ${act.clinicId}::uuid and socket_id = any(${socketIds}::uuid[])`;
  return parseRows(
    HandedRow,
    await act.tx.$queryRaw(Prisma.sql`${of('delivery')} union all ${of('service_visit')}`),
  );
};

/** Corrections that name one lot, at most. Common practice, no source. */
const MOST_NAMING = 200;

/** A correction with the chart that it stands in. */
const NamingRow = CorrectionRow.extend({ chartNumber: z.string() });
export type NamingRow = z.infer<typeof NamingRow>;

/** Corrections whose words have a text in them, whatever its case, the newest first. */
export const correctionsNaming = async (act: Act, text: string): Promise<NamingRow[]> =>
  parseRows(
    NamingRow,
    await act.tx.$queryRaw`
      select ${CORRECTION}, t.chart_number as "chartNumber" from correction c ${WITH_CORRECTION}
      join patient t on t.clinic_id = c.clinic_id and t.id = c.patient_id
      where c.clinic_id = ${act.clinicId}::uuid
        and strpos(lower(c.wrong || ' ' || c."right" || ' ' || c.why), lower(${text}::text)) > 0
      order by c.corrected_at desc, c.id desc limit ${MOST_NAMING}::int`,
  );

const WhoseRow = z.object({
  patientId: z.string(),
  orderId: z.string().nullable(),
  orderNumber: z.string().nullable(),
  chartNumber: z.string(),
});
/** Whose a record is that can be corrected; undefined where there is none. */
export const whoseRecord = async (
  act: Act,
  kind: Correctable,
  id: string,
): Promise<z.infer<typeof WhoseRow> | undefined> =>
  parseFirst(
    WhoseRow,
    await act.tx.$queryRaw`
      select r.patient_id as "patientId", r.order_id as "orderId", o.number as "orderNumber", p.chart_number as "chartNumber"
      from patient_of_record(${act.clinicId}::uuid, ${kind}, ${id}::uuid) r
      join patient p on p.clinic_id = ${act.clinicId}::uuid and p.id = r.patient_id
      left join fabrication_order o on o.clinic_id = p.clinic_id and o.id = r.order_id`,
  );

/** Its table, who made it, when, and the one value that tells it from others of its kind. */
const RECORDED = {
  body_mass: ['body_mass', 'recorded_by_id', 'x.recorded_at', 'x.mass_kg'],
  cast: ['limb_cast', 'taken_by_id', 'x.recorded_at', 'x.number'],
  measure_set: ['measure_set', 'taken_by_id', 'x.recorded_at', 'x.occasion'],
  volume_decision: ['volume_decision', 'decided_by_id', 'x.decided_at', 'x.decision'],
  operation_record: [
    'operation_record',
    'recorded_by_id',
    'x.recorded_at',
    '(select title from operation o where o.clinic_id = x.clinic_id and o.id = x.operation_id)',
  ],
  layup: ['layup', 'drafted_by_id', 'x.drafted_at', 'x.running'],
  resin_weighing: ['resin_weighing', 'recorded_by_id', 'x.recorded_at', 'x.pour'],
  torque_confirmation: [
    'torque_confirmation',
    'recorded_by_id',
    'x.recorded_at',
    '(select j.kind from joint j where j.clinic_id = x.clinic_id and j.id = x.joint_id)',
  ],
  lock_check: [
    'lock_check',
    'recorded_by_id',
    'x.recorded_at',
    `case when x.passes then 'passed' else 'not_passed' end`,
  ],
  alignment: ['alignment', 'measured_by_id', 'x.measured_at', 'x.occasion'],
  fitting: ['fitting', 'judged_by_id', 'x.judged_at', 'x.outcome'],
  finding: ['finding', 'opened_by_id', 'x.opened_at', 'x.kind'],
  mass_acknowledgement: ['mass_acknowledgement', 'recorded_by_id', 'x.recorded_at', 'x.up_to_kg'],
  delivery: ['delivery', 'released_by_id', 'x.delivered_at', 'null'],
  service_visit: ['service_visit', 'opened_by_id', 'x.opened_at', 'x.kind'],
  appointment: ['appointment', 'booked_by_id', 'x.starts_at', 'x.purpose'],
} as const satisfies Record<Correctable, readonly [string, string, string, string]>;

/** Who made a record that can be corrected. */
export async function recorderOf(act: Act, kind: Correctable, id: string): Promise<string | null> {
  const [table, column] = RECORDED[kind];
  const rows = await act.tx.$queryRaw(
    Prisma.sql`select ${Prisma.raw(column)} as by from ${Prisma.raw(table)}
      where clinic_id = ${act.clinicId}::uuid and id = ${id}::uuid`,
  );
  return parseFirst(z.object({ by: z.string().nullable() }), rows)?.by ?? null;
}

const CorrectableRow = z.object({
  kind: z.enum(CORRECTABLE),
  id: z.string(),
  at: z.date(),
  by: z.string(),
  value: z.string().nullable(),
  attempt: z.number().nullable(),
  orderNumber: z.string().nullable(),
  corrections: z.number(),
});

/** A patient's records that can be corrected, the newest first. */
export async function correctableRecords(
  act: Act,
  patientId: string,
  take: number,
): Promise<z.infer<typeof CorrectableRow>[]> {
  const branches = CORRECTABLE.map((kind) => {
    const [table, by, at, value] = RECORDED[kind];
    const attempt = kind === 'operation_record' ? 'x.attempt' : 'null';
    return Prisma.sql`
      select ${kind} as kind, x.id, ${Prisma.raw(at)} as at, x.${Prisma.raw(by)} as by_id, ${Prisma.raw(value)}::text as value, ${Prisma.raw(attempt)}::int as attempt, o.number
      from ${Prisma.raw(table)} x, patient_of_record(x.clinic_id, ${kind}, x.id) r
      left join fabrication_order o on o.clinic_id = ${act.clinicId}::uuid and o.id = r.order_id
      where x.clinic_id = ${act.clinicId}::uuid and r.patient_id = ${patientId}::uuid
        and ${Prisma.raw(SCOPE[kind])}`;
  });
  const scoped = Prisma.sql`
    with orders as (select id from fabrication_order where clinic_id = ${act.clinicId}::uuid and patient_id = ${patientId}::uuid),
    sockets as (select id from socket where clinic_id = ${act.clinicId}::uuid and order_id in (select id from orders))`;
  return parseRows(
    CorrectableRow,
    await act.tx.$queryRaw(Prisma.sql`
      ${scoped}
      select u.kind, u.id, u.at, p.printed_name as by, u.value, u.attempt, u.number as "orderNumber",
        (select count(*)::int from correction c where c.clinic_id = ${act.clinicId}::uuid and c.subject_id = u.id) as corrections
      from (${Prisma.join(branches, ' union all ')}) u
      join person p on p.clinic_id = ${act.clinicId}::uuid and p.id = u.by_id
      order by u.at desc, u.id desc limit ${take}::int`),
  );
}

/** Narrows each kind by its own keys, before it is asked whose a record is. */
const SCOPE: Readonly<Record<Correctable, string>> = {
  body_mass: 'true',
  appointment: 'true',
  cast: 'x.order_id in (select id from orders)',
  measure_set: 'x.order_id in (select id from orders)',
  volume_decision: 'x.order_id in (select id from orders)',
  mass_acknowledgement: 'x.order_id in (select id from orders)',
  delivery: 'x.order_id in (select id from orders)',
  service_visit: 'x.order_id in (select id from orders)',
  layup: 'x.socket_id in (select id from sockets)',
  resin_weighing: 'x.socket_id in (select id from sockets)',
  lock_check: 'x.socket_id in (select id from sockets)',
  alignment: 'x.socket_id in (select id from sockets)',
  fitting: 'x.socket_id in (select id from sockets)',
  finding: 'x.socket_id in (select id from sockets)',
  operation_record:
    'x.operation_id in (select id from operation where socket_id in (select id from sockets))',
  torque_confirmation:
    'x.joint_id in (select id from joint where socket_id in (select id from sockets))',
};

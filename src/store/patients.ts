import { z } from 'zod';
import type { Day } from '../domain/days.ts';
import { reason } from '../domain/reasons/index.ts';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act } from './act.ts';
import { openAddress, openPhone, soughtDigests } from './contact.ts';
import { found } from './refused.ts';
import { parseFirst, parseRows } from './rows.ts';

const storedDay = z.string().transform((text) => text as Day);

const PatientRow = z.object({
  id: z.string(),
  chartNumber: z.string(),
  givenName: z.string(),
  familyName: z.string(),
  /** Null where it was erased; the names are empty then. */
  birthDate: storedDay.nullable(),
  phone: z.string().nullable(),
  address: z.string().nullable(),
  createdAt: z.date(),
  version: z.number(),
  bodyMassKg: z.number().nullable(),
  bodyMassMeasuredOn: storedDay.nullable(),
});

/** A patient with the present body mass: the latest by day, then by entry (R3). */
export type PatientRecord = z.infer<typeof PatientRow>;

/** Reads rows of `SELECT_PATIENT`. @throws Refused where a contact cannot be opened */
export const patientsFrom = (act: Act, rows: unknown): PatientRecord[] =>
  parseRows(PatientRow, rows).map((row) => ({
    ...row,
    phone: openPhone(act, row.id, row.phone),
    address: openAddress(act, row.id, row.address),
  }));

/** What a patient is read from; `p` is the patient. */
export const SELECT_PATIENT = Prisma.sql`
  select p.id, p.chart_number as "chartNumber", p.given_name as "givenName", p.family_name as "familyName",
    p.birth_date::text as "birthDate", p.phone, p.address, p.created_at as "createdAt", p.version,
    b.mass_kg as "bodyMassKg", b.measured_on::text as "bodyMassMeasuredOn"
  from patient p
  left join lateral (
    select mass_kg, measured_on from body_mass m
    where m.clinic_id = p.clinic_id and m.patient_id = p.id
    order by measured_on desc, id desc limit 1) b on true`;

/** @throws Refused 'not-found' where the clinic has no such patient. */
export async function loadPatient(act: Act, patientId: string): Promise<PatientRecord> {
  const [row] = patientsFrom(
    act,
    await act.tx
      .$queryRaw`${SELECT_PATIENT} where p.clinic_id = ${act.clinicId}::uuid and p.id = ${patientId}::uuid`,
  );
  return found(row, () => reason('not-found', { what: 'patient', id: patientId }));
}

/** Holds the patient until the transaction ends, for acts that count what the patient has. */
export async function holdPatient(act: Act, patientId: string): Promise<void> {
  const rows = await act.tx.$queryRaw<unknown[]>`
    select 1 from patient where clinic_id = ${act.clinicId}::uuid and id = ${patientId}::uuid for no key update`;
  found(rows[0], () => reason('not-found', { what: 'patient', id: patientId }));
}

/** What a search asks for; parts left null are not asked. */
export interface PatientQuery {
  /** Plain words (see `plainName`), each the beginning of a part of the name. */
  readonly nameWords: readonly string[];
  readonly chartNumber: string | null;
  /** The last digits of the phone number. */
  readonly phoneDigits: string | null;
  readonly afterChartNumber: string | null;
  readonly take: number;
}

/** Patients by chart number; all parts of the query must fit. */
export async function searchPatients(act: Act, query: PatientQuery): Promise<PatientRecord[]> {
  const conditions = [Prisma.sql`p.clinic_id = ${act.clinicId}::uuid`];
  for (const word of query.nameWords) {
    conditions.push(Prisma.sql`strpos(' ' || p.name_key, ${` ${word}`}) > 0`);
  }
  if (query.chartNumber !== null) {
    conditions.push(Prisma.sql`upper(p.chart_number) = upper(${query.chartNumber})`);
  }
  if (query.phoneDigits !== null) {
    conditions.push(
      Prisma.sql`p.phone_digests && ${[...soughtDigests(act, query.phoneDigits)]}::text[]`,
    );
  }
  if (query.afterChartNumber !== null) {
    conditions.push(Prisma.sql`p.chart_number > ${query.afterChartNumber}`);
  }
  return patientsFrom(
    act,
    await act.tx.$queryRaw`
      ${SELECT_PATIENT} where ${Prisma.join(conditions, ' and ')}
      order by p.chart_number limit ${query.take}::int`,
  );
}

/** Patients born on one of the days or named by one of the keys: whom look-alikes are sought among. */
export async function possibleLookAlikes(
  act: Act,
  birthDates: readonly Day[],
  nameKeys: readonly string[],
): Promise<PatientRecord[]> {
  return patientsFrom(
    act,
    await act.tx.$queryRaw`
      ${SELECT_PATIENT}
      where p.clinic_id = ${act.clinicId}::uuid
        and (p.birth_date = any(${birthDates}::date[]) or p.name_key = any(${nameKeys}::text[]))
      order by p.chart_number limit 200`,
  );
}

const PhoneRow = z.object({ id: z.string(), phone: z.string().nullable() });

/** Phone numbers by the patient's id; for callers whose role sees them. */
export async function phonesOf(
  act: Act,
  patientIds: readonly string[],
): Promise<ReadonlyMap<string, string | null>> {
  const rows = parseRows(
    PhoneRow,
    await act.tx.$queryRaw`
      select p.id, p.phone from patient p
      where p.clinic_id = ${act.clinicId}::uuid and p.id = any(${patientIds}::uuid[])`,
  );
  return new Map(rows.map(({ id, phone }) => [id, openPhone(act, id, phone)]));
}

const BodyMassRow = z.object({
  id: z.string(),
  massKg: z.number(),
  measuredOn: storedDay,
  recordedAt: z.date(),
  recordedBy: z.string(),
});

/** All body masses of a patient, the latest day first. */
export async function bodyMassesOf(
  act: Act,
  patientId: string,
): Promise<z.infer<typeof BodyMassRow>[]> {
  return parseRows(
    BodyMassRow,
    await act.tx.$queryRaw`
      select b.id, b.mass_kg as "massKg", b.measured_on::text as "measuredOn", b.recorded_at as "recordedAt",
        p.printed_name as "recordedBy"
      from body_mass b join person p on p.clinic_id = b.clinic_id and p.id = b.recorded_by_id
      where b.clinic_id = ${act.clinicId}::uuid and b.patient_id = ${patientId}::uuid
      order by b.measured_on desc, b.id desc`,
  );
}

/** Definitive sockets that the patient wears, or that are made for them. */
export async function definitiveSockets(act: Act, patientId: string): Promise<string[]> {
  const rows = parseRows(
    z.object({ id: z.string() }),
    await act.tx.$queryRaw`
      select s.id from socket s join fabrication_order o on o.clinic_id = s.clinic_id and o.id = s.order_id
      where s.clinic_id = ${act.clinicId}::uuid and o.patient_id = ${patientId}::uuid
        and s.kind = 'definitive' and s.state in ('in_work', 'delivered')
      order by s.id`,
  );
  return rows.map(({ id }) => id);
}

/**
 * The finding 'over_rated_mass' that stands open on a socket.
 * @param operationId on what was done in this operation; null: on the parts
 */
export async function openMassFinding(
  act: Act,
  socketId: string,
  operationId: string | null,
): Promise<string | null> {
  const row = parseFirst(
    z.object({ id: z.string() }),
    await act.tx.$queryRaw`
      select id from finding where clinic_id = ${act.clinicId}::uuid and socket_id = ${socketId}::uuid
        and kind = 'over_rated_mass' and disposition is null
        and operation_id is not distinct from ${operationId}::uuid limit 1`,
  );
  return row?.id ?? null;
}

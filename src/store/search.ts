/** Finding patients and orders by what was typed so far. */
import { Prisma } from '../generated/prisma/client.ts';
import type { Act } from './act.ts';
import { soughtDigests } from './contact.ts';
import { LISTED, ListedRow, type ListedOrder } from './orders.ts';
import { patientsFrom, SELECT_PATIENT, type PatientRecord } from './patients.ts';
import { parseRows } from './rows.ts';

/** What patients are sought by: any of them fits. Parts left null are not asked. */
export interface PatientsSought {
  /** Plain words, each the beginning of a part of the name; all of them fit. */
  readonly nameWords: readonly string[] | null;
  readonly chartStart: string | null;
  /** The last digits of a phone number. */
  readonly phoneDigits: string | null;
  readonly take: number;
}

/** Patients by name; none where nothing is asked. */
export async function patientsFound(act: Act, sought: PatientsSought): Promise<PatientRecord[]> {
  const { nameWords, chartStart, phoneDigits, take } = sought;
  const any = [
    nameWords === null
      ? null
      : Prisma.join(
          nameWords.map((word) => Prisma.sql`strpos(' ' || p.name_key, ${` ${word}`}) > 0`),
          ' and ',
        ),
    chartStart === null
      ? null
      : Prisma.sql`starts_with(upper(p.chart_number), upper(${chartStart}))`,
    phoneDigits === null
      ? null
      : Prisma.sql`p.phone_digests && ${[...soughtDigests(act, phoneDigits)]}::text[]`,
  ].filter((condition) => condition !== null);
  if (any.length === 0) return [];
  return patientsFrom(
    act,
    await act.tx.$queryRaw`
      ${SELECT_PATIENT} where p.clinic_id = ${act.clinicId}::uuid and (${Prisma.join(any, ' or ')})
      order by p.name_key, p.chart_number limit ${take}::int`,
  );
}

/** Orders by the beginning of their number, or by its running part; the newest first. */
export async function ordersFound(
  act: Act,
  sought: {
    readonly orderStart: string | null;
    readonly running: number | null;
    readonly take: number;
  },
): Promise<ListedOrder[]> {
  const { orderStart, running, take } = sought;
  const any = [
    orderStart === null ? null : Prisma.sql`starts_with(replace(o.number, '-', ''), ${orderStart})`,
    running === null
      ? null
      : Prisma.sql`split_part(o.number, '-', 3) = ${String(running).padStart(5, '0')}`,
  ].filter((condition) => condition !== null);
  if (any.length === 0) return [];
  return parseRows(
    ListedRow,
    await act.tx.$queryRaw`
      ${LISTED} where o.clinic_id = ${act.clinicId}::uuid and (${Prisma.join(any, ' or ')})
      order by o.opened_at desc, o.id desc limit ${take}::int`,
  );
}

/** The orders of patients: those under way first, then the newest. */
export const ordersOfPatients = async (
  act: Act,
  patientIds: readonly string[],
): Promise<ListedOrder[]> =>
  parseRows(
    ListedRow,
    await act.tx.$queryRaw`
      ${LISTED} where o.clinic_id = ${act.clinicId}::uuid and o.patient_id = any(${patientIds}::uuid[])
      order by o.stage in ('delivered', 'cancelled'), o.opened_at desc, o.id desc limit 100`,
  );

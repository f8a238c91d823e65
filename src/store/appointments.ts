import { z } from 'zod';
import type { Day } from '../domain/days.ts';
import type { Interval, Mark } from '../domain/fittingsBook.ts';
import { reason } from '../domain/reasons/index.ts';
import {
  APPOINTMENT_PURPOSES,
  APPOINTMENT_STATES,
  HOLD_REASONS,
  SIDES,
  STAGES,
  type AppointmentPurpose,
} from '../domain/words.ts';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act } from './act.ts';
import { withOpenPhone } from './contact.ts';
import { isExclusionClash } from './failures.ts';
import { found, Refused } from './refused.ts';
import { parseRows } from './rows.ts';
import { keptText, openText } from './saidWords.ts';

const AppointmentRow = z.object({
  id: z.string(),
  patientId: z.string(),
  chartNumber: z.string(),
  givenName: z.string(),
  familyName: z.string(),
  birthDate: z
    .string()
    .transform((text) => text as Day)
    .nullable(),
  phone: z.string().nullable(),
  orderId: z.string().nullable(),
  orderNumber: z.string().nullable(),
  orderStage: z.enum(STAGES).nullable(),
  orderSide: z.enum(SIDES).nullable(),
  orderHoldReason: z.enum(HOLD_REASONS).nullable(),
  prosthetistId: z.string(),
  prosthetistName: z.string(),
  purpose: z.enum(APPOINTMENT_PURPOSES),
  startsAt: z.date(),
  endsAt: z.date(),
  room: z.string().nullable(),
  note: z.string().nullable(),
  state: z.enum(APPOINTMENT_STATES),
  why: z.string().nullable(),
  replacesId: z.string().nullable(),
  replacedStart: z.date().nullable(),
  replacedById: z.string().nullable(),
  replacedByStart: z.date().nullable(),
  bookedAt: z.date(),
  bookedBy: z.string(),
  settledAt: z.date().nullable(),
  settledBy: z.string().nullable(),
});

/** An appointment with what its line in the book says of patient, order and people. */
export type AppointmentRecord = z.infer<typeof AppointmentRow>;

const cell = (column: 'note' | 'why', rowId: string) => ({ table: 'appointment', column, rowId });

/** @throws Refused where what is kept encrypted cannot be opened */
const appointmentsFrom = (act: Act, rows: unknown): AppointmentRecord[] =>
  parseRows(AppointmentRow, rows).map((row) => ({
    ...withOpenPhone(act, row),
    note: openText(act, cell('note', row.id), row.note),
    why: openText(act, cell('why', row.id), row.why),
  }));

const SELECT = Prisma.sql`
  select a.id, a.patient_id as "patientId", t.chart_number as "chartNumber", t.given_name as "givenName",
    t.family_name as "familyName", t.birth_date::text as "birthDate", t.phone, a.order_id as "orderId",
    o.number as "orderNumber", o.stage as "orderStage", o.side as "orderSide", o.hold_reason as "orderHoldReason",
    a.prosthetist_id as "prosthetistId", cpo.printed_name as "prosthetistName", a.purpose,
    a.starts_at as "startsAt", a.ends_at as "endsAt", a.room, a.note, a.state, a.why,
    a.replaces_id as "replacesId", before.starts_at as "replacedStart",
    after.id as "replacedById", after.starts_at as "replacedByStart",
    a.booked_at as "bookedAt", booker.printed_name as "bookedBy",
    a.settled_at as "settledAt", settler.printed_name as "settledBy"
  from appointment a
  join patient t on t.clinic_id = a.clinic_id and t.id = a.patient_id
  left join fabrication_order o on o.clinic_id = a.clinic_id and o.id = a.order_id
  join person cpo on cpo.clinic_id = a.clinic_id and cpo.id = a.prosthetist_id
  join person booker on booker.clinic_id = a.clinic_id and booker.id = a.booked_by_id
  left join person settler on settler.clinic_id = a.clinic_id and settler.id = a.settled_by_id
  left join appointment before on before.clinic_id = a.clinic_id and before.id = a.replaces_id
  left join appointment after on after.clinic_id = a.clinic_id and after.replaces_id = a.id`;

/** @throws Refused 'not-found' where the clinic has no such appointment. */
export async function loadAppointment(act: Act, id: string): Promise<AppointmentRecord> {
  const [row] = appointmentsFrom(
    act,
    await act.tx
      .$queryRaw`${SELECT} where a.clinic_id = ${act.clinicId}::uuid and a.id = ${id}::uuid`,
  );
  return found(row, () => reason('not-found', { what: 'appointment', id }));
}

/** As `loadAppointment`, and holds it until the transaction ends, so that it is settled once. */
export async function holdAppointment(act: Act, id: string): Promise<AppointmentRecord> {
  await act.tx.$queryRaw`
    select 1 from appointment where clinic_id = ${act.clinicId}::uuid and id = ${id}::uuid for no key update`;
  return loadAppointment(act, id);
}

/** What of the book is asked; what is left null is not asked. */
export interface AppointmentQuery {
  /** Those that have a moment within it. */
  readonly within: Interval | null;
  readonly prosthetistId: string | null;
  readonly orderId: string | null;
  readonly patientId: string | null;
  /** A page that one day's work never fills. */
  readonly most: number;
}

/** The lines of the book, by their time. */
export async function listAppointments(
  act: Act,
  query: AppointmentQuery,
): Promise<AppointmentRecord[]> {
  const { within, prosthetistId, orderId, patientId } = query;
  const asked: (Prisma.Sql | null)[] = [
    Prisma.sql`a.clinic_id = ${act.clinicId}::uuid`,
    within &&
      // The first condition is what the index is looked up by: none is longer than eight hours.
      Prisma.sql`a.starts_at > ${within.startsAt}::timestamptz - interval '8 hours'
        and a.starts_at < ${within.endsAt}::timestamptz and a.ends_at > ${within.startsAt}::timestamptz`,
    prosthetistId === null ? null : Prisma.sql`a.prosthetist_id = ${prosthetistId}::uuid`,
    orderId === null ? null : Prisma.sql`a.order_id = ${orderId}::uuid`,
    patientId === null ? null : Prisma.sql`a.patient_id = ${patientId}::uuid`,
  ];
  const conditions = asked.filter((condition) => condition !== null);
  return appointmentsFrom(
    act,
    await act.tx.$queryRaw`
      ${SELECT} where ${Prisma.join(conditions, ' and ')}
      order by a.starts_at, a.id limit ${query.most}::int`,
  );
}

/** An appointment as it is booked. */
export interface NewAppointment extends Interval {
  readonly id: string;
  readonly patientId: string;
  readonly orderId: string | null;
  readonly prosthetistId: string;
  readonly purpose: AppointmentPurpose;
  readonly room: string | null;
  readonly note: string | null;
  readonly replacesId: string | null;
}

/** @throws Refused 'time-taken-meanwhile' where somebody was faster: the database lets nobody be at two places. */
export const writeAppointment = (act: Act, appointment: NewAppointment): Promise<void> =>
  unlessTaken(async () => {
    await act.tx.appointment.create({
      data: {
        ...appointment,
        note: keptText(act, cell('note', appointment.id), appointment.note),
        clinicId: act.clinicId,
        bookedAt: act.at,
        bookedById: act.by.personId,
      },
    });
  });

/** Writes what became of an appointment; the caller holds it. */
export const settleAppointment = (
  act: Act,
  id: string,
  state: Mark | 'moved',
  why: string | null,
): Promise<void> =>
  unlessTaken(async () => {
    await act.tx.appointment.update({
      where: { clinicId_id: { clinicId: act.clinicId, id } },
      data: {
        state,
        why: keptText(act, cell('why', id), why),
        settledAt: act.at,
        settledById: act.by.personId,
      },
    });
  });

async function unlessTaken(write: () => Promise<void>): Promise<void> {
  try {
    await write();
  } catch (failure) {
    if (!isExclusionClash(failure)) throw failure;
    throw new Refused([reason('time-taken-meanwhile', {}, '/startsAt')], { cause: failure });
  }
}

/** Whether a check socket of the order stands finished: all its operations done or left out. */
export async function hasFinishedCheckSocket(act: Act, orderId: string): Promise<boolean> {
  const rows: unknown[] = await act.tx.$queryRaw`
    select 1 from socket s where s.clinic_id = ${act.clinicId}::uuid and s.order_id = ${orderId}::uuid
      and s.kind = 'check' and s.state = 'in_work' and not exists (
        select 1 from operation o where o.clinic_id = s.clinic_id and o.socket_id = s.id
          and o.state not in ('done', 'left_out')) limit 1`;
  return rows.length > 0;
}

/** The fittings book: booking, moving, saying what became of it. */
import { v7 as uuidv7 } from 'uuid';
import { sightOf } from '../../access/sight.ts';
import {
  intervalOf,
  judgeBooking,
  judgeMark,
  judgeMove,
  USUAL_MINUTES,
  warnOfBooking,
  type BookingFacts,
} from '../../domain/fittingsBook.ts';
import { reason } from '../../domain/reasons/index.ts';
import type { AppointmentPurpose } from '../../domain/words.ts';
import type { Act } from '../../store/act.ts';
import {
  holdAppointment,
  loadAppointment,
  settleAppointment,
  writeAppointment,
} from '../../store/appointments.ts';
import { loadClinic } from '../../store/clinic.ts';
import { loadOrder, type OrderRecord } from '../../store/orders.ts';
import { loadPatient } from '../../store/patients.ts';
import { orRefuse, Refused, refuseIfAny } from '../../store/refused.ts';
import { currentWorkCalendar } from '../../store/workCalendar.ts';
import { prosthetistNamed, readyBy, takenWithin } from './facts.ts';
import type {
  AppointmentMark,
  AppointmentToBook,
  AppointmentToMove,
  AppointmentView,
  Booked,
} from './schemas.ts';
import { appointmentView } from './view.ts';

/** What is asked for, whoever asks for it. */
interface Asked {
  readonly patientId: string;
  readonly order: OrderRecord | null;
  readonly prosthetistId: string | null;
  readonly purpose: AppointmentPurpose;
  readonly startsAt: Date;
  readonly minutes: number;
  readonly room: string | null;
  readonly note: string | null;
}

/**
 * Books an appointment.
 * @throws Refused with every reason of `judgeBooking`; 'not-a-prosthetist',
 *   'no-prosthetist-named', 'order-of-another-patient', 'time-taken-meanwhile'
 */
export async function book(act: Act, input: AppointmentToBook): Promise<Booked> {
  const order = input.orderId === undefined ? null : await loadOrder(act, input.orderId);
  const patientId = input.patientId ?? String(order?.patientId);
  await loadPatient(act, patientId);
  if (order !== null && order.patientId !== patientId) {
    throw new Refused([reason('order-of-another-patient', { order: order.number }, '/patientId')]);
  }
  return place(act, null, {
    patientId,
    order,
    prosthetistId: input.prosthetistId ?? order?.prosthetistId ?? null,
    purpose: input.purpose,
    startsAt: input.startsAt,
    minutes: input.minutes ?? USUAL_MINUTES[input.purpose],
    room: input.room ?? null,
    note: input.note ?? null,
  });
}

/**
 * Moves an appointment: the old one is kept as moved, and another names it.
 * @throws Refused 'appointment-is-settled', and as `book`
 */
export async function move(
  act: Act,
  appointmentId: string,
  input: AppointmentToMove,
): Promise<Booked> {
  const before = await holdAppointment(act, appointmentId);
  const { timeZone } = await loadClinic(act.tx, act.clinicId);
  refuseIfAny(judgeMove(before, timeZone));
  await settleAppointment(act, before.id, 'moved', input.why);
  act.record({
    kind: 'appointment.moved',
    subjectKind: 'appointment',
    subjectId: before.id,
    ...(before.orderId === null ? {} : { orderId: before.orderId }),
    data: {
      before: before.startsAt.toISOString(),
      after: input.startsAt.toISOString(),
      why: input.why,
    },
  });
  const minutesBefore = (before.endsAt.getTime() - before.startsAt.getTime()) / 60_000;
  return place(act, before.id, {
    patientId: before.patientId,
    order: before.orderId === null ? null : await loadOrder(act, before.orderId),
    prosthetistId: input.prosthetistId ?? before.prosthetistId,
    purpose: before.purpose,
    startsAt: input.startsAt,
    minutes: input.minutes ?? minutesBefore,
    room: input.room ?? before.room,
    note: before.note,
  });
}

async function place(act: Act, replacesId: string | null, asked: Asked): Promise<Booked> {
  const { patientId, order, purpose, room, note } = asked;
  const { timeZone } = await loadClinic(act.tx, act.clinicId);
  const prosthetist = await prosthetistNamed(act, asked.prosthetistId);
  const time = intervalOf(asked.startsAt, asked.minutes);
  const facts: BookingFacts = {
    now: act.at,
    timeZone,
    calendar: await currentWorkCalendar(act),
    prosthetist: prosthetist.printedName,
    ofProsthetist: await takenWithin(act, time, { prosthetistId: prosthetist.id }),
    ofPatient: await takenWithin(act, time, { patientId }),
    order,
  };
  const booking = { purpose, ...time };
  refuseIfAny(judgeBooking(booking, facts));
  const ready = (await readyBy(act, purpose, order, timeZone)).judge(time.startsAt);
  const warnings = [...warnOfBooking(booking, facts), ...ready.warnings];
  const id = uuidv7();
  await writeAppointment(act, {
    id,
    patientId,
    orderId: order?.id ?? null,
    prosthetistId: prosthetist.id,
    purpose,
    ...time,
    room,
    note,
    replacesId,
  });
  act.record({
    kind: 'appointment.booked',
    subjectKind: 'appointment',
    subjectId: id,
    ...(order === null ? {} : { orderId: order.id }),
    data: {
      patientId,
      order: order?.number ?? null,
      prosthetistId: prosthetist.id,
      purpose,
      startsAt: time.startsAt.toISOString(),
      endsAt: time.endsAt.toISOString(),
      room,
      note,
      replacesId,
      readyChance: ready.chance,
      warnings: warnings.map(({ code }) => code),
    },
  });
  const appointment = await readView(act, id, timeZone);
  return { appointment, readyChance: ready.chance, warnings };
}

/**
 * Says what became of an appointment.
 * @throws Refused 'appointment-is-settled', 'appointment-still-to-come',
 *   'appointment-has-begun', 'correction-needs-why', 'time-taken-meanwhile'
 */
export async function mark(
  act: Act,
  appointmentId: string,
  input: AppointmentMark,
): Promise<AppointmentView> {
  const before = await holdAppointment(act, appointmentId);
  const { timeZone } = await loadClinic(act.tx, act.clinicId);
  const why = input.why ?? null;
  const state = orRefuse(judgeMark(before, { state: input.state, why }, { now: act.at, timeZone }));
  await settleAppointment(act, before.id, state, why);
  act.record({
    kind: `appointment.${state}`,
    subjectKind: 'appointment',
    subjectId: before.id,
    ...(before.orderId === null ? {} : { orderId: before.orderId }),
    data: {
      startsAt: before.startsAt.toISOString(),
      before: before.state,
      after: state,
      whyBefore: before.why,
      why,
    },
  });
  return readView(act, before.id, timeZone);
}

const readView = async (act: Act, id: string, timeZone: string): Promise<AppointmentView> =>
  appointmentView(await loadAppointment(act, id), await sightOf(act), timeZone);

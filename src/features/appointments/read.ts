/** The fittings book as it is read: by days, by order, and where there is still room in it. */
import { sightOf } from '../../access/sight.ts';
import { instantOn } from '../../domain/clockTimes.ts';
import { addDays, dayAt, type Day } from '../../domain/days.ts';
import { USUAL_MINUTES, warnOfBooking, type Interval } from '../../domain/fittingsBook.ts';
import { freeTimes } from '../../domain/freeTimes.ts';
import type { Act } from '../../store/act.ts';
import { listAppointments } from '../../store/appointments.ts';
import { loadClinic } from '../../store/clinic.ts';
import { loadOrder } from '../../store/orders.ts';
import { currentWorkCalendar } from '../../store/workCalendar.ts';
import { prosthetistNamed, readyBy, takenWithin } from './facts.ts';
import type { AppointmentQuery, Appointments, FreeQuery, FreeTimes } from './schemas.ts';
import { appointmentView } from './view.ts';

/** Far more than a clinic books within the days that may be asked for. */
const MOST_LINES = 20_000;

/** From the first midnight at the clinic to the one after the last day. */
export const daysAtClinic = (from: Day, to: Day, timeZone: string): Interval => ({
  startsAt: instantOn(from, 0, timeZone),
  endsAt: instantOn(addDays(to, 1), 0, timeZone),
});

/** The lines of the book, by their time. */
export async function readBook(act: Act, query: AppointmentQuery): Promise<Appointments> {
  const { timeZone } = await loadClinic(act.tx, act.clinicId);
  const today = dayAt(act.at, timeZone);
  const ofOne = query.orderId !== undefined || query.patientId !== undefined;
  const from = query.from ?? (ofOne ? undefined : today);
  const to = query.to ?? from;
  const rows = await listAppointments(act, {
    within: from === undefined || to === undefined ? null : daysAtClinic(from, to, timeZone),
    prosthetistId: query.prosthetistId ?? null,
    orderId: query.orderId ?? null,
    patientId: query.patientId ?? null,
    most: MOST_LINES,
  });
  const sight = await sightOf(act);
  return {
    today,
    now: act.at,
    timeZone,
    items: rows.map((row) => appointmentView(row, sight, timeZone)),
  };
}

/** The next free times for a purpose, each with what is to be looked at. */
export async function findFree(act: Act, query: FreeQuery): Promise<FreeTimes> {
  const { purpose } = query;
  const order = query.orderId === undefined ? null : await loadOrder(act, query.orderId);
  const patientId = query.patientId ?? order?.patientId;
  const prosthetist = await prosthetistNamed(
    act,
    query.prosthetistId ?? order?.prosthetistId ?? null,
  );
  const { timeZone } = await loadClinic(act.tx, act.clinicId);
  const calendar = await currentWorkCalendar(act);
  const ready = await readyBy(act, purpose, order, timeZone);
  const from = query.from ?? ready.from;
  const minutes = query.minutes ?? USUAL_MINUTES[purpose];
  const within = daysAtClinic(from, addDays(from, query.days - 1), timeZone);
  const taken = [
    ...(await takenWithin(act, within, { prosthetistId: prosthetist.id })),
    ...(patientId === undefined ? [] : await takenWithin(act, within, { patientId })),
  ];
  const free = freeTimes({ ...query, calendar, timeZone, now: act.at, from, minutes, taken });
  const facts = {
    now: act.at,
    timeZone,
    calendar,
    prosthetist: prosthetist.printedName,
    ofProsthetist: [],
    ofPatient: [],
    order,
  };
  return {
    timeZone,
    from,
    minutes,
    prosthetist,
    items: free.map((time) => {
      const { chance, warnings } = ready.judge(time.startsAt);
      return {
        ...time,
        readyChance: chance,
        warnings: [...warnOfBooking({ purpose, ...time }, facts), ...warnings],
      };
    }),
  };
}

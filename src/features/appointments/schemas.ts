import { z } from 'zod';
import { MARKS } from '../../domain/fittingsBook.ts';
import { APPOINTMENT_PURPOSES, APPOINTMENT_STATES, SIDES, STAGES } from '../../domain/words.ts';
import { day, dayOut, idOf, instantOut, note, text, uuid } from '../../http/fields.ts';
import { ReasonView } from '../../http/reasonView.ts';
import { PatientSeenView } from '../patients/schemas.ts';

const purpose = z.enum(APPOINTMENT_PURPOSES);
const minutes = z.int().min(5).max(480);
/** An instant as it is sent: RFC 3339 with an offset, whole minutes. */
const startsAt = z.iso
  .datetime({ offset: true })
  .transform((written, ctx): Date => {
    const at = new Date(written);
    const year = at.getUTCFullYear();
    if (at.getTime() % 60_000 === 0 && year >= 2000 && year <= 2199) return at;
    ctx.addIssue({ code: 'custom', message: 'a whole minute of the years 2000 to 2199' });
    return z.NEVER;
  })
  .meta({ type: 'string', format: 'date-time', examples: ['2026-03-02T10:00:00Z'] })
  .describe('RFC 3339, on the minute; kept in UTC, shown in the clinic’s zone.');
const room = text(60);

const when = {
  startsAt,
  minutes: minutes.optional().describe('Left out: as usual for the purpose.'),
  room: room.optional().describe('Where in the house, if that is not plain.'),
};

export const AppointmentToBook = z
  .strictObject({
    patientId: uuid().optional().describe('Left out: the order’s patient.'),
    orderId: uuid().optional(),
    prosthetistId: uuid().optional().describe('Left out: the order’s prosthetist.'),
    purpose,
    ...when,
    note: note(1000).optional(),
  })
  .refine(({ patientId, orderId }) => patientId !== undefined || orderId !== undefined, {
    message: 'a patient or an order',
    path: ['patientId'],
  })
  .meta({ id: 'AppointmentToBook' });
export type AppointmentToBook = z.output<typeof AppointmentToBook>;

export const AppointmentToMove = z
  .strictObject({
    ...when,
    prosthetistId: uuid().optional().describe('Left out: the same one.'),
    why: note(1000).describe('Who asked for it, and why.'),
  })
  .meta({ id: 'AppointmentToMove' });
export type AppointmentToMove = z.output<typeof AppointmentToMove>;

export const AppointmentMark = z
  .strictObject({
    state: z.enum(MARKS),
    why: note(1000)
      .optional()
      .describe('Needed where it is called off, and where what was said before is corrected.'),
  })
  .refine(({ state, why }) => state !== 'called_off' || why !== undefined, {
    message: 'the reason for which it is called off',
    path: ['why'],
  })
  .meta({ id: 'AppointmentMark' });
export type AppointmentMark = z.output<typeof AppointmentMark>;

export const AppointmentView = z
  .object({
    id: uuid(),
    patient: PatientSeenView,
    phone: z
      .string()
      .nullable()
      .optional()
      .describe('Of the patient; only for desk and fitting room.'),
    order: z
      .object({ id: uuid(), number: z.string(), stage: z.enum(STAGES), side: z.enum(SIDES) })
      .nullable(),
    prosthetist: z.object({ id: uuid(), printedName: z.string() }),
    purpose,
    startsAt: instantOut(),
    endsAt: instantOut(),
    on: dayOut().describe('The day on which it begins, at the clinic.'),
    room: z.string().nullable(),
    note: z
      .string()
      .nullable()
      .optional()
      .describe('Only for desk, fitting room and auditor, as is why.'),
    state: z.enum(APPOINTMENT_STATES),
    why: z.string().nullable().optional().describe('Why it was called off, moved, or corrected.'),
    replaces: z
      .object({ id: uuid(), startsAt: instantOut().describe('When it would have been.') })
      .nullable()
      .describe('The appointment that was moved to this one.'),
    replacedBy: z.object({ id: uuid(), startsAt: instantOut() }).nullable(),
    bookedAt: instantOut(),
    bookedBy: z.string().describe('Printed name.'),
    settledAt: instantOut().nullable(),
    settledBy: z.string().nullable(),
  })
  .meta({ id: 'Appointment' });
export type AppointmentView = z.input<typeof AppointmentView>;

export const Booked = z
  .object({
    appointment: AppointmentView,
    readyChance: z
      .number()
      .nullable()
      .describe(
        'The chance, 0 to 1, that what is made for it will be ready by its day (C5); null where nothing is made for it, or the history cannot say.',
      ),
    warnings: z.array(ReasonView).describe('What to look at before the patient is told.'),
  })
  .meta({ id: 'AppointmentBooked' });
export type Booked = z.input<typeof Booked>;

/** A book is read by days; a quarter of a year is more than any page shows. */
const MOST_DAYS = 92;
const DAY_MS = 86_400_000;

const ofWhom = {
  prosthetistId: uuid().optional(),
};

export const AppointmentQuery = z
  .strictObject({
    from: day()
      .optional()
      .describe('First day at the clinic; left out: today, or all of an order or patient.'),
    to: day().optional().describe('Last day; left out: the first.'),
    ...ofWhom,
    orderId: uuid().optional(),
    patientId: uuid().optional(),
  })
  .refine(
    ({ from, to = from }) => {
      if (from === undefined || to === undefined) return from === to;
      const days = (Date.parse(to) - Date.parse(from)) / DAY_MS;
      return days >= 0 && days < MOST_DAYS;
    },
    { message: `a day from the first on, within ${MOST_DAYS} days`, path: ['to'] },
  );
export type AppointmentQuery = z.output<typeof AppointmentQuery>;

export const Appointments = z
  .object({
    today: dayOut().describe('At the clinic.'),
    now: instantOut(),
    timeZone: z.string().describe('IANA name, of the clinic.'),
    items: z.array(AppointmentView),
  })
  .meta({ id: 'Appointments' });
export type Appointments = z.input<typeof Appointments>;

const whole = (least: number, greatest: number) =>
  z.coerce.number().pipe(z.int().min(least).max(greatest));

export const FreeQuery = z
  .strictObject({
    purpose,
    orderId: uuid().optional(),
    patientId: uuid().optional(),
    prosthetistId: uuid().optional().describe('Left out: the order’s prosthetist.'),
    minutes: whole(5, 480).optional().describe('Left out: as usual for the purpose.'),
    from: day()
      .optional()
      .describe('Left out: the day by which what is made for it will probably be ready, or today.'),
    days: whole(1, MOST_DAYS).default(30).describe('Days that are looked through.'),
    perStretch: whole(1, 50).default(1).describe('Times of each morning and afternoon.'),
    most: whole(1, 100).default(6),
  })
  .refine(({ orderId, prosthetistId }) => orderId !== undefined || prosthetistId !== undefined, {
    message: 'a prosthetist, or an order that has one',
    path: ['prosthetistId'],
  });
export type FreeQuery = z.output<typeof FreeQuery>;

export const FreeTimes = z
  .object({
    timeZone: z.string(),
    from: dayOut().describe('The first day that was looked at.'),
    minutes,
    prosthetist: z.object({ id: uuid(), printedName: z.string() }),
    items: z.array(
      z.object({
        startsAt: instantOut(),
        endsAt: instantOut(),
        on: dayOut(),
        readyChance: z.number().nullable(),
        warnings: z.array(ReasonView),
      }),
    ),
  })
  .meta({ id: 'FreeTimes' });
export type FreeTimes = z.input<typeof FreeTimes>;

export const CalendarQuery = z.strictObject({ prosthetistId: uuid(), from: day() });
export type CalendarQuery = z.output<typeof CalendarQuery>;

export const AppointmentParams = z.strictObject({ appointmentId: idOf('Appointment') });

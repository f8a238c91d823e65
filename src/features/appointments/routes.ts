import type { Api } from '../../http/api.ts';
import { findFree, readBook } from './read.ts';
import {
  AppointmentMark,
  AppointmentParams,
  AppointmentQuery,
  Appointments,
  AppointmentToBook,
  AppointmentToMove,
  AppointmentView,
  Booked,
  FreeQuery,
  FreeTimes,
} from './schemas.ts';
import { book, mark, move } from './service.ts';

const tag = 'Fittings book';

export function appointmentRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/appointments',
      name: 'listAppointments',
      tag,
      summary: 'The fittings book by days, by prosthetist, or of one order or patient',
      description: 'By their time. Those that were moved or called off are there too.',
      query: AppointmentQuery,
      answer: Appointments,
    },
    (act, { query }) => readBook(act, query),
  );
  api.read(
    {
      url: '/api/v1/appointments/free',
      name: 'findFreeTimes',
      tag,
      summary: 'The next free times for a purpose',
      description:
        'Within the opening hours, where prosthetist and patient are with nobody else; from the day by which what is made for it will probably be ready.',
      query: FreeQuery,
      answer: FreeTimes,
    },
    (act, { query }) => findFree(act, query),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/appointments',
      name: 'bookAppointment',
      tag,
      summary: 'Book a patient with a prosthetist',
      description:
        'Nobody is at two places at once, and nothing is booked into the past or on a closed day. What is only doubtful is booked, with warnings.',
      body: AppointmentToBook,
      answer: Booked,
    },
    (act, { body }) => book(act, body),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/appointments/:appointmentId/move',
      name: 'moveAppointment',
      tag,
      summary: 'Move an appointment to another time or prosthetist',
      description: 'The old one stays in the book as moved (R10); another one names it.',
      params: AppointmentParams,
      body: AppointmentToMove,
      answer: Booked,
    },
    (act, { params: { appointmentId }, body }) => move(act, appointmentId, body),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/appointments/:appointmentId/mark',
      name: 'markAppointment',
      tag,
      summary: 'Say that the patient came, did not come, or called it off',
      params: AppointmentParams,
      body: AppointmentMark,
      answer: AppointmentView,
      status: 200,
    },
    (act, { params: { appointmentId }, body }) => mark(act, appointmentId, body),
  );
}

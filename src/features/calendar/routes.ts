import type { Api } from '../../http/api.ts';
import { CalendarToWrite, CalendarVersions, CalendarView } from './schemas.ts';
import { newCalendarVersion, readCalendar, readCalendarVersions } from './service.ts';

export function calendarRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/calendar',
      name: 'readCalendar',
      tag: 'Dates and benches',
      summary: 'The working calendar in force',
      answer: CalendarView,
    },
    (act) => readCalendar(act),
  );
  api.read(
    {
      url: '/api/v1/calendar/versions',
      name: 'listCalendars',
      tag: 'Dates and benches',
      summary: 'Every version of the working calendar, the one in force first',
      answer: CalendarVersions,
    },
    (act) => readCalendarVersions(act),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/calendar',
      name: 'writeCalendar',
      tag: 'Dates and benches',
      summary: 'Write the next version of the working calendar',
      description: 'The one in force is superseded and kept. Working days are counted anew in it.',
      body: CalendarToWrite,
      answer: CalendarView,
    },
    (act, { body }) => newCalendarVersion(act, body),
  );
}

import { judgeWorkCalendar } from '../../domain/workCalendar.ts';
import type { Act } from '../../store/act.ts';
import { orRefuse } from '../../store/refused.ts';
import { loadCalendar, writeCalendar } from '../../store/workCalendar.ts';
import type { CalendarToWrite, CalendarView } from './schemas.ts';

/** The calendar in force. */
export const readCalendar = (act: Act): Promise<CalendarView> => loadCalendar(act.tx, act.clinicId);

/**
 * Writes the next version of the calendar (C5).
 * @throws Refused with every 'calendar-impossible'
 */
export async function newCalendarVersion(act: Act, input: CalendarToWrite): Promise<CalendarView> {
  const { weekdays, closedDays } = input;
  orRefuse(
    judgeWorkCalendar(
      weekdays,
      closedDays.map(({ on }) => on),
    ),
  );
  const { id, version } = await writeCalendar(act, input);
  act.record({
    kind: 'calendar.written',
    subjectKind: 'calendar',
    subjectId: id,
    data: { version, weekdays, closedDays },
  });
  return readCalendar(act);
}

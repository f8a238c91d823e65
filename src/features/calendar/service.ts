import { judgeWorkCalendar } from '../../domain/workCalendar.ts';
import type { Act } from '../../store/act.ts';
import { orRefuse } from '../../store/refused.ts';
import { refuseStale } from '../../store/versions.ts';
import {
  holdCalendar,
  listCalendars,
  loadCalendar,
  writeCalendar,
} from '../../store/workCalendar.ts';
import type { CalendarToWrite, CalendarVersions, CalendarView } from './schemas.ts';

/** The calendar in force. */
export const readCalendar = (act: Act): Promise<CalendarView> => loadCalendar(act.tx, act.clinicId);

/** Every version of the calendar, the one in force first. */
export const readCalendarVersions = async (act: Act): Promise<CalendarVersions> => ({
  items: await listCalendars(act),
});

/**
 * Writes the next version of the calendar (C5).
 * @throws Refused with every 'calendar-impossible'; 'version-is-stale' where it was made from
 *   another than the one in force
 */
export async function newCalendarVersion(act: Act, input: CalendarToWrite): Promise<CalendarView> {
  const { basedOnVersion, weekdays, closedDays } = input;
  orRefuse(
    judgeWorkCalendar(
      weekdays,
      closedDays.map(({ on }) => on),
    ),
  );
  const before = await holdCalendar(act);
  if (before.version !== basedOnVersion) refuseStale(basedOnVersion, before.version);
  const { id, version } = await writeCalendar(act, before, input);
  act.record({
    kind: 'calendar.written',
    subjectKind: 'calendar',
    subjectId: id,
    data: {
      before: {
        version: before.version,
        weekdays: before.weekdays,
        closedDays: before.closedDays,
      },
      after: { version, weekdays, closedDays },
    },
  });
  return readCalendar(act);
}

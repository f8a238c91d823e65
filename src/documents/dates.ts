/** Days and instants as they are printed: weekday and month in words, never 03/04. */
import { Temporal } from 'temporal-polyfill';
import type { Day } from '../domain/days.ts';

const WEEKDAYS = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'];
const MONTHS = 'Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec'.split(' ');

/** `Tue 3 Mar 2026`. */
export function dayWords(day: Day): string {
  const { dayOfWeek, day: ofMonth, month, year } = Temporal.PlainDate.from(day);
  return `${WEEKDAYS[dayOfWeek - 1]} ${ofMonth} ${MONTHS[month - 1]} ${year}`;
}

/**
 * `Tue 3 Mar 2026 14:05` in the clinic's zone (R16).
 * @param instant RFC 3339
 * @param timeZone IANA name
 */
export function instantWords(instant: string, timeZone: string): string {
  const at = Temporal.Instant.from(instant).toZonedDateTimeISO(timeZone);
  const time = `${String(at.hour).padStart(2, '0')}:${String(at.minute).padStart(2, '0')}`;
  return `${dayWords(at.toPlainDate().toString() as Day)} ${time}`;
}

/** When something was recorded; and when it arrived, where it was kept on a phone until then. */
export const recordedWords = (
  { at, arrivedAt }: { readonly at: string; readonly arrivedAt?: string },
  timeZone: string,
): string =>
  arrivedAt === undefined
    ? instantWords(at, timeZone)
    : `${instantWords(at, timeZone)} (recorded on the phone; arrived ${instantWords(arrivedAt, timeZone)})`;

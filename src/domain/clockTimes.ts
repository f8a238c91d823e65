/**
 * Times of the day at the clinic (R16): instants made from a day and a minute of
 * its clock, and back, and both as they are said in a sentence. On the two days
 * of a year on which the clock is put on or back, a day has 23 or 25 hours.
 */
import { Temporal } from 'temporal-polyfill';
import type { Day } from './days.ts';
import { dayInWords, minuteInWords } from './dayWords.ts';

const MINUTES_OF_DAY = 24 * 60;

/**
 * The instant at which the clinic's clock shows a minute of a day. A time that the
 * clock skips (put on from 2:00 to 3:00) gives the instant as far after the skip
 * as it would lie after 2:00; a time shown twice gives the first.
 * @param minute from midnight, 0 to 1440 (the next midnight)
 */
export function instantOn(day: Day, minute: number, timeZone: string): Date {
  const nextDay = minute === MINUTES_OF_DAY;
  const at = nextDay ? 0 : minute;
  const wall = Temporal.PlainDate.from(day)
    .add({ days: nextDay ? 1 : 0 })
    .toPlainDateTime({ hour: Math.floor(at / 60), minute: at % 60 });
  return new Date(wall.toZonedDateTime(timeZone).epochMilliseconds);
}

/** The minute of the day, from midnight, that the clinic's clock shows at an instant. */
export function minuteAt(at: Date, timeZone: string): number {
  const { hour, minute } = Temporal.Instant.fromEpochMilliseconds(at.getTime()).toZonedDateTimeISO(
    timeZone,
  );
  return 60 * hour + minute;
}

/** An instant as a sentence says it: `25 Nov 2026, 14:05` at the clinic. */
export function instantInWords(at: Date, timeZone: string): string {
  const day = Temporal.Instant.fromEpochMilliseconds(at.getTime())
    .toZonedDateTimeISO(timeZone)
    .toPlainDate()
    .toString();
  return `${dayInWords(day)}, ${minuteInWords(minuteAt(at, timeZone))}`;
}

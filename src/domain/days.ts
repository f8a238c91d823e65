import { Temporal } from 'temporal-polyfill';

/**
 * A calendar day, `YYYY-MM-DD`: dates of birth, promised dates, expiry. Not an
 * instant, and without a zone (R16).
 */
export type Day = string & { readonly __day: unique symbol };

/**
 * Reads a calendar day; undefined where there is no such day (2026-02-30). The
 * year 0 is none: the calendar of PostgreSQL, as of historians, has no such year.
 */
export function parseDay(text: string): Day | undefined {
  if (!/^(?!0000)\d{4}-\d{2}-\d{2}$/.test(text)) return undefined;
  // A day too many rolls into the next month here, and is then another day.
  const read = new Date(`${text}T00:00:00Z`);
  return !Number.isNaN(read.getTime()) && read.toISOString().startsWith(text)
    ? (text as Day)
    : undefined;
}

/** The calendar day in the clinic's time zone (IANA name) at an instant. */
export const dayAt = (at: Date, timeZone: string): Day =>
  Temporal.Instant.fromEpochMilliseconds(at.getTime())
    .toZonedDateTimeISO(timeZone)
    .toPlainDate()
    .toString() as Day;

export const addDays = (day: Day, days: number): Day =>
  Temporal.PlainDate.from(day).add({ days }).toString() as Day;

/** Adds calendar months; the day is clipped to the month's end (31 Jan + 1 = 28 or 29 Feb). */
export const addMonths = (day: Day, months: number): Day =>
  Temporal.PlainDate.from(day).add({ months }, { overflow: 'constrain' }).toString() as Day;

export const isBefore = (a: Day, b: Day): boolean => a < b;

/** Whole days from `a` to `b`; negative where b is earlier. */
export const daysBetween = (a: Day, b: Day): number =>
  Temporal.PlainDate.from(a).until(Temporal.PlainDate.from(b), { largestUnit: 'day' }).days;

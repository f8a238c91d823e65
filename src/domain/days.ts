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
  const [year = 0, month = 0, day = 0] = text.split('-').map(Number);
  return day >= 1 && day <= daysInMonth(year, month) ? (text as Day) : undefined;
}

/** By the Gregorian calendar; 0 where there is no such month. Every row of every list asks. */
function daysInMonth(year: number, month: number): number {
  const leap = (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
  if (month === 2) return leap ? 29 : 28;
  if (month < 1 || month > 12) return 0;
  return [4, 6, 9, 11].includes(month) ? 30 : 31;
}

/** The calendar day in the clinic's time zone (IANA name) at an instant. */
export const dayAt = (at: Date, timeZone: string): Day =>
  Temporal.Instant.fromEpochMilliseconds(at.getTime())
    .toZonedDateTimeISO(timeZone)
    .toPlainDate()
    .toString() as Day;

/**
 * Whether days can be reckoned in a zone of that name. A place or a region, and UTC: an
 * abbreviation (IST, EST) means one zone here and another there, or no summer time.
 */
export function isTimeZone(name: string): boolean {
  if (name !== 'UTC' && !name.includes('/')) return false;
  try {
    dayAt(new Date(0), name);
    return true;
  } catch {
    return false;
  }
}

const DAY_MS = 86_400_000;
/**
 * Days since 1 January 1970, a Thursday; negative before. Asked for every stay of
 * years of orders, where Temporal takes twenty times as long.
 */
export const dayNumber = (day: Day): number => Date.parse(day) / DAY_MS;

/** The first and the last day of four-digit years: text beyond them no longer sorts as days do. */
const FIRST_NUMBER = dayNumber('0001-01-01' as Day);
const LAST_NUMBER = dayNumber('9999-12-31' as Day);

/** @throws RangeError beyond the years 1 to 9999, so that no loop over days goes on for ever */
export function addDays(day: Day, days: number): Day {
  const number = dayNumber(day) + days;
  // Said the positive way round, so that what is not a number is refused too.
  if (!(number >= FIRST_NUMBER && number <= LAST_NUMBER)) {
    throw new RangeError(`${day} and ${days} days is in no year from 1 to 9999`);
  }
  return new Date(number * DAY_MS).toISOString().slice(0, -'T00:00:00.000Z'.length) as Day;
}

/** Adds calendar months; the day is clipped to the month's end (31 Jan + 1 = 28 or 29 Feb). */
export const addMonths = (day: Day, months: number): Day =>
  Temporal.PlainDate.from(day).add({ months }, { overflow: 'constrain' }).toString() as Day;

export const isBefore = (a: Day, b: Day): boolean => a < b;

/** Whole days from `a` to `b`; negative where b is earlier. */
export const daysBetween = (a: Day, b: Day): number => dayNumber(b) - dayNumber(a);

/** How many of the sorted days lie before `day`. */
export function countBefore(sorted: readonly Day[], day: Day): number {
  let [low, high] = [0, sorted.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (String(sorted[middle]) < day) low = middle + 1;
    else high = middle;
  }
  return low;
}

/**
 * Dates as bar codes carry them (C9): two figures for the year, sometimes no
 * day, sometimes the day of the year.
 */
import { addDays, parseDay, type Day } from './days.ts';

/** A day read from a carrier; `monthOnly` where the carrier left the day open. */
export interface CarrierDate {
  readonly on: Day;
  readonly monthOnly: boolean;
}

const two = (n: number): string => String(n).padStart(2, '0');

/**
 * The year meant by its last two figures (GS1 General Specifications, section
 * 7.12): 51 or more ahead of this year's is the century before, 50 or more
 * behind it the century after. HIBC names no rule of its own; the same one is used.
 * @param twoFigures 0 to 99
 * @param today the day of the reading
 */
export function yearMeant(twoFigures: number, today: Day): number {
  const thisYear = Number(today.slice(0, 4));
  const ahead = twoFigures - (thisYear % 100);
  const century = thisYear - (thisYear % 100);
  if (ahead >= 51) return century - 100 + twoFigures;
  if (ahead <= -50) return century + 100 + twoFigures;
  return century + twoFigures;
}

const dayOf = (year: number, month: number, dayOfMonth: number): Day | undefined =>
  parseDay(`${String(year).padStart(4, '0')}-${two(month)}-${two(dayOfMonth)}`);

/**
 * A date of year, month and day. Day 0 leaves the day open and means the last
 * of the month (GS1 General Specifications, section 7.12; in health care it must
 * not be printed since 2025, but older labels carry it).
 * @returns undefined where there is no such day
 */
export function carrierDate(
  year: number,
  month: number,
  dayOfMonth: number,
): CarrierDate | undefined {
  if (dayOfMonth > 0) {
    const on = dayOf(year, month, dayOfMonth);
    return on === undefined ? undefined : { on, monthOnly: false };
  }
  const firstOfNext = month === 12 ? dayOf(year + 1, 1, 1) : dayOf(year, month + 1, 1);
  // Month 0 would otherwise give the last day of the year before.
  if (month < 1 || firstOfNext === undefined) return undefined;
  return { on: addDays(firstOfNext, -1), monthOnly: true };
}

/** The day of that number in the year, from 1; undefined where the year has none. */
export function dayOfYear(year: number, number: number): CarrierDate | undefined {
  const first = dayOf(year, 1, 1);
  if (first === undefined || number < 1) return undefined;
  const on = addDays(first, number - 1);
  return on.startsWith(first.slice(0, 4)) ? { on, monthOnly: false } : undefined;
}

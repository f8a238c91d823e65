/**
 * The short PIN of a bench phone. After a full sign-in on that phone a person sets six
 * figures; the screen locks, and those unlock it. The PIN opens nothing without the phone's
 * own secret of 256 bits, ends after five wrong tries, and is good for a working day.
 *
 * Which PINs are refused is ours (common practice, no source; NIST SP 800-63B asks to compare
 * with a list of common values): what a person guesses first over a shoulder.
 */

export const PIN_DIGITS = 6;
/** Wrong tries that end the PIN on its phone. */
export const PIN_TRIES = 5;
/** Hours after the full sign-in: to begin with, and the most that a clinic may set. */
export const PIN_HOURS = { starting: 12, most: 24 } as const;
/** Minutes without a touch until a bench phone locks by itself. */
export const LOCK_MINUTES = { starting: 10, least: 1, most: 120 } as const;

const MS_OF_HOUR = 3_600_000;
/** Least different figures. */
const LEAST_DIFFERENT = 3;

/** What makes six figures easy to guess; undefined where nothing does. */
export function whyEasy(pin: string): string | undefined {
  if (new Set(pin).size < LEAST_DIFFERENT) return 'too few different figures';
  const steps = Array.from(pin.slice(1), (figure, at) => Number(figure) - Number(pin.charAt(at)));
  if (isEvenRow(steps) || hasLongRun(steps)) return 'figures in a row';
  if (/^(\d{3})\1$/.test(pin)) return 'a part repeated';
  if (/^(\d)\1(\d)\2(\d)\3$/.test(pin)) return 'figures in pairs';
  if (/(19|20)\d\d/.test(pin) || isDay(pin)) return 'a year or a day';
  return undefined;
}

/** 123456, 864208: every step the same, round the ten as well. */
const isEvenRow = (steps: readonly number[]): boolean =>
  new Set(steps.map((step) => (step + 10) % 10)).size === 1;

/** Four figures or more that follow one another by the same step of 0, 1 or -1. */
const hasLongRun = (steps: readonly number[]): boolean =>
  /(0 0 0|(?<!-)1 1 1|-1 -1 -1)(?= )/.test(`${steps.join(' ')} `);

/** Day, month and short year of somebody's birth, in the orders in which they are written. */
function isDay(pin: string): boolean {
  const [a, b, c] = [pin.slice(0, 2), pin.slice(2, 4), pin.slice(4)];
  return (isDate(a) && isMonth(b)) || (isMonth(a) && isDate(b)) || (isMonth(b) && isDate(c));
}
const isDate = (figures: string): boolean => Number(figures) >= 1 && Number(figures) <= 31;
const isMonth = (figures: string): boolean => Number(figures) >= 1 && Number(figures) <= 12;

/** Until when a PIN is good, by when its full sign-in began. */
export const pinGoodUntil = (signedInAt: Date, hours: number): Date =>
  new Date(signedInAt.getTime() + Math.min(hours, PIN_HOURS.most) * MS_OF_HOUR);

/**
 * Days and instants as a sentence says them. Without a library of calendars: reasons
 * are read in the browser too.
 */
const MONTHS = 'Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec'.split(' ');

const twoDigits = (figure: number): string => String(figure).padStart(2, '0');

/** `08:05`: a minute of the day as the clock shows it. */
export const minuteInWords = (minute: number): string =>
  `${twoDigits(Math.floor(minute / 60))}:${twoDigits(minute % 60)}`;

/** A calendar day: `25 Nov 2026`. What is no day is said as it is. */
export function dayInWords(day: string): string {
  const [, year, month, ofMonth] = /^(\d{4})-(\d{2})-(\d{2})$/.exec(day) ?? [];
  const name = MONTHS[Number(month) - 1];
  return name === undefined ? day : `${Number(ofMonth)} ${name} ${year}`;
}

/** Whether a text is an instant in UTC as our own facts have it (RFC 3339). What somebody typed may look like one that no clock shows. */
export const isInstant = (text: string): boolean =>
  /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(?:\.\d{1,9})?Z$/.test(text) &&
  !Number.isNaN(Date.parse(text));

/**
 * A day, or an instant: `25 Nov 2026`, and `25 Nov 2026, 13:05 UTC` for an instant of
 * which nobody has yet said in which zone it is read. Anything else as it is.
 */
export const whenInWords = (text: string): string =>
  isInstant(text)
    ? `${dayInWords(text.slice(0, 10))}, ${text.slice(11, 16)} UTC`
    : dayInWords(text);

/** Figures as a person types and reads them, in the language that is shown. */
import { locale } from './words.ts';

/** A figure typed with a point or a comma; undefined where nothing is typed, NaN where it is none. */
export function figureTyped(text: string): number | undefined {
  // A typed or pasted minus may be the sign itself.
  const trimmed = text.trim().replace(',', '.').replace('−', '-');
  return trimmed === '' ? undefined : Number(trimmed);
}

/**
 * A figure in print, with at most so many decimals. No mark stands between thousands: typed
 * back, it would be read as the decimal one. Rounded as the service itself rounds.
 */
export const inFigures = (value: number, decimals = 2): string =>
  new Intl.NumberFormat(locale.value, {
    maximumFractionDigits: decimals,
    useGrouping: false,
  }).format(Number(value.toFixed(decimals)));

/** As `inFigures`, its sign always shown, and as a minus: a hyphen is easily overlooked. */
export const signed = (value: number, decimals = 1): string =>
  new Intl.NumberFormat(locale.value, {
    maximumFractionDigits: decimals,
    signDisplay: 'exceptZero',
    useGrouping: false,
  })
    .format(Number(value.toFixed(decimals)))
    .replace('-', '−');

/** As `inFigures`, always with that many decimals, so that a running figure does not jump. */
export const steady = (value: number, decimals: number): string =>
  new Intl.NumberFormat(locale.value, {
    minimumFractionDigits: decimals,
    maximumFractionDigits: decimals,
    useGrouping: false,
  }).format(value);

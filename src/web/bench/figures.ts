/** Figures as a person types and reads them. */

/** A figure typed with a point or a comma; undefined where nothing is typed, NaN where it is none. */
export function figureTyped(text: string): number | undefined {
  const trimmed = text.trim().replace(',', '.');
  return trimmed === '' ? undefined : Number(trimmed);
}

/** A figure in print, with at most so many decimals. */
export const inFigures = (value: number, decimals = 2): string =>
  new Intl.NumberFormat('en-GB', { maximumFractionDigits: decimals }).format(value);

/** As `inFigures`, its sign always shown. */
export const signed = (value: number, decimals = 1): string =>
  new Intl.NumberFormat('en-GB', {
    maximumFractionDigits: decimals,
    signDisplay: 'exceptZero',
  }).format(value);

/**
 * Figures as German writes them: a decimal comma, no mark between thousands (a point would be
 * typed back as a decimal). Rounded as the service rounds, so that every language has the same.
 */
export const zahl = (value: number, decimals = 4): string =>
  new Intl.NumberFormat('de-DE', { maximumFractionDigits: decimals, useGrouping: false }).format(
    Number(value.toFixed(decimals)),
  );

const PLURAL = new Intl.PluralRules('de-DE');
/** So many of something: `1 Arbeitstag`, `3 Arbeitstage`. */
export const viele = (count: number, one: string, other: string): string =>
  `${zahl(count)} ${PLURAL.select(count) === 'one' ? one : other}`;

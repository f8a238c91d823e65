/**
 * A measured number as it stands in a refusal's words: rounded to `places`
 * decimals, without trailing zeros. The facts beside the words stay unrounded.
 */
export const figure = (value: number, places = 4): string => String(Number(value.toFixed(places)));

/** So many working days, one of them in the singular. */
export const workingDaysInWords = (days: number, places = 4): string =>
  `${figure(days, places)} working ${figure(days, places) === '1' ? 'day' : 'days'}`;

/**
 * A measured number as it stands in a refusal's words: rounded to `places`
 * decimals, without trailing zeros. The facts beside the words stay unrounded.
 */
export const figure = (value: number, places = 4): string => String(Number(value.toFixed(places)));

/** A number as people here type it, with a point or a comma. NaN where it is none. */
export const numberTyped = (typed: string): number =>
  typed.trim() === '' ? Number.NaN : Number(typed.trim().replace(',', '.'));

/** One field of each entry of a list in an answer, as it came: `pick(body.items, 'number')`. */
export const pick = (list: unknown, field: string): unknown[] =>
  (list as Record<string, unknown>[]).map((entry) => entry[field]);

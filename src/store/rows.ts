import { z } from 'zod';

/** Parses the rows of a raw statement: what the database sends is checked where it enters. */
export function parseRows<T>(row: z.ZodType<T>, rows: unknown): T[] {
  const known = lists.get(row) as z.ZodType<T[]> | undefined;
  const list = known ?? z.array(row);
  if (known === undefined) lists.set(row, list);
  return list.parse(rows);
}

/** The schema of a list of each row: making one takes ten times as long as reading a row by it. */
const lists = new WeakMap<z.ZodType, z.ZodType>();

/** As `parseRows` for the first row; undefined where there is none. */
export const parseFirst = <T>(row: z.ZodType<T>, rows: unknown): T | undefined =>
  parseRows(row, rows)[0];

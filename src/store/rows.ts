import { z } from 'zod';

/** Parses the rows of a raw statement: what the database sends is checked where it enters. */
export const parseRows = <T>(row: z.ZodType<T>, rows: unknown): T[] => z.array(row).parse(rows);

/** As `parseRows` for the first row; undefined where there is none. */
export const parseFirst = <T>(row: z.ZodType<T>, rows: unknown): T | undefined =>
  parseRows(row, rows)[0];

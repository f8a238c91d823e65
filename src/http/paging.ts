/**
 * Keyset paging: a page names where it ended, and the next begins after that. New
 * rows never shift a page, and the tenth page costs what the first does.
 */
import { z } from 'zod';
import { reason } from '../domain/reasons/index.ts';
import { RequestInvalid } from './problems.ts';

const DEFAULT_LIMIT = 50;
const GREATEST_LIMIT = 200;

/** Query fields of every list: `z.strictObject({ ...pageQuery, …own fields })`. */
export const pageQuery = {
  limit: z.coerce.number().int().min(1).max(GREATEST_LIMIT).default(DEFAULT_LIMIT),
  after: z
    .string()
    .min(1)
    .max(500)
    .optional()
    .describe('The `next` of the page before; leave out for the first page.'),
};

/** The answer of every list; name it by `.meta({ id })`. */
export const pageOf = <Item extends z.ZodType>(item: Item) =>
  z.object({
    items: z.array(item),
    next: z.string().nullable().describe('Send as `after` for the next page; null on the last.'),
  });

export interface Page<Item> {
  readonly items: Item[];
  readonly next: string | null;
}

/** Writes a cursor: opaque to callers, checked against `key` when it comes back. */
export const writeCursor = (key: unknown): string =>
  Buffer.from(JSON.stringify(key), 'utf8').toString('base64url');

/**
 * Reads a cursor back; undefined on the first page.
 * @throws RequestInvalid where the text is no cursor of this list
 */
export function readCursor<Key extends z.ZodType>(
  key: Key,
  after: string | undefined,
): z.output<Key> | undefined {
  if (after === undefined) return undefined;
  const read = key.safeParse(jsonOf(after));
  if (read.success) return read.data;
  const why = { field: 'after', expected: 'the "next" of a page of this very list' };
  throw new RequestInvalid([{ place: 'query', reason: reason('field-malformed', why, '/after') }]);
}

/**
 * Cuts a page from rows read with `limit + 1`: the one too many only tells that there are more.
 * @param keyOf what a row is ordered by, as `readCursor` expects it
 */
export function pageFrom<Row, Item>(
  rows: readonly Row[],
  limit: number,
  keyOf: (row: Row) => unknown,
  view: (row: Row) => Item,
): Page<Item> {
  const kept = rows.slice(0, limit);
  const last = kept.at(-1);
  return {
    items: kept.map(view),
    next: rows.length > limit && last !== undefined ? writeCursor(keyOf(last)) : null,
  };
}

function jsonOf(cursor: string): unknown {
  try {
    return JSON.parse(Buffer.from(cursor, 'base64url').toString('utf8'));
  } catch {
    return undefined;
  }
}

/**
 * The record as JSON, one value a line (NDJSON): a head, the rows of every table, the events
 * in the order of their chain, an end. For auditors: whose limb it is stands in it by chart
 * number alone, and how to reach the patient not at all (45 CFR 164.502(b)).
 */
import { z } from 'zod';
import { lastSeq } from '../../store/changesSince.ts';
import type { Act } from '../../store/act.ts';
import type { Json } from '../../store/events.ts';
import {
  countEvents,
  countRows,
  EXPORTED_TABLES,
  exportedEvents,
  exportedRows,
} from '../../store/recordExport.ts';
import { kindOf, type Step } from './kinds.ts';

/** Rows of one step. Common practice, no source. */
const PAGE = 500;

const Asked = z.object({ orderId: z.string().nullable(), orderNumber: z.string().nullable() });
type Asked = z.infer<typeof Asked>;

const Position = z.object({
  phase: z.enum(['count', 'rows', 'events']),
  /** The table that is next, by its place in the list. */
  table: z.int(),
  counted: z.int(),
  /** The last event when the export began; later ones are not in it. */
  upTo: z.int(),
  /** The key of the last row that was written. */
  after: z.array(z.string()).nullable(),
  afterSeq: z.int(),
  rows: z.int(),
  events: z.int(),
});
type Position = z.infer<typeof Position>;

export const recordExport = kindOf({
  kind: 'record_export',
  contentType: 'application/x-ndjson; charset=utf-8',
  fileName: 'castbook-record.ndjson',
  asked: Asked,
  position: Position,
  begin: {
    phase: 'count',
    table: 0,
    counted: 0,
    upTo: -1,
    after: null,
    afterSeq: 0,
    rows: 0,
    events: 0,
  },
  step: (act, asked, { position, done, total }) => {
    if (position.phase === 'count') return count(act, asked, position);
    const so = { done, total: total ?? 0 };
    return position.phase === 'rows'
      ? writeRows(act, asked, position, so)
      : writeEvents(act, asked, position, so);
  },
});

/** Counts a table a step, so that the whole is known before the first row is written. */
async function count(
  act: Act,
  { orderId, orderNumber }: Asked,
  so: Position,
): Promise<Step<Position>> {
  const upTo = so.upTo < 0 ? await lastSeq(act.tx, act.clinicId) : so.upTo;
  const table = EXPORTED_TABLES[so.table];
  if (table !== undefined) {
    const counted = so.counted + (await countRows(act, table, orderId));
    return { total: null, done: 0, position: { ...so, upTo, counted, table: so.table + 1 } };
  }
  const total = so.counted + (await countEvents(act, orderId, upTo));
  const head = {
    line: 'head',
    of: orderId === null ? 'clinic' : 'order',
    clinicId: act.clinicId,
    orderId,
    orderNumber,
    askedBy: act.by.personId,
    upToEvent: upTo,
    withheld: [...WITHHELD],
  };
  return {
    total,
    done: 0,
    position: { ...so, phase: 'rows', table: 0 },
    piece: { body: ndjson([head]) },
  };
}

interface Counts {
  readonly done: number;
  readonly total: number;
}
/** What was added meanwhile is written too, and counted. */
const counts = (so: Counts, more: number): Counts => ({
  done: so.done + more,
  total: Math.max(so.total, so.done + more),
});

async function writeRows(
  act: Act,
  { orderId }: Asked,
  so: Position,
  sum: Counts,
): Promise<Step<Position>> {
  const table = EXPORTED_TABLES[so.table];
  if (table === undefined) return { ...sum, position: { ...so, phase: 'events' } };
  const page = await exportedRows(act, table, orderId, so.after, PAGE);
  const next = page.length < PAGE;
  return {
    ...counts(sum, page.length),
    position: {
      ...so,
      table: next ? so.table + 1 : so.table,
      after: next ? null : (page.at(-1)?.key ?? null),
      rows: so.rows + page.length,
    },
    ...(page.length === 0
      ? {}
      : {
          piece: {
            body: ndjson(page.map(({ row }) => ({ line: 'row', table, row: without(row) }))),
          },
        }),
  };
}

async function writeEvents(
  act: Act,
  { orderId }: Asked,
  so: Position,
  sum: Counts,
): Promise<Step<Position>> {
  const { upTo, afterSeq } = so;
  const page = await exportedEvents(act, orderId, { after: afterSeq, upTo, limit: PAGE });
  const lines: Json[] = page.map(({ at, data, ...event }) => ({
    line: 'event',
    ...event,
    at: at.toISOString(),
    data: without(data),
  }));
  const events = so.events + page.length;
  const isLast = page.length < PAGE;
  if (isLast) lines.push({ line: 'end', rows: so.rows, events });
  const all = counts(sum, page.length);
  return {
    // At the end the count is what was written.
    total: isLast ? all.done : all.total,
    done: all.done,
    position: { ...so, afterSeq: page.at(-1)?.seq ?? afterSeq, events },
    piece: { body: ndjson(lines) },
    ...(isLast ? { summary: { rows: so.rows, events, upToEvent: upTo } } : {}),
  };
}

const ndjson = (lines: readonly Json[]): string =>
  lines.map((line) => `${JSON.stringify(line)}\n`).join('');

/** Wherever they stand, in tables' JSON or in the data of an event. */
const WITHHELD = new Set([
  'givenName',
  'familyName',
  'birthDate',
  'phone',
  'address',
  'receivedByName',
  'email',
  'passwordHash',
]);

/** The value without what is withheld; the names of the fields stay, so that nothing is hidden by stealth. */
function without(value: Json): Json {
  if (Array.isArray(value)) return value.map((each: Json) => without(each));
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value).map(([key, each]): [string, Json] => [
      key,
      WITHHELD.has(key) ? 'withheld' : without(each),
    ]),
  );
}

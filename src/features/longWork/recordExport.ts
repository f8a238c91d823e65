/**
 * The record as JSON, one value a line (NDJSON): a head, the rows of every table, the keys and
 * signed heads of the record, the events in the order of their chain, an end. For auditors: whose
 * limb it is stands in it by chart number alone, and how to reach the patient not at all (45 CFR
 * 164.502(b)).
 *
 * Events stand as they were hashed, so that whoever has this file and a public key proves them
 * without the service (scripts/verify-export.ts). Sealed values stay sealed: the seal is what was
 * hashed; whether the values kept beside it still fit, or were erased and by which erasure, the
 * service says in `withheldFits` and `erased`. The few
 * events that hold withheld values open (a person's e-mail address) are shown without them, as
 * `withheld`: their place in chain and tree is proven, and the service answers for their content.
 */
import { byRoles, CORRECTION_WORDS, seesCorrection } from '../../access/minimumNecessary.ts';
import { CORRECTABLE } from '../../domain/corrections.ts';
import { mayAskFor } from '../../domain/longWork.ts';
import { ROLES } from '../../domain/words.ts';
import { z } from 'zod';
import { lastSeq } from '../../store/changesSince.ts';
import type { Act } from '../../store/act.ts';
import { leafText } from '../../domain/eventChain.ts';
import { isErased, isSeal, sealedText, sealsOf } from '../../domain/seals.ts';
import { statementText } from '../../domain/signedHeads.ts';
import { textSha256, type Json } from '../../store/events.ts';
import {
  countEvents,
  countRows,
  EXPORTED_TABLES,
  exportedEvents,
  exportedRows,
  type ExportedEvent,
} from '../../store/recordExport.ts';
import { inclusionPath } from '../../domain/merkleProofs.ts';
import { hexOf } from '../../domain/merkle.ts';
import { runHash, TreeIncomplete } from '../../store/merkleNodes.ts';
import { headsAfter, newestSizeWithin, signingKeys } from '../../store/signedHeads.ts';
import { kindOf, type Step } from './kinds.ts';

/** Rows of one step. Common practice, no source. */
const PAGE = 500;

/** Events of one order in a step: each brings a proof of some forty small reads. */
const PROVEN_PAGE = 20;

/** What `scripts/verify-export.ts` reads; another number where a line means something else. */
const FORMAT = 2;

const Asked = z.object({ orderId: z.string().nullable(), orderNumber: z.string().nullable() });
type Asked = z.infer<typeof Asked>;

const Position = z.object({
  phase: z.enum(['count', 'rows', 'heads', 'events']),
  /** The table that is next, by its place in the list. */
  table: z.int(),
  counted: z.int(),
  /** The last event when the export began; later ones are not in it. */
  upTo: z.int(),
  /** The key of the last row that was written. */
  after: z.array(z.string()).nullable(),
  /** The last head that was written. */
  afterHead: z.int(),
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
    afterHead: 0,
    afterSeq: 0,
    rows: 0,
    events: 0,
  },
  step: (act, asked, { position, done, total }) => {
    if (position.phase === 'count') return count(act, asked, position);
    const so = { done, total: total ?? 0 };
    if (position.phase === 'rows') return writeRows(act, asked, position, so);
    return position.phase === 'heads'
      ? writeHeads(act, position, so)
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
    format: FORMAT,
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
  if (table === undefined) return { ...sum, position: { ...so, phase: 'heads' } };
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
  const limit = orderId === null ? PAGE : PROVEN_PAGE;
  const page = await exportedEvents(act, orderId, { after: afterSeq, upTo, limit });
  const lines: Json[] = page.map((event) => eventLine(act.clinicId, event));
  if (orderId !== null) await addProofs(act, upTo, lines as { seq: number; proof?: Json }[]);
  const events = so.events + page.length;
  const isLast = page.length < limit;
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

/** Keys with the first step, then heads; those that cover events after the export's last are left out. */
async function writeHeads(act: Act, so: Position, sum: Counts): Promise<Step<Position>> {
  const { afterHead: after, upTo: upToEvent } = so;
  const page = await headsAfter(act.tx, act.clinicId, { after, upToEvent, limit: PAGE });
  const keys = after === 0 ? await signingKeys(act.tx, act.clinicId) : [];
  const lines: Json[] = [
    ...keys.map(({ statement, ...key }) => ({
      line: 'signing_key',
      statement: statementText(statement),
      ...key,
    })),
    ...page.map(({ statementText: statement, signature }) => ({
      line: 'signed_head',
      statement,
      signature,
    })),
  ];
  const isLast = page.length < PAGE;
  const afterHead = page.at(-1)?.statement.number ?? after;
  return {
    ...sum,
    position: { ...so, afterHead, phase: isLast ? 'events' : 'heads' },
    piece: { body: ndjson(lines) },
  };
}

/**
 * Of one order the chain has gaps, so each event brings the proof that it is under the newest head
 * of the export. Nodes that do not make up a tree leave the proof out, and the verifier says so.
 */
async function addProofs(
  { tx, clinicId }: Act,
  upTo: number,
  lines: { seq: number; proof?: Json }[],
): Promise<void> {
  const size = await newestSizeWithin(tx, clinicId, upTo);
  for (const line of lines.filter(({ seq }) => seq <= size)) {
    const hashes: string[] = [];
    try {
      for (const run of inclusionPath(line.seq - 1, size)) {
        hashes.push(hexOf(await runHash(tx, clinicId, run)));
      }
    } catch (failure) {
      if (!(failure instanceof TreeIncomplete)) throw failure;
      continue;
    }
    line.proof = hashes;
  }
}

/** An event as it was hashed, or without what is withheld. */
function eventLine(clinicId: string, { at, data, kept, ...event }: ExportedEvent): Json {
  const leaf = {
    at: at.toISOString(),
    clinicId,
    data,
    id: event.id,
    kind: event.kind,
    orderId: event.orderId,
    personId: event.personId,
    subjectId: event.subjectId,
    subjectKind: event.subjectKind,
  };
  const withheld = holdsOpen(data);
  const fits = [...sealsOf(data)].every(([path, seal]) => {
    const value = kept[path];
    if (value === undefined) return false;
    return isErased(value) || textSha256(sealedText(value)) === seal;
  });
  return {
    line: 'event',
    ...event,
    at: leaf.at,
    data: withheld ? without(data) : data,
    withheld,
    // By which erasure a value is gone from under its seal; the erasure has an event of its own.
    erased: Object.fromEntries(
      Object.entries(kept).flatMap(([path, value]) =>
        isErased(value) ? [[path, value.erased]] : [],
      ),
    ),
    withheldFits: fits && (!withheld || textSha256(leafText(leaf)) === event.leafSha256),
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

/** Whether anything that is withheld stands open in a value; under a seal it does not. */
function holdsOpen(value: Json): boolean {
  if (Array.isArray(value)) return value.some((each: Json) => holdsOpen(each));
  if (typeof value !== 'object' || value === null) return false;
  return Object.entries(value).some(
    ([key, each]) => (WITHHELD.has(key) && each !== null && !isSeal(each)) || holdsOpen(each),
  );
}

/** The value without what is withheld; the names of the fields stay, so that nothing is hidden by stealth. */
function without(value: Json): Json {
  if (Array.isArray(value)) return value.map((each: Json) => without(each));
  if (typeof value !== 'object' || value === null) return value;
  const hides = (key: string): boolean =>
    WITHHELD.has(key) || (correctsUnseen(value) && CORRECTION_WORDS.includes(key));
  return Object.fromEntries(
    Object.entries(value).map(([key, each]): [string, Json] => [
      key,
      hides(key) && !isSeal(each) ? 'withheld' : without(each),
    ]),
  );
}

const READERS = ROLES.filter((role) => mayAskFor('record_export', [role]));
/** What is corrected by words that not every reader of an export sees: a delivery, a fitting's note. */
const UNSEEN = CORRECTABLE.filter(
  (kind) => !READERS.every((role) => seesCorrection(byRoles([role]), kind)),
);
/** Whether a row of corrections, or the content of its signature, has such words. */
const correctsUnseen = (value: object): boolean =>
  Object.entries(value).some(
    ([key, kind]) =>
      (key === 'subject_kind' || key === 'subjectKind') && UNSEEN.some((each) => each === kind),
  );

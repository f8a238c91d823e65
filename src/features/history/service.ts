/** The history of any record: who changed what and when, with the value before (R11). */
import { z } from 'zod';
import { lookedUp } from '../../access/lookUp.ts';
import { mostShown, seesEventField, type Sight } from '../../access/minimumNecessary.ts';
import { sightOf } from '../../access/sight.ts';
import type { JsonValue } from '../../domain/canonical.ts';
import { EVENT_WORDS } from '../../domain/eventKinds.ts';
import { tellEvent } from '../../domain/eventTelling.ts';
import { seesAllLongWork } from '../../domain/longWork.ts';
import { reason } from '../../domain/reasons/index.ts';
import { isErased, isSealed, sealsOf, withValues } from '../../domain/seals.ts';
import type { Role } from '../../domain/words.ts';
import { pageFrom, readCursor } from '../../http/paging.ts';
import type { Act } from '../../store/act.ts';
import { loadClinic, type ClinicSettings } from '../../store/clinic.ts';
import { namesOf, recordEvents, recordExists, type HistoryRow } from '../../store/history.ts';
import { loadLongWork } from '../../store/longWorks.ts';
import { Refused } from '../../store/refused.ts';
import type { HistoryEntry, HistoryOf, HistoryQuery, HistoryView } from './schemas.ts';

/** Entries of a file; what is longer says so. Common practice, no source. */
export const MOST_ENTRIES = { csv: 20_000, json: 20_000, pdf: 2000 } as const;

const OVERSEES: readonly Role[] = ['auditor', 'administrator'];
const oversees = (roles: readonly Role[]): boolean => roles.some((role) => OVERSEES.includes(role));

/**
 * Reads a page of a record's history, the newest first, and notes on its first page who
 * read it ('history.read').
 * @throws Refused 'not-found', 'history-not-yours'
 */
export async function readHistory(
  act: Act,
  { subjectKind, subjectId }: HistoryOf,
  query: Pick<HistoryQuery, 'after' | 'looks'> & { readonly limit: number },
): Promise<HistoryView> {
  const { roles, personId } = act.by;
  if (subjectKind === 'person' && subjectId !== personId && !oversees(roles)) {
    throw new Refused([reason('history-not-yours', {})]);
  }
  // Of whom it is not, it is not there (features/longWork).
  if (subjectKind === 'long_work') {
    await loadLongWork(act, subjectId, seesAllLongWork(roles) ? null : personId);
  }
  if (!(await recordExists(act, subjectKind, subjectId))) {
    throw new Refused([reason('not-found', { what: subjectKind, id: subjectId })]);
  }
  const beforeSeq = readCursor(z.int().positive(), query.after) ?? null;
  const rows = await recordEvents(
    act,
    { kind: subjectKind, id: subjectId },
    { beforeSeq, take: query.limit + 1, looks: query.looks === 'yes' && oversees(roles) },
  );
  const sight = await sightOf(act);
  const page = pageFrom(
    rows,
    query.limit,
    (row) => row.seq,
    (row) => entryFor(row, sight),
  );
  const names = await namesOf(act, idsIn([page.items, subjectId]));
  if (beforeSeq === null) {
    act.record({
      kind: 'history.read',
      subjectKind,
      subjectId,
      ...(subjectKind === 'order' ? { orderId: subjectId } : {}),
      data: { entries: page.items.length },
    });
    if (subjectKind === 'patient') {
      await lookedUp(act, {
        route: 'readHistory',
        shown: mostShown(sight, subjectId),
        patientIds: [subjectId],
        told: true,
      });
    }
  }
  return {
    subject: { kind: subjectKind, id: subjectId, name: names.get(subjectId) ?? null },
    ...page,
    names: Object.fromEntries(names),
  };
}

/** A history with what its paper says beside it. */
export async function historyForFile(
  act: Act,
  of: HistoryOf,
  looks: HistoryQuery['looks'],
  format: keyof typeof MOST_ENTRIES,
): Promise<{ history: HistoryView; clinic: ClinicSettings; at: Date; askedBy: string }> {
  return {
    history: await readHistory(act, of, { limit: MOST_ENTRIES[format], looks }),
    clinic: await loadClinic(act.tx, act.clinicId),
    at: act.at,
    askedBy: act.by.printedName,
  };
}

/** Says nothing to a person: which device was signed in. */
const NEVER_TOLD = ['familyId'];

/** One event as it may be read (45 CFR 164.502(b)). */
function entryFor(row: HistoryRow, sight: Sight): HistoryEntry {
  const hidden = (field: string): boolean => !seesEventField(sight, row, field);
  const { changes, facts } = tellEvent(
    row.kind,
    isSealed(row.subjectKind) ? opened(row) : row.data,
  );
  const withheld = [...changes, ...facts].map(({ field }) => field).filter(hidden);
  const { seq, at, by, kind, subjectKind, subjectId, orderId } = row;
  return {
    seq,
    at,
    by,
    kind,
    words: (EVENT_WORDS as Readonly<Record<string, string>>)[kind] ?? kind,
    subjectKind,
    subjectId,
    orderId,
    changes: changes.filter(({ field }) => !hidden(field)).map((change) => ({ ...change })),
    facts: facts
      .filter(({ field }) => !hidden(field) && !NEVER_TOLD.includes(field))
      .map((fact) => ({ ...fact })),
    withheld,
  };
}

/** An event's data with the values in place of their seals. */
function opened({ data, sealed }: HistoryRow): HistoryRow['data'] {
  const values = new Map<string, JsonValue>();
  for (const path of sealsOf(data).keys()) {
    const kept = sealed?.[path];
    // Which erasure took it is told in the value's place.
    if (kept === undefined) values.set(path, null);
    else values.set(path, isErased(kept) ? { erased: kept.erased } : kept.value);
  }
  return withValues(data, values);
}

const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/;

/** Every id that stands anywhere in a value. */
function idsIn(value: unknown, found = new Set<string>()): string[] {
  if (typeof value === 'string') {
    if (UUID.test(value)) found.add(value);
  } else if (typeof value === 'object' && value !== null) {
    for (const part of Object.values(value)) idsIn(part, found);
  }
  return [...found];
}

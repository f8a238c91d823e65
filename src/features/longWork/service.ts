/** Asking for long work, following it, cancelling it, and saving what came of it. */
import { lookedUp } from '../../access/lookUp.ts';
import { Readable } from 'node:stream';
import { v7 as uuidv7 } from 'uuid';
import { z } from 'zod';
import { byRoles, sees } from '../../access/minimumNecessary.ts';
import { ROLE_WORDS } from '../../access/permissions.ts';
import type { SignedIn } from '../../access/tokens.ts';
import {
  hasEnded,
  isHandedToAskerOnly,
  mayAskFor,
  rolesFor,
  seesAllLongWork,
} from '../../domain/longWork.ts';
import { reason } from '../../domain/reasons/index.ts';
import { pageFrom, readCursor, type Page } from '../../http/paging.ts';
import { perform, type Act } from '../../store/act.ts';
import type { Json } from '../../store/events.ts';
import {
  countOpen,
  insertLongWork,
  loadLongWork,
  longWorkPage,
  nextPiece,
  writeCancelled,
  type LongWorkRow,
} from '../../store/longWorks.ts';
import type { Store } from '../../store/open.ts';
import { loadOrder } from '../../store/orders.ts';
import { loadPatient } from '../../store/patients.ts';
import { refuseIfAny } from '../../store/refused.ts';
import { readPartsCsv } from './partsCsv.ts';
import { KINDS } from './registry.ts';
import type { AskLongWork, LongWorkQuery, LongWorkView } from './schemas.ts';

/** Works of one person that have not ended: the queue is everybody's. Common practice, no source. */
const MOST_OPEN = 5;

/** What of the question can be read before any transaction: a file. May refuse. */
export function readAsked(ask: AskLongWork): Json | undefined {
  if (ask.kind !== 'parts_import') return undefined;
  return { lines: readPartsCsv(ask.csv).map((line) => ({ ...line })), enter: ask.enter };
}

/**
 * Puts the work into the queue. @param read what `readAsked` gave
 * @throws Refused 'role-may-not', 'long-work-too-many', 'not-found'
 */
export async function askLongWork(
  act: Act,
  ask: AskLongWork,
  read: Json | undefined,
): Promise<LongWorkView> {
  const { kind } = ask;
  refuseOthers(kind, act.by.roles);
  const open = await countOpen(act);
  if (open >= MOST_OPEN) refuseIfAny([reason('long-work-too-many', { open, limit: MOST_OPEN })]);
  const id = uuidv7();
  const asked = read ?? (await askedOf(act, ask));
  await insertLongWork(act, { id, kind, asked });
  const work = await loadLongWork(act, id, act.by.personId);
  const { askedCount, orderNumber, enters } = work;
  if (ask.kind === 'patient_export') {
    act.record({
      kind: 'patient.export_asked',
      subjectKind: 'patient',
      subjectId: ask.patientId,
      data: { longWorkId: id, reason: ask.reason, handedTo: ask.handedTo },
    });
  }
  act.record({
    kind: 'long_work.asked',
    subjectKind: 'long_work',
    subjectId: id,
    data: { kind, askedCount, orderNumber, enters },
  });
  return viewOf(work);
}

/** 'role-may-not' where none of the roles may ask for this kind. */
export function refuseOthers(kind: AskLongWork['kind'], roles: SignedIn['roles']): void {
  if (mayAskFor(kind, roles)) return;
  refuseIfAny([reason('role-may-not', { roles: rolesFor(kind).map((role) => ROLE_WORDS[role]) })]);
}

async function askedOf(act: Act, ask: AskLongWork): Promise<Json> {
  if (ask.kind === 'recall_of_many') return { of: ask.of, list: [...new Set(ask.list)] };
  if (ask.kind === 'parts_import') throw new Error('a file is read before');
  if (ask.kind === 'patient_export') {
    const { patientId, reason: why, handedTo } = ask;
    const { chartNumber } = await loadPatient(act, patientId);
    return { patientId, chartNumber, reason: why, handedTo };
  }
  if (ask.orderId === undefined) return { orderId: null, orderNumber: null };
  const { number } = await loadOrder(act, ask.orderId);
  return { orderId: ask.orderId, orderNumber: number };
}

const ofWhom = ({ by }: Act): string | null => (seesAllLongWork(by.roles) ? null : by.personId);

export const readLongWork = async (act: Act, id: string): Promise<LongWorkView> =>
  viewOf(await loadLongWork(act, id, ofWhom(act)));

const Cursor = z.object({ askedAt: z.coerce.date(), id: z.uuid() });

export async function findLongWorks(act: Act, query: LongWorkQuery): Promise<Page<LongWorkView>> {
  const after = readCursor(Cursor, query.after);
  const rows = await longWorkPage(act, ofWhom(act), after, query.limit + 1);
  return pageFrom(rows, query.limit, ({ askedAt, id }) => ({ askedAt, id }), viewOf);
}

/** @throws Refused 'not-found', 'long-work-has-ended' */
export async function cancelLongWork(act: Act, id: string): Promise<LongWorkView> {
  const before = await loadLongWork(act, id, ofWhom(act));
  if (hasEnded(before.state)) {
    refuseIfAny([reason('long-work-has-ended', { state: before.state })]);
  }
  if (await writeCancelled(act, id)) {
    act.record({
      kind: 'long_work.cancelled',
      subjectKind: 'long_work',
      subjectId: id,
      data: { state: before.state, done: before.done, total: before.total },
    });
  }
  return readLongWork(act, id);
}

/**
 * The result, piece by piece, each read in a transaction of its own as the reader takes it.
 * @throws Refused 'not-found', 'long-work-not-done'
 */
export async function openResult(store: Store, caller: SignedIn, id: string, at: Date) {
  const { kind, pieces } = await perform(store, caller, at, async (act) => {
    const work = await loadLongWork(act, id, ofWhom(act));
    if (work.state !== 'done') {
      refuseIfAny([reason('long-work-not-done', { state: work.state })]);
    }
    if (isHandedToAskerOnly(work.kind) && work.askedById !== caller.personId) {
      refuseIfAny([reason('long-work-not-yours', {})]);
    }
    if (isHandedToAskerOnly(work.kind)) refuseOthers(work.kind, caller.roles);
    if (work.erasureId !== null) refuseIfAny([reason('result-erased', {})]);
    const data = { kind: work.kind, pieces: work.pieces };
    act.record({ kind: 'long_work.read', subjectKind: 'long_work', subjectId: id, data });
    await lookedUp(act, {
      route: 'readLongWorkResult',
      shown: 'contact',
      patientIds: work.patientId === null ? [] : [work.patientId],
      told: true,
    });
    return work;
  });
  // Who calls patients, and who runs the recall, sees names and phone numbers (as in features/trace).
  const withContact = sees(byRoles(caller.roles), 'recallPhone');
  async function* read(): AsyncGenerator<string> {
    for (let seq = 0; seq < pieces;) {
      const from = seq;
      const piece = await perform(store, caller, at, (act) =>
        nextPiece(act, id, from, withContact),
      );
      if (piece === undefined) return;
      seq = piece.seq;
      yield piece.body;
    }
  }
  const { contentType, fileName } = KINDS[kind];
  return { contentType, fileName, body: Readable.from(read(), { objectMode: false }) };
}

const viewOf = ({
  askedById,
  askedBy,
  pieces: _pieces,
  erasureId: _erasureId,
  patientId: _patientId,
  ...work
}: LongWorkRow): LongWorkView => ({
  ...work,
  askedBy: { id: askedById, printedName: askedBy },
});

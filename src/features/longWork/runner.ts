/**
 * The doer of long work in this process: takes one work after another from the queue, step by
 * step, each step its own short transaction, so that requests go in between. Woken by the
 * database's notifications; looks by itself now and then, for work whose process was killed.
 */
import { randomUUID } from 'node:crypto';
import { setImmediate as turn } from 'node:timers/promises';
import { mayAskFor } from '../../domain/longWork.ts';
import { reason, type Reason } from '../../domain/reasons/index.ts';
import { inClinic, performFor, type Act, type Caller, type Tx } from '../../store/act.ts';
import { waitAfter } from '../../store/backoff.ts';
import { isBusy } from '../../store/busy.ts';
import type { Changes } from '../../store/changes.ts';
import type { StoreLog } from '../../store/database.ts';
import type { Json } from '../../store/events.ts';
import {
  giveBack,
  holdLongWork,
  insertPiece,
  takeLongWork,
  writeEnd,
  writeStep,
  type HeldWork,
  type Taken,
} from '../../store/longWorkQueue.ts';
import type { Store } from '../../store/open.ts';
import { personById } from '../../store/people.ts';
import { Refused } from '../../store/refused.ts';
import { KINDS } from './registry.ts';

/** How long a work is kept by a process that is not heard of. Common practice, no source. */
const LEASE_S = 30;
const LOOK_EVERY_MS = 15_000;
/** A work that ends its process each time must not do so for ever. */
const MOST_TAKINGS = 3;
/** Of a piece, in characters: at most four bytes each, within what the table takes. */
const PIECE_LENGTH = 1_000_000;

export interface LongWorkRunner {
  /** Finishes the step under way, gives the work back, and ends. */
  stop(): Promise<void>;
}

export interface RunnerParts {
  readonly store: Store;
  readonly changes: Changes;
  readonly log: StoreLog;
  readonly now: () => Date;
}

export function runLongWork({ store, changes, log, now }: RunnerParts): LongWorkRunner {
  const worker = randomUUID();
  let stopped = false;
  const bell = doorbell();
  const leave = changes.subscribe('every clinic', (told) => {
    const isNews = told.kind === 'change' && told.change.state === 'waiting';
    if (isNews || told.kind === 'again') bell.ring();
  });
  const isStopped = (): boolean => stopped;

  /** @returns whether it goes on here */
  const step = async (taken: Taken): Promise<boolean> =>
    (await onHeld(store, taken, worker, now(), (act, held) => oneStep(act, taken, held))) ?? false;
  const work = async (taken: Taken): Promise<void> => {
    let failures = 0;
    while (!isStopped()) {
      try {
        if (!(await step(taken))) return;
        failures = 0;
      } catch (failure) {
        if (isBusy(failure) && failures < 8) {
          failures += 1;
          await bell.heard(waitAfter(failures));
          continue;
        }
        if (!(failure instanceof Refused)) log.warn({ err: failure }, 'long work failed');
        await fail(store, taken, worker, now(), reasonOf(failure));
        return;
      }
      // Requests that wait for the embedded database's one connection have their turn.
      await turn();
    }
    await inClinic(store, taken.clinicId, (tx) => giveBack(tx, taken, worker));
  };
  const loop = async (): Promise<void> => {
    let failures = 0;
    while (!isStopped()) {
      try {
        const taken = await takeLongWork(store, worker, LEASE_S, now());
        failures = 0;
        if (taken === undefined) await bell.heard(LOOK_EVERY_MS);
        else await work(taken);
      } catch (err) {
        failures += 1;
        log.warn({ err }, 'long work cannot be looked for');
        await bell.heard(waitAfter(failures));
      }
    }
  };
  const ended = loop();
  return {
    stop: async () => {
      stopped = true;
      leave();
      bell.ring();
      await ended;
    },
  };
}

/**
 * An act of who asked, with the roles of now, on the work held.
 * @returns undefined where the work is not this process' any more
 */
async function onHeld<T>(
  store: Store,
  taken: Taken,
  worker: string,
  at: Date,
  work: (act: Act, held: HeldWork) => Promise<T>,
): Promise<T | undefined> {
  let held: HeldWork | undefined;
  const find = async (tx: Tx): Promise<Caller | undefined> => {
    held = await holdLongWork(tx, taken, worker);
    if (held === undefined) return undefined;
    const person = await personById(tx, taken.clinicId, held.askedById);
    return {
      clinicId: taken.clinicId,
      personId: held.askedById,
      printedName: person?.printedName ?? '',
      roles: person?.active === true ? person.roles : [],
    };
  };
  return performFor(store, taken.clinicId, at, find, (act) => {
    if (held === undefined) throw new Error('held by whoever was found');
    return work(act, held);
  });
}

/** Does a step and writes how far the work is, together; what the step recorded is written with it. */
async function oneStep(act: Act, taken: Taken, held: HeldWork): Promise<boolean> {
  if (held.cancelledAt !== null) {
    await end(act, taken, held, 'cancelled');
    return false;
  }
  if (held.takings > MOST_TAKINGS) {
    throw new Refused([reason('long-work-gave-up', { times: MOST_TAKINGS })]);
  }
  if (!mayAskFor(held.kind, act.by.roles)) {
    throw new Refused([reason('long-work-asker-may-not', { name: act.by.printedName })]);
  }
  const { position, done, total, piece, summary } = await KINDS[held.kind].step(act, held.asked, {
    position: held.position,
    done: held.done,
    total: held.total,
  });
  let pieces = held.pieces;
  if (piece !== undefined) {
    const bodies = chunks(piece.body);
    const others = piece.withoutContact === undefined ? undefined : chunks(piece.withoutContact);
    for (let at = 0; at < Math.max(bodies.length, others?.length ?? 0); at += 1) {
      pieces += 1;
      const other = others === undefined ? null : (others[at] ?? '');
      await insertPiece(act, taken, pieces, bodies[at] ?? '', other);
    }
  }
  await writeStep(act.tx, taken, { total, done, position, pieces }, LEASE_S);
  if (summary === undefined) return true;
  await end(act, taken, { ...held, done, total }, 'done', { summary });
  return false;
}

async function fail(
  store: Store,
  taken: Taken,
  worker: string,
  at: Date,
  { code, rule, title, detail, wayOut, facts }: Reason,
): Promise<void> {
  await onHeld(store, taken, worker, at, (act, held) =>
    end(act, taken, held, 'failed', { failure: { code, rule, title, detail, wayOut, facts } }),
  );
}

async function end(
  act: Act,
  { id }: Taken,
  { kind, done, total }: Pick<HeldWork, 'kind' | 'done' | 'total'>,
  state: 'done' | 'cancelled' | 'failed',
  told: Parameters<typeof writeEnd>[3] = {},
): Promise<void> {
  await writeEnd(act, id, state, told);
  const { summary, failure } = told;
  const data: Record<string, Json> = { kind, state, done, total };
  if (summary !== undefined) data['summary'] = summary;
  if (failure !== undefined) data['failure'] = failure.code;
  act.record({ kind: 'long_work.ended', subjectKind: 'long_work', subjectId: id, data });
}

const reasonOf = (failure: unknown): Reason =>
  failure instanceof Refused ? failure.reasons[0] : reason('internal', {});

/** Bounded pieces; a pair of surrogates is not cut in two. */
function chunks(text: string): string[] {
  const all: string[] = [];
  for (let at = 0; at < text.length;) {
    let to = Math.min(text.length, at + PIECE_LENGTH);
    if (to < text.length && /[\uD800-\uDBFF]/.test(text.charAt(to - 1))) to -= 1;
    all.push(text.slice(at, to));
    at = to;
  }
  return all;
}

/** Waits that a ring ends; one rung while nobody waits is heard by the next. */
function doorbell() {
  let wasRung = false;
  let answer: (() => void) | undefined;
  return {
    ring: () => {
      wasRung = true;
      answer?.();
    },
    heard: async (atMostMs: number): Promise<void> => {
      await new Promise<void>((resolve) => {
        if (wasRung) {
          resolve();
          return;
        }
        const timer = setTimeout(resolve, atMostMs);
        timer.unref();
        answer = () => {
          clearTimeout(timer);
          resolve();
        };
      });
      wasRung = false;
      answer = undefined;
    },
  };
}

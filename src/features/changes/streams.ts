/**
 * The open streams of live updates of this process: each tells one person of the changes in
 * the person's clinic, for as long as the access token and the sign-in count.
 */
import { Readable } from 'node:stream';
import { setTimeout as wait } from 'node:timers/promises';
import type { z } from 'zod';
import type { ShownToken } from '../../access/tokens.ts';
import { reason } from '../../domain/reasons/index.ts';
import type { Role } from '../../domain/words.ts';
import { inSession } from '../../store/act.ts';
import type { Change, Changes, Told } from '../../store/changes.ts';
import { changesSince, lastSeq } from '../../store/changesSince.ts';
import type { Store } from '../../store/open.ts';
import { Refused, refuseIfAny } from '../../store/refused.ts';
import { CHANGE_MESSAGES, type ChangeMessages, type EndedBecause } from './schemas.ts';

/** So often a stream says that it is still there. Proxies cut what is silent for a minute. Common practice, no source. */
export const HEARTBEAT_MS = 25_000;
/** Streams of one person in one process: a desk, a phone, some windows. Common practice, no source. */
const MOST_A_PERSON = 12;
/** Missed changes that are told one by one; past that, all is read again. Common practice, no source. */
const MOST_MISSED = 500;
/** What may wait for a reader, beyond what the network holds. Common practice, no source. */
const MOST_WAITING_BYTES = 65_536;
/** How long a first reader waits for the process to listen to its database. */
const READY_WITHIN_MS = 2_000;

export interface StreamParts {
  readonly store: Store;
  readonly changes: Changes;
  readonly now: () => Date;
  readonly heartbeatMs?: number | undefined;
}

export interface ChangeStreams {
  /**
   * @param lastEventId what the reader heard last, as it says
   * @throws Refused 'too-many-live-streams', 'session-ended', 'access-changed'
   */
  open(caller: ShownToken, lastEventId: string | undefined): Promise<Readable>;
  /** Ends every stream, and each that is opened later. */
  stop(): void;
  readonly count: number;
}

interface Open {
  readonly personId: string;
  end(why: EndedBecause): void;
}

export function changeStreams(parts: StreamParts): ChangeStreams {
  const open = new Set<Open>();
  let stopped = false;
  return {
    open: async (caller, lastEventId) => {
      const { personId } = caller;
      if ([...open].filter((each) => each.personId === personId).length >= MOST_A_PERSON) {
        const facts = { limit: MOST_A_PERSON, retryAfterS: 60 };
        refuseIfAny([reason('too-many-live-streams', facts)]);
      }
      const stream = new ChangeStream(parts, caller);
      const kept: Open = {
        personId,
        end: (why) => {
          stream.end(why);
        },
      };
      open.add(kept);
      stream.body.once('close', () => open.delete(kept));
      try {
        await stream.begin(lastEventId);
      } catch (failure) {
        stream.body.destroy();
        throw failure;
      }
      if (stopped) stream.end('stopping');
      return stream.body;
    },
    stop: () => {
      stopped = true;
      for (const each of open) each.end('stopping');
    },
    get count() {
      return open.size;
    },
  };
}

const SEE_PEOPLE: readonly Role[] = ['administrator', 'auditor'];

class ChangeStream {
  readonly body = new Readable({ read: () => undefined });
  readonly #parts: StreamParts;
  readonly #caller: ShownToken;
  /** What is told until the beginning is written; undefined from then on. */
  #early: Told[] | undefined = [];
  #lastSeq = 0;
  #ended = false;
  #isLate = false;
  #timer: NodeJS.Timeout | undefined;

  constructor(parts: StreamParts, caller: ShownToken) {
    this.#parts = parts;
    this.#caller = caller;
    const leave = parts.changes.subscribe({ clinicId: caller.clinicId }, (told) => {
      if (this.#early === undefined) this.#tell(told);
      else this.#early.push(told);
    });
    this.body.once('close', () => {
      this.#ended = true;
      leave();
      clearTimeout(this.#timer);
    });
  }

  /** Tells what was missed since; then it is live. */
  async begin(lastEventId: string | undefined): Promise<void> {
    const { store, changes } = this.#parts;
    const { clinicId } = this.#caller;
    await Promise.race([changes.ready, wait(READY_WITHIN_MS, undefined, { ref: false })]);
    const since = /^\d{1,15}$/.test(lastEventId ?? '') ? Number(lastEventId) : undefined;
    const { last, missed } = await inSession(store, this.#caller, async (tx) => ({
      last: await lastSeq(tx, clinicId),
      missed: since === undefined ? [] : await changesSince(tx, clinicId, since, MOST_MISSED + 1),
    }));
    this.#write('retry: 2000\n\n');
    const isKnown = since !== undefined && since <= last && missed.length <= MOST_MISSED;
    if (lastEventId !== undefined && !isKnown) this.#send('again', {}, last);
    else for (const change of missed) this.#tell({ kind: 'change', change });
    this.#lastSeq = Math.max(this.#lastSeq, last);
    this.#send('listening', {}, this.#lastSeq);
    const early = this.#early ?? [];
    this.#early = undefined;
    for (const told of early) this.#tell(told);
    if (!changes.isListening()) this.#send('interrupted', {});
    this.#beat();
  }

  end(why: EndedBecause): void {
    if (this.#ended) return;
    this.#send('ended', { why });
    this.#ended = true;
    this.body.push(null);
  }

  #tell(told: Told): void {
    if (told.kind === 'change') this.#tellChange(told.change);
    else if (told.kind === 'lost') this.#send('interrupted', {});
    else {
      this.#send('again', {}, told.seq ?? undefined);
      void this.#lookAtSignIn();
    }
  }

  #tellChange({ seq, subjectKind, subjectId, orderId, state }: Change): void {
    const { personId, roles } = this.#caller;
    if (seq !== null && seq <= this.#lastSeq) return;
    if (subjectKind === 'person') {
      if (subjectId === personId) void this.#lookAtSignIn();
      else if (!roles.some((role) => SEE_PEOPLE.includes(role))) return;
    }
    if (seq !== null) this.#lastSeq = seq;
    this.#send('change', { subjectKind, subjectId, orderId, state }, seq ?? undefined);
  }

  async #lookAtSignIn(): Promise<void> {
    const { store } = this.#parts;
    try {
      // Whoever may open no transaction is told of none.
      await inSession(store, this.#caller, () => Promise.resolve());
    } catch (failure) {
      // Where it cannot be told now, the next beat asks again.
      if (!(failure instanceof Refused)) return;
      const isEnded = failure.reasons.some(({ code }) => code === 'session-ended');
      this.end(isEnded ? 'sign-in-ended' : 'token-expired');
    }
  }

  /** Now and then, and when the token expires. */
  #beat(): void {
    const { now, heartbeatMs = HEARTBEAT_MS } = this.#parts;
    if (this.#ended) return;
    const leftMs = this.#caller.expiresAt.getTime() - now().getTime();
    if (leftMs <= 0) {
      this.end('token-expired');
      return;
    }
    this.#timer = setTimeout(
      () => {
        // What waited for a whole beat waits for nobody.
        const isLate = this.body.readableLength > 0;
        if (isLate && this.#isLate) this.body.destroy();
        this.#isLate = isLate;
        void this.#lookAtSignIn();
        this.#write(': still here\n\n');
        this.#beat();
      },
      Math.min(heartbeatMs, leftMs),
    );
    this.#timer.unref();
  }

  #send<K extends keyof ChangeMessages>(
    event: K,
    data: z.infer<ChangeMessages[K]>,
    id?: number,
  ): void {
    const schema: z.ZodType = CHANGE_MESSAGES[event];
    const text = JSON.stringify(schema.parse(data));
    this.#write(`${id === undefined ? '' : `id: ${id}\n`}event: ${event}\ndata: ${text}\n\n`);
  }

  #write(text: string): void {
    if (this.#ended) return;
    this.body.push(text);
    if (this.body.readableLength > MOST_WAITING_BYTES) this.body.destroy();
  }
}

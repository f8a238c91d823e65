/**
 * Live updates: reads what the service tells as it happens, and has what it concerns read
 * again. Comes back by itself after whatever cut it off, and says so while it is off.
 */
import { effect, signal, computed } from '@preact/signals';
import type { Query, QueryClient } from '@tanstack/preact-query';
import { EventSourceParserStream } from 'eventsource-parser/stream';
import { concerns, isAskedByPeople, type LiveChange } from './liveKeys.ts';
import { currentToken, person, refresh } from './session/session.ts';
import { isTyping, watchTyping } from './typed.ts';

/** off: nobody is signed in, or not begun yet. resting: nobody has touched the page for long. */
export const live = signal<'off' | 'on' | 'lost' | 'resting'>('off');
const waiting = signal<readonly (LiveChange | 'everything')[]>([]);
/** Changes wait until what was typed is sent, or the person wants to see them. */
export const isHeldBack = signal(false);
/** Keys of answers that are asked by people only, and have become old since. */
export const outdated = signal<ReadonlySet<string>>(new Set());
export const keyText = (key: readonly unknown[]): string => JSON.stringify(key);

/** A burst of changes, as one act often is, is read once. */
const GATHER_MS = 250;
/** More than that waiting, and all is read again. Common practice, no source. */
const MOST_WAITING = 200;
/** The service says every 25 s that it is there. */
const SILENT_MS = 65_000;
const FIRST_WAIT_MS = 1_000;
const LONGEST_WAIT_MS = 30_000;
/**
 * A sign-in is kept going for a page that somebody uses, not for one that was left open: after
 * so long without a touch, updates rest. Common practice, no source.
 */
const UNTOUCHED_MS = 30 * 60_000;

/** Begins with the page; follows whoever is signed in. */
export function followChanges(queries: QueryClient): void {
  watchTyping();
  const personId = computed(() => person.value?.id);
  effect(() => {
    if (personId.value === undefined) return undefined;
    const following = new AbortController();
    void follow(queries, following.signal);
    return () => {
      following.abort();
      live.value = 'off';
      waiting.value = [];
      isHeldBack.value = false;
      outdated.value = new Set();
    };
  });
  let gathering: ReturnType<typeof setTimeout> | undefined;
  effect(() => {
    if (waiting.value.length === 0 || gathering !== undefined) return;
    gathering = setTimeout(() => {
      gathering = undefined;
      if (isTyping.peek()) isHeldBack.value = waiting.peek().length > 0;
      else showChanges(queries);
    }, GATHER_MS);
  });
  effect(() => {
    if (!isTyping.value && isHeldBack.peek()) showChanges(queries);
  });
}

/** Has everything that the waiting changes concern read again. */
export function showChanges(queries: QueryClient): void {
  const changes = waiting.peek();
  waiting.value = [];
  isHeldBack.value = false;
  const all = queries.getQueryCache().getAll();
  const shown = all.map(({ queryKey, state }) => ({ queryKey, data: state.data }));
  const isConcerned = ({ queryKey, state }: Query): boolean =>
    changes.some(
      (change) =>
        change === 'everything' || concerns(change, { queryKey, data: state.data }, shown),
    );
  const old = all.filter((query) => isAskedByPeople(query.queryKey) && isConcerned(query));
  if (old.length > 0) {
    outdated.value = new Set([...outdated.peek(), ...old.map((query) => keyText(query.queryKey))]);
  }
  void queries.invalidateQueries({
    predicate: (query) => !isAskedByPeople(query.queryKey) && isConcerned(query),
  });
}

/** An answer was asked again by its reader. */
export function isNewAgain(key: readonly unknown[]): void {
  outdated.value = new Set([...outdated.peek()].filter((each) => each !== keyText(key)));
}

/** token: it counts no more, or the sign-in has ended. */
type Ending = 'token' | 'lost' | 'hidden';

async function follow(queries: QueryClient, signal: AbortSignal): Promise<void> {
  const stream = new Stream(queries);
  let touchedAt = Date.now();
  const touched = () => (touchedAt = Date.now());
  for (const what of ['pointerdown', 'keydown']) {
    addEventListener(what, touched, { signal, capture: true });
  }
  const isOver = (): boolean => signal.aborted;
  let failures = 0;
  while (!isOver()) {
    await until(signal, 'visibilitychange', () => document.visibilityState === 'visible');
    const ending = await stream.read(signal);
    if (isOver()) return;
    if (stream.wasLive) failures = 0;
    if (ending === 'token') {
      if (Date.now() - touchedAt > UNTOUCHED_MS) {
        live.value = 'resting';
        await until(signal, 'pointerdown keydown', () => Date.now() - touchedAt < UNTOUCHED_MS);
      }
      // The service is asked as at any other act; it says where the sign-in has ended.
      const token = await refresh().catch(() => undefined);
      if (token === null) return;
      if (token !== undefined) continue;
    }
    if (ending === 'hidden') continue;
    live.value = 'lost';
    failures += 1;
    const most = Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** (failures - 1));
    // Not all pages at once, after the service was away.
    await pause(signal, most * (0.5 + Math.random() / 2));
  }
}

class Stream {
  readonly #queries: QueryClient;
  #lastEventId: string | undefined;
  /** Whether the last reading got as far as being told. */
  wasLive = false;

  constructor(queries: QueryClient) {
    this.#queries = queries;
  }

  /** Reads until it ends; never throws. */
  async read(outer: AbortSignal): Promise<Ending> {
    this.wasLive = false;
    const token = currentToken();
    if (token === null) return 'token';
    const cut = new AbortController();
    const isOver = AbortSignal.any([outer, cut.signal]);
    let ending: Ending = 'lost';
    const hide = () => {
      // A page that nobody sees holds none of the browser's few connections.
      if (document.visibilityState !== 'hidden') return;
      ending = 'hidden';
      cut.abort();
    };
    document.addEventListener('visibilitychange', hide, { signal: isOver });
    addEventListener('offline', () => cut.abort(), { signal: isOver });
    let silence = setTimeout(() => cut.abort(), SILENT_MS);
    const heard = () => {
      clearTimeout(silence);
      silence = setTimeout(() => cut.abort(), SILENT_MS);
    };
    try {
      const answer = await fetch('/api/v1/changes', {
        headers: {
          authorization: `Bearer ${token}`,
          ...(this.#lastEventId === undefined ? {} : { 'last-event-id': this.#lastEventId }),
        },
        cache: 'no-store',
        signal: isOver,
      });
      if (answer.status === 401) return 'token';
      if (!answer.ok || answer.body === null) return 'lost';
      const messages = answer.body
        .pipeThrough(new TextDecoderStream())
        .pipeThrough(new EventSourceParserStream({ onComment: heard }))
        .getReader();
      for (;;) {
        const { value, done } = await messages.read();
        if (done) return ending;
        heard();
        const { why } = JSON.parse(value.data) as { why?: string };
        this.#take(value.event ?? '', value.id, value.data);
        if (value.event === 'ended') ending = why === 'stopping' ? 'lost' : 'token';
      }
    } catch {
      return ending;
    } finally {
      clearTimeout(silence);
      cut.abort();
    }
  }

  #take(event: string, id: string | undefined, data: string): void {
    const isFirst = this.#lastEventId === undefined;
    if (id !== undefined) this.#lastEventId = id;
    if (event === 'change') later(JSON.parse(data) as LiveChange);
    if (event === 'again') later('everything');
    if (event === 'interrupted') live.value = 'lost';
    if (event === 'again' || event === 'listening') {
      live.value = 'on';
      this.wasLive = true;
    }
    if (event === 'listening' && isFirst) {
      // What was read before nobody told of changes.
      void this.#queries.invalidateQueries({
        predicate: ({ queryKey, state }) =>
          state.fetchStatus === 'idle' && state.dataUpdatedAt > 0 && !isAskedByPeople(queryKey),
      });
    }
  }
}

const later = (change: LiveChange | 'everything'): void => {
  const all = [...waiting.peek(), change];
  waiting.value = all.length > MOST_WAITING ? ['everything'] : all;
};

/** Resolves when it is so, looking at each of these events of the page. */
function until(signal: AbortSignal, events: string, isSo: () => boolean): Promise<void> {
  return new Promise((resolve) => {
    const done = new AbortController();
    const look = () => {
      if (!isSo() && !signal.aborted) return;
      done.abort();
      resolve();
    };
    for (const event of events.split(' ')) {
      document.addEventListener(event, look, { signal: done.signal });
    }
    signal.addEventListener('abort', look, { signal: done.signal });
    look();
  });
}

/** A wait that ends early where the network or the reader comes back. */
async function pause(signal: AbortSignal, ms: number): Promise<void> {
  await new Promise<void>((resolve) => {
    const done = new AbortController();
    const end = () => {
      clearTimeout(timer);
      done.abort();
      resolve();
    };
    const timer = setTimeout(end, ms);
    addEventListener('online', end, { signal: done.signal });
    signal.addEventListener('abort', end, { signal: done.signal });
  });
}

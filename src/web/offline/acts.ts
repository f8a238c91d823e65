/**
 * Acts of the bench: kept on this phone before they are sent, so that a lost network, a
 * reload or a dead battery loses none. One is sent at a time, by one tab, in their order.
 */
import { computed, signal } from '@preact/signals';
import type { paths } from '../../generated/api.ts';
import { Problem } from '../api.ts';
import { person } from '../session/session.ts';
import { changeActs, cannotKeep, keptActs, onChangeElsewhere, wipePages } from './phone.ts';
import {
  backOffMs,
  heldUpBy,
  inOrder,
  isOpen,
  next,
  pruned,
  withAct,
  withAgain,
  withAside,
  withoutAside,
  withOutcome,
  type KeptAct,
  type Queue,
} from './queue.ts';
import { NotKept, offline, serviceNow, Unreachable } from './reach.ts';
import { sendAct, type Sent } from './send.ts';

type Post<P extends keyof paths> = paths[P] extends { post: infer O } ? O : never;
type BodyOf<P extends keyof paths> =
  Post<P> extends { requestBody: { content: { 'application/json': infer B } } } ? B : never;
type AnswerOf<P extends keyof paths> =
  Post<P> extends { responses: { 201: { content: { 'application/json': infer A } } } } ? A : never;

/** An act as a form has it. */
export interface NewAct<P extends keyof paths> {
  readonly path: P;
  readonly params: Readonly<Record<string, string>>;
  /** @param recordedAt RFC 3339, by the service's clock: when the act was done */
  readonly body: (recordedAt: string) => BodyOf<P>;
  readonly said: string;
  readonly about: string;
  readonly told?: KeptAct['told'];
  readonly subject: string;
  readonly socketId: string;
  /** Ids of what it touches beside the socket. */
  readonly concerns?: readonly string[];
  readonly page: string;
  readonly draft?: KeptAct['draft'];
  readonly stops?: boolean;
  readonly cup?: (recordedAt: Date) => KeptAct['cup'];
}

/** On record, with the service's answer; or kept on this phone, and not yet on record. */
export type Done<A> = { readonly kind: 'done'; readonly answer: A } | { readonly kind: 'kept' };

const all = signal<Queue>([]);

/** What a form of this tab is sending: until it is answered, the form shows it and no list does. */
const inHand = signal<ReadonlySet<string>>(new Set());
const take = (key: string): void => {
  inHand.value = new Set([...inHand.value, key]);
};
const release = (key: string): void => {
  inHand.value = new Set([...inHand.value].filter((each) => each !== key));
};

/** The acts of the person who is signed in, in their order. */
export const ownActs = computed<Queue>(() =>
  inOrder(
    all.value.filter(
      ({ key, personId }) => personId === person.value?.id && !inHand.value.has(key),
    ),
  ),
);
export const openActs = computed<Queue>(() => ownActs.value.filter(isOpen));
/** How many acts of others wait on this phone. */
export const actsOfOthers = computed(
  () => all.value.filter((act) => isOpen(act) && act.personId !== person.value?.id).length,
);
export const openActsOf = (socketId: string): Queue =>
  openActs.value.filter((act) => act.socketId === socketId || act.concerns.includes(socketId));

/** The keys of one's own moves: evidence was taken after those that were still on their way. */
export const ownMoveKeys = (): string[] =>
  ownActs.value
    .filter(
      ({ request }) => request.path === '/api/v1/moves' || request.path === '/api/v1/transfers',
    )
    .map(({ key }) => key);

/** When an act under a key was first tried: sent again it is the same request. */
const recordedUnder = new Map<string, Date>();

/** One tab at a time. */
const alone = <T>(work: () => Promise<T>): Promise<T> =>
  navigator.locks.request('castbook.send', work);

/**
 * Does an act: puts it on this phone, sends it, and takes it off as on record.
 * @param key its Idempotency-Key
 * @throws Problem where the service refuses it at once: it is kept until the form shows that
 * @throws NotKept where it could neither be sent nor kept
 */
export async function act<P extends keyof paths>(
  key: string,
  made: NewAct<P>,
): Promise<Done<AnswerOf<P>>> {
  const by = person.value;
  if (by == null) throw new Unreachable('nobody is signed in');
  const recordedAt = recordedUnder.get(key) ?? serviceNow();
  recordedUnder.set(key, recordedAt);
  const written = writtenOf(key, by.id, made, recordedAt);
  let shown = false;
  take(key);
  return alone(async (): Promise<Done<AnswerOf<P>>> => {
    let queue: Queue;
    try {
      queue = await put(written);
    } catch {
      // Nothing can be kept here: as long as there is a network it still can be sent.
      return sentUnkept<AnswerOf<P>>(written);
    }
    const kept = queue.find((each) => each.key === key);
    if (kept === undefined) throw new NotKept('it is not there');
    if (next(queue, by.id)?.key !== key) {
      wake();
      return { kind: 'kept' };
    }
    const sent = await sendAct(kept);
    await note(key, sent);
    if (sent.kind === 'refused') {
      const problem = new Problem(sent.status, sent.body);
      // A form that shows it has all that was typed; one that was left leaves it in the list.
      problem.onShown = () => {
        shown = true;
        void change((now) => now.filter((each) => each.key !== key)).finally(() => release(key));
      };
      throw problem;
    }
    if (sent.kind === 'later') wake(sent.afterMs);
    return sent.kind === 'done'
      ? { kind: 'done', answer: sent.answer as AnswerOf<P> }
      : { kind: 'kept' };
  }).finally(() =>
    // The form has its turn first.
    setTimeout(() => {
      if (!shown) release(key);
    }),
  );
}

const writtenOf = <P extends keyof paths>(
  key: string,
  personId: string,
  made: NewAct<P>,
  recordedAt: Date,
): Omit<KeptAct, 'seq' | 'state'> => ({
  key,
  personId,
  request: { path: made.path, params: made.params, body: made.body(recordedAt.toISOString()) },
  said: made.said,
  about: made.about,
  told: made.told ?? [],
  subject: made.subject,
  socketId: made.socketId,
  concerns: [made.socketId, ...(made.concerns ?? [])],
  page: made.page,
  draft: made.draft ?? null,
  recordedAt: recordedAt.toISOString(),
  stops: made.stops ?? false,
  cup: made.cup?.(recordedAt) ?? null,
});

/** Puts an act on the phone; where that is full, pages that were kept give way. */
async function put(written: Omit<KeptAct, 'seq' | 'state'>): Promise<Queue> {
  void navigator.storage.persist().catch(() => false);
  const add = (queue: Queue): Queue =>
    queue.some(({ key }) => key === written.key)
      ? queue
      : withAct(pruned(queue, Date.now()), written, Date.now());
  try {
    return await change(add);
  } catch {
    await wipePages(null);
    return change(add);
  }
}

async function sentUnkept<A>(written: Omit<KeptAct, 'seq' | 'state'>): Promise<Done<A>> {
  cannotKeep.value = true;
  const sent = await sendAct(written);
  if (sent.kind === 'refused') throw new Problem(sent.status, sent.body);
  if (sent.kind === 'later') throw new NotKept('neither sent nor kept');
  return { kind: 'done', answer: sent.answer as A };
}

async function change(how: (queue: Queue) => Queue): Promise<Queue> {
  all.value = await changeActs(how);
  return all.value;
}

async function note(key: string, sent: Sent): Promise<void> {
  if (sent.kind === 'later') return;
  await change((queue) =>
    withOutcome(
      queue,
      key,
      sent.kind === 'done'
        ? { kind: 'done', atMs: Date.now() }
        : { kind: 'refused', refusal: sent.refusal },
    ),
  );
}

let timer: ReturnType<typeof setTimeout> | undefined;
let tries = 0;
let sending = false;
/** Told after each act that went onto the record or was refused. */
let onNews: () => void = () => undefined;

/** Sends what waits now; or after so long. */
export function wake(afterMs = 0): void {
  clearTimeout(timer);
  timer = setTimeout(() => void sendAll(), afterMs);
}

async function sendAll(): Promise<void> {
  if (sending) return;
  sending = true;
  try {
    for (;;) {
      const sent = await alone(sendNext);
      if (sent === undefined) break;
      if (sent.kind === 'later') {
        wake(Math.max(sent.afterMs ?? 0, backOffMs(tries)));
        tries += 1;
        break;
      }
      tries = 0;
      onNews();
    }
  } catch {
    // The phone's own store failed: what it holds is still there, and is tried again.
    wake(backOffMs(6));
  } finally {
    sending = false;
  }
}

async function sendNext(): Promise<Sent | undefined> {
  const me = person.value;
  if (me == null) return undefined;
  all.value = await keptActs();
  const first = next(all.value, me.id);
  if (first === undefined) return undefined;
  const sent = await sendAct(first);
  await note(first.key, sent);
  return sent;
}

/** Reads what is kept, and goes on sending: on load, when the network is back, when somebody signs in. */
export async function startSending(news: () => void): Promise<void> {
  onNews = news;
  const read = async (): Promise<void> => {
    all.value = await keptActs();
  };
  onChangeElsewhere(() => void read());
  const back = (): void => {
    tries = 0;
    wake();
  };
  addEventListener('online', back);
  addEventListener('offline', () => (offline.value = true));
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') back();
  });
  person.subscribe((who) => {
    if (who != null) back();
  });
  await read().catch(() => undefined);
}

/** The person does a refused act again, on its page, with what was typed. */
export async function doAgain(kept: KeptAct): Promise<void> {
  await change((queue) => withAgain(queue, kept.key));
}

export async function setAside(key: string, why: string): Promise<void> {
  await change((queue) => withAside(queue, key, why));
  wake();
}

export async function dismiss(key: string): Promise<void> {
  await change((queue) => withoutAside(queue, key));
}

/** What an act waits behind, where it is not the network. */
export const waitsBehind = (kept: KeptAct): KeptAct | undefined => heldUpBy(all.value, kept);

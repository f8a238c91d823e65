/**
 * Acts that wait on this phone for the network: in which order they go, what becomes of
 * each, and that none is lost. Pure: what is kept where, and who sends, is told elsewhere.
 *
 * Each person's acts go in the order in which they were recorded, one at a time. One that
 * was refused holds up those that concern the same things; the others go on. Nothing leaves
 * the list but what is on record or was set aside by the person, and then only after a while.
 */

/** A request as it is sent, again and again with the same key. */
export interface ActRequest {
  /** Of the service's OpenAPI document, with names in braces. */
  readonly path: string;
  readonly params: Readonly<Record<string, string>>;
  readonly body: unknown;
}

/** A refusal as the service said it. */
export interface Refusal {
  readonly status: number;
  readonly code: string;
  readonly words: string;
  readonly wayOut: string;
  readonly reasons: readonly { readonly detail: string; readonly wayOut: string }[];
}

export type ActState =
  | { readonly kind: 'waiting' }
  /** It needs the person. */
  | { readonly kind: 'refused'; readonly refusal: Refusal }
  /** The person does it again; what is sent then takes its place. */
  | { readonly kind: 'again'; readonly refusal: Refusal }
  | { readonly kind: 'aside'; readonly refusal: Refusal; readonly why: string }
  /** On record, or done again: shown a while, and then gone. */
  | { readonly kind: 'over'; readonly how: 'on_record' | 'done_again'; readonly atMs: number };

export interface KeptAct {
  /** Its Idempotency-Key. */
  readonly key: string;
  /** The person's order. */
  readonly seq: number;
  readonly personId: string;
  readonly request: ActRequest;
  /** The act in words, and what it is about. */
  readonly said: string;
  readonly about: string;
  /** What was recorded, label by label. */
  readonly told: readonly (readonly [label: string, value: string])[];
  /** What it is an act of; an act of the same is the one done again. */
  readonly subject: string;
  /** The socket that it is shown with. */
  readonly socketId: string;
  /** Ids of everything that it touches. */
  readonly concerns: readonly string[];
  /** Where it is done, and what was typed there. */
  readonly page: string;
  readonly draft: {
    readonly name: string;
    readonly typed: unknown;
    /** The same without what must be taken anew where things moved: readings, counted clicks. */
    readonly afresh?: unknown;
  } | null;
  /** RFC 3339, by the service's clock. */
  readonly recordedAt: string;
  /** It stops the work: what comes after it is not done yet. */
  readonly stops: boolean;
  /** A cup that sets meanwhile, by the service's clock. */
  readonly cup: { readonly pour: number; readonly setsAt: string } | null;
  readonly state: ActState;
}

export type Queue = readonly KeptAct[];

/** What became of sending: it is on record, it was refused, or it is to be sent again later. */
export type Outcome =
  | { readonly kind: 'done'; readonly atMs: number }
  | { readonly kind: 'refused'; readonly refusal: Refusal }
  | { readonly kind: 'later' };

const OVER_KEPT_MS = 24 * 3_600_000;
const OVER_KEPT_MOST = 40;

export const inOrder = (queue: Queue): Queue => [...queue].sort((a, b) => a.seq - b.seq);

/** Whether it is not on record, and still to be. */
export const isOpen = ({ state }: Pick<KeptAct, 'state'>): boolean =>
  state.kind === 'waiting' || state.kind === 'refused' || state.kind === 'again';

const share = (a: readonly string[], b: readonly string[]): boolean =>
  a.some((each) => b.includes(each));

/** The refused act that this one waits behind: they concern the same things, directly or through others. */
export function heldUpBy(queue: Queue, act: KeptAct): KeptAct | undefined {
  const before = inOrder(queue).filter(
    (other) => other.personId === act.personId && other.seq < act.seq && isOpen(other),
  );
  const direct = before.findLast(({ concerns }) => share(concerns, act.concerns));
  if (direct === undefined) return undefined;
  return direct.state.kind === 'waiting' ? heldUpBy(queue, direct) : direct;
}

/** The one to be sent next for a person; undefined where nothing can go. */
export function next(queue: Queue, personId: string): KeptAct | undefined {
  const held: string[] = [];
  for (const act of inOrder(queue)) {
    if (act.personId !== personId || !isOpen(act)) continue;
    if (act.state.kind === 'waiting' && !share(act.concerns, held)) return act;
    held.push(...act.concerns);
  }
  return undefined;
}

/**
 * Puts an act into the list: at its end; or into the place of the one of the same subject
 * that the person does again.
 */
export function withAct(queue: Queue, act: Omit<KeptAct, 'seq' | 'state'>, nowMs: number): Queue {
  const again = queue.find(
    ({ personId, subject, state }) =>
      personId === act.personId && subject === act.subject && state.kind === 'again',
  );
  const last = Math.max(0, ...queue.map(({ seq }) => seq));
  const waiting: KeptAct = { ...act, seq: again?.seq ?? last + 1, state: { kind: 'waiting' } };
  return [
    ...queue.map((each) =>
      each === again
        ? { ...each, state: { kind: 'over', how: 'done_again', atMs: nowMs } as const }
        : each,
    ),
    waiting,
  ];
}

const change = (
  queue: Queue,
  key: string,
  from: readonly ActState['kind'][],
  to: (state: ActState) => ActState,
): Queue =>
  queue.map((act) =>
    act.key === key && from.includes(act.state.kind) ? { ...act, state: to(act.state) } : act,
  );

/** Notes what became of sending an act. What is no longer waiting is left as it is. */
export function withOutcome(queue: Queue, key: string, outcome: Outcome): Queue {
  switch (outcome.kind) {
    case 'later':
      return queue;
    case 'done':
      return change(queue, key, ['waiting'], () => ({
        kind: 'over',
        how: 'on_record',
        atMs: outcome.atMs,
      }));
    case 'refused':
      return change(queue, key, ['waiting'], () => outcome);
  }
}

const refusalOf = (state: ActState): Refusal =>
  'refusal' in state ? state.refusal : { status: 0, code: '', words: '', wayOut: '', reasons: [] };

/** The person does a refused act again. */
export const withAgain = (queue: Queue, key: string): Queue =>
  change(queue, key, ['refused'], (state) => ({ kind: 'again', refusal: refusalOf(state) }));

/** The person gives a refused act up, with the reason. */
export const withAside = (queue: Queue, key: string, why: string): Queue =>
  change(queue, key, ['refused', 'again'], (state) => ({
    kind: 'aside',
    refusal: refusalOf(state),
    why,
  }));

/** Takes off the list what the person has set aside and dismisses. */
export const withoutAside = (queue: Queue, key: string): Queue =>
  queue.filter((act) => act.key !== key || act.state.kind !== 'aside');

/** What has been over for a day, or is one of many, is no longer shown. */
export function pruned(queue: Queue, nowMs: number): Queue {
  const over = inOrder(queue).filter(({ state }) => state.kind === 'over');
  const shown = new Set(over.slice(-OVER_KEPT_MOST));
  return queue.filter(
    (act) => act.state.kind !== 'over' || (shown.has(act) && nowMs - act.state.atMs < OVER_KEPT_MS),
  );
}

/** How long to wait before the next try, in ms: twice as long each time, a minute at most. */
export const backOffMs = (tries: number): number =>
  Math.min(60_000, 1000 * 2 ** Math.min(tries, 6));

/**
 * What an answer means: refused for good, or worth another try. Who is not known signs in first,
 * and who is asked for a second factor adds it first.
 */
export const isForLater = (status: number, code = ''): boolean =>
  status === 401 ||
  status === 408 ||
  status === 429 ||
  status >= 500 ||
  code === 'second-factor-required';

/** Refusals after which nothing that was measured still says anything. */
const MEASURED_IN_VAIN = ['moved-since-recorded', 'evidence-newer', 'recorded-long-ago'];

/** What is put back into the form when a refused act is done again: never a reading that no longer counts. */
export function typedAgain({ draft, state }: Pick<KeptAct, 'draft' | 'state'>): unknown {
  if (draft === null) return undefined;
  return MEASURED_IN_VAIN.includes(refusalOf(state).code) && 'afresh' in draft
    ? draft.afresh
    : draft.typed;
}

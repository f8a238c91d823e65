/** Acts that wait for the network: their order, and that each is done once or stands in sight. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  backOffMs,
  heldUpBy,
  isForLater,
  isOpen,
  next,
  pruned,
  typedAgain,
  withAct,
  withAgain,
  withAside,
  withoutAside,
  withOutcome,
  type KeptAct,
  type Queue,
} from '../../src/web/offline/queue.ts';

const act = (
  key: string,
  concerns: readonly string[],
  over: Partial<KeptAct> = {},
): Omit<KeptAct, 'seq' | 'state'> => ({
  key,
  personId: 'me',
  request: { path: '/x', params: {}, body: {} },
  said: key,
  about: 'CS-1',
  told: [],
  subject: key,
  socketId: concerns[0] ?? '',
  concerns,
  page: '/bench',
  draft: null,
  recordedAt: '2026-03-02T09:00:00Z',
  stops: false,
  cup: null,
  ...over,
});
const REFUSAL = { status: 409, code: 'moved', words: 'It moved.', wayOut: 'Again.', reasons: [] };
const kept = (...acts: Omit<KeptAct, 'seq' | 'state'>[]): Queue =>
  acts.reduce<Queue>((queue, each) => withAct(queue, each, 0), []);
const refused = (queue: Queue, key: string): Queue =>
  withOutcome(queue, key, { kind: 'refused', refusal: REFUSAL });
const done = (queue: Queue, key: string): Queue =>
  withOutcome(queue, key, { kind: 'done', atMs: 1 });
const stateOf = (queue: Queue, key: string) => queue.find((each) => each.key === key)?.state.kind;

describe('the order', () => {
  test('is that of recording, one person at a time', () => {
    const queue = kept(
      act('a', ['1']),
      act('theirs', ['1'], { personId: 'other' }),
      act('b', ['2']),
    );
    expect(next(queue, 'me')?.key).toBe('a');
    expect(next(done(queue, 'a'), 'me')?.key).toBe('b');
    expect(next(queue, 'other')?.key).toBe('theirs');
    expect(next(queue, 'nobody')).toBeUndefined();
  });

  test('a refused act holds up what concerns the same, and what waits for that; others go on', () => {
    const queue = refused(
      kept(act('a', ['1']), act('b', ['1', '2']), act('c', ['2']), act('d', ['3'])),
      'a',
    );
    expect(next(queue, 'me')?.key).toBe('d');
    const [, b, c, d] = queue;
    expect(heldUpBy(queue, b!)?.key).toBe('a');
    expect(heldUpBy(queue, c!)?.key).toBe('a');
    expect(heldUpBy(queue, d!)).toBeUndefined();
    expect(next(done(queue, 'd'), 'me')).toBeUndefined();
  });

  test('another try later changes nothing', () => {
    const queue = kept(act('a', ['1']));
    expect(withOutcome(queue, 'a', { kind: 'later' })).toEqual(queue);
  });
});

describe('a refused act', () => {
  const queue = refused(kept(act('a', ['1'], { subject: 'torque' }), act('b', ['1'])), 'a');

  test('done again gives its place to the new one, and what waited goes after it', () => {
    const again = withAct(withAgain(queue, 'a'), act('a2', ['1'], { subject: 'torque' }), 5);
    expect(next(again, 'me')?.key).toBe('a2');
    expect(stateOf(again, 'a')).toBe('over');
    expect(next(done(again, 'a2'), 'me')?.key).toBe('b');
  });

  test('is not replaced by another act of its kind while the person has not said so', () => {
    const beside = withAct(queue, act('a2', ['1'], { subject: 'torque' }), 5);
    expect(stateOf(beside, 'a')).toBe('refused');
    expect(next(beside, 'me')).toBeUndefined();
  });

  test('set aside stands there with its reason until it is dismissed, and holds nothing up', () => {
    const aside = withAside(queue, 'a', 'Berta did it.');
    expect(aside[0]?.state).toEqual({ kind: 'aside', refusal: REFUSAL, why: 'Berta did it.' });
    expect(next(aside, 'me')?.key).toBe('b');
    expect(pruned(aside, Number.MAX_SAFE_INTEGER)).toHaveLength(2);
    expect(withoutAside(aside, 'a').map(({ key }) => key)).toEqual(['b']);
  });

  test('only what was set aside can be dismissed, only what waits can be answered', () => {
    expect(withoutAside(queue, 'a')).toEqual(queue);
    expect(withoutAside(queue, 'b')).toEqual(queue);
    expect(done(queue, 'a')).toEqual(queue);
    expect(withAside(queue, 'b', 'no')).toEqual(queue);
  });
});

test('a reading that no longer counts is not put back into the form', () => {
  const draft = { name: 'lock', typed: [6, 6], afresh: [] };
  const of = (code: string) =>
    typedAgain({ draft, state: { kind: 'refused', refusal: { ...REFUSAL, code } } });
  expect(of('moved-since-recorded')).toEqual([]);
  expect(of('threadlocker-missing')).toEqual([6, 6]);
  expect(typedAgain({ draft: null, state: { kind: 'waiting' } })).toBeUndefined();
  expect(
    typedAgain({
      draft: { name: 'finding', typed: 'a' },
      state: { kind: 'refused', refusal: { ...REFUSAL, code: 'recorded-long-ago' } },
    }),
  ).toBe('a');
});

test('what is over is shown for a day, forty of them at most', () => {
  const many = Array.from({ length: 50 }, (_, n) => act(`a${String(n)}`, ['1']));
  const over = many.reduce((queue, { key }) => done(queue, key), kept(...many, act('w', ['2'])));
  expect(pruned(over, 1000)).toHaveLength(41);
  expect(pruned(over, 24 * 3_600_000 + 1).map(({ key }) => key)).toEqual(['w']);
});

test('tries come further and further apart, a minute at most; who may try again is told by the status', () => {
  expect([0, 1, 2, 5, 6, 60].map(backOffMs)).toEqual([1000, 2000, 4000, 32_000, 60_000, 60_000]);
  expect([400, 403, 404, 409, 412, 422].filter((status) => isForLater(status))).toEqual([]);
  // The clinic has asked for a second factor since: what was recorded waits until it is added.
  expect(isForLater(403, 'second-factor-required')).toBe(true);
  expect(isForLater(403, 'role-may-not')).toBe(false);
  expect([401, 408, 429, 500, 502, 503].filter((status) => !isForLater(status))).toEqual([]);
});

/** What a day without a reliable network brings. */
type Step =
  | { readonly step: 'record'; readonly who: number; readonly socket: number }
  /** One is sent: it arrives or not, its answer comes back or not. */
  | { readonly step: 'send'; readonly arrives: boolean; readonly comesBack: boolean }
  | { readonly step: 'busy' }
  | { readonly step: 'sign_in'; readonly who: number }
  | { readonly step: 'again' | 'aside' };

const anyStep: fc.Arbitrary<Step> = fc.oneof(
  fc.record({
    step: fc.constant('record' as const),
    who: fc.nat({ max: 1 }),
    socket: fc.nat({ max: 2 }),
  }),
  fc.record({
    step: fc.constant('send' as const),
    arrives: fc.boolean(),
    comesBack: fc.boolean(),
  }),
  fc.record({ step: fc.constantFrom('busy' as const, 'again' as const, 'aside' as const) }),
  fc.record({ step: fc.constant('sign_in' as const), who: fc.nat({ max: 1 }) }),
);

test('whatever is lost on the way, each act is done once and in its order, or stands in sight', () => {
  fc.assert(
    fc.property(fc.array(anyStep, { maxLength: 60 }), fc.nat(), (steps, seed) => {
      let queue: Queue = [];
      let signedIn = 'p0';
      let made = 0;
      /** The service: what it did under which key, in which order, and under whose name. */
      const doneBy = new Map<string, string>();
      const refuses = (key: string): boolean => (Number(key.slice(1)) * 7 + seed) % 5 === 0;
      const recorded: string[] = [];
      for (const step of steps) {
        if (step.step === 'sign_in') signedIn = `p${String(step.who)}`;
        else if (step.step === 'record') {
          const key = `k${String((made += 1))}`;
          recorded.push(key);
          const more = { personId: `p${String(step.who)}` };
          queue = withAct(queue, act(key, [`s${String(step.socket)}`], more), 0);
        } else if (step.step !== 'send' && step.step !== 'busy') {
          const stuck = queue.find(
            ({ state, personId }) => state.kind === 'refused' && personId === signedIn,
          );
          if (stuck === undefined) continue;
          queue =
            step.step === 'again'
              ? withAgain(queue, stuck.key)
              : withAside(queue, stuck.key, 'because');
        } else {
          const sent = next(queue, signedIn);
          if (sent === undefined) continue;
          expect(sent.personId).toBe(signedIn);
          if (step.step === 'busy' || !step.arrives) {
            queue = withOutcome(queue, sent.key, { kind: 'later' });
            continue;
          }
          const refusedNow = !doneBy.has(sent.key) && refuses(sent.key);
          if (!refusedNow && !doneBy.has(sent.key)) doneBy.set(sent.key, signedIn);
          queue = withOutcome(
            queue,
            sent.key,
            !step.comesBack
              ? { kind: 'later' }
              : refusedNow
                ? { kind: 'refused', refusal: REFUSAL }
                : { kind: 'done', atMs: 0 },
          );
        }
      }
      for (const key of recorded) {
        const here = queue.find((each) => each.key === key);
        // Nothing is dropped, and what is said to be on record is.
        expect(here).toBeDefined();
        if (here?.state.kind === 'over') expect(doneBy.get(key)).toBe(here.personId);
        // What the service did is on record here, or still waits for its answer.
        else if (doneBy.has(key)) expect(here?.state.kind).toBe('waiting');
        else expect(here?.state.kind).toMatch(/waiting|refused|again|aside/);
      }
      // In order: of one person and socket nothing was done past an act that is still open.
      const order = [...doneBy.keys()];
      for (const later of queue.filter(({ key }) => doneBy.has(key))) {
        const passed = queue.filter(
          (earlier) =>
            earlier.seq < later.seq &&
            earlier.personId === later.personId &&
            earlier.concerns[0] === later.concerns[0] &&
            isOpen(earlier) &&
            !doneBy.has(earlier.key),
        );
        expect(passed).toEqual([]);
      }
      for (const person of ['p0', 'p1']) {
        const theirs = order.filter((key) => doneBy.get(key) === person);
        const sockets = new Set(queue.map(({ socketId }) => socketId));
        for (const socket of sockets) {
          const seqs = theirs.flatMap((key) =>
            queue.filter((each) => each.key === key && each.socketId === socket),
          );
          expect(seqs.map(({ seq }) => seq)).toEqual(
            seqs.map(({ seq }) => seq).sort((a, b) => a - b),
          );
        }
      }
    }),
    { numRuns: 500 },
  );
});

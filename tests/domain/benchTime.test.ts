/** Records that were kept at the bench: what they may say of when, and what others did meanwhile. */
import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import {
  arrivedLater,
  judgeAttemptsKnown,
  judgeRecordedAt,
  judgeUntouched,
  type Touch,
} from '../../src/domain/benchTime.ts';
import { coversLastMoves } from '../../src/domain/lastMoves.ts';

const AT = new Date('2026-03-02T12:00:00Z');
const minutes = (count: number): Date => new Date(AT.getTime() + count * 60_000);

describe('when a record was made', () => {
  it.each([
    [-119, minutes(-119)],
    [-72 * 60, minutes(-72 * 60)],
    [0, AT],
    // The clock of the phone is a little fast: it was recorded now.
    [2, AT],
  ])('%d min from its arrival is believed', (ahead, believed) => {
    expect(judgeRecordedAt(minutes(ahead), AT)).toEqual({ ok: true, value: believed });
  });

  it.each([
    [2.1, 'recorded-in-future'],
    [-72 * 60 - 1, 'recorded-long-ago'],
  ])('%d min from its arrival is not', (ahead, code) => {
    const judged = judgeRecordedAt(minutes(ahead), AT);
    expect(judged.ok ? [] : judged.reasons).toMatchObject([{ code, field: '/recordedAt' }]);
  });

  it('is told beside its arrival where they are apart', () => {
    expect(arrivedLater(minutes(-2), AT)).toBe(true);
    expect(arrivedLater(minutes(-1), AT)).toBe(false);
    expect(arrivedLater(null, AT)).toBe(false);
  });
});

const touch = (moveId: string, movedBy = 'Berta Bench'): Touch => ({
  moveId,
  item: 'Shuttle lock serial S1',
  movedBy,
  movedAt: 'Mon 2 Mar 2026 11:00',
});

describe('evidence that arrives late', () => {
  it('counts where every move was known', () => {
    expect(judgeUntouched([touch('a'), touch('b')], new Set(['a', 'b', 'more']), '10:00')).toEqual(
      [],
    );
  });

  it('does not where one was not, and tells of the newest', () => {
    const moves = [touch('a'), touch('b', 'Anna Bench'), touch('c', 'Karl Bench')];
    expect(judgeUntouched(moves, new Set(['a']), 'Mon 2 Mar 2026 10:00')).toMatchObject([
      {
        code: 'moved-since-recorded',
        detail:
          'Shuttle lock serial S1 was moved by Karl Bench (Mon 2 Mar 2026 11:00); the record of Mon 2 Mar 2026 10:00 did not know of it.',
      },
    ]);
  });
});

describe('an attempt that arrives late', () => {
  const mine = { attempt: 2, personId: 'me', by: 'Me', at: '10:30' };
  const theirs = { attempt: 1, personId: 'other', by: 'Karl Bench', at: '11:00' };

  it('stands beside one’s own, which came before it, and beside what was seen', () => {
    expect(judgeAttemptsKnown('“Trim”', [theirs, mine], 1, 'me')).toEqual([]);
  });

  it('is refused where somebody else recorded one meanwhile', () => {
    expect(judgeAttemptsKnown('“Trim”', [theirs, mine], 0, 'me')).toMatchObject([
      { code: 'recorded-since', facts: { by: 'Karl Bench', at: '11:00' } },
    ]);
  });
});

/** What happens at a joint while a phone has no network. */
type Step =
  | { readonly step: 'out' | 'in'; readonly piece: number }
  /** The phone reads the socket. */
  | { readonly step: 'read' }
  /** The joint is torqued, and kept on the phone. */
  | { readonly step: 'torque' };

const anyStep: fc.Arbitrary<Step> = fc.oneof(
  fc.record({
    step: fc.constantFrom('out' as const, 'in' as const),
    piece: fc.integer({ min: 0, max: 2 }),
  }),
  fc.record({ step: fc.constantFrom('read' as const, 'torque' as const) }),
);

test('whatever is moved by others, torque that arrives later is taken where nothing moved since it was read', () => {
  fc.assert(
    fc.property(fc.array(anyStep, { maxLength: 30 }), (steps) => {
      const held = new Map<number, string>([
        [0, 'm0'],
        [1, 'm1'],
      ]);
      const ledger = [touch('m0'), touch('m1')];
      let seen = new Set(ledger.map(({ moveId }) => moveId));
      let touchedSinceRead = false;
      let kept: { seen: Set<string>; covers: string[]; touched: boolean } | undefined;
      for (const step of steps) {
        if (step.step === 'read') {
          seen = new Set(ledger.map(({ moveId }) => moveId));
          touchedSinceRead = false;
        } else if (step.step === 'torque') {
          kept = { seen, covers: [...held.values()], touched: touchedSinceRead };
        } else if ((step.step === 'in') !== held.has(step.piece)) {
          const moveId = `m${String(ledger.length)}`;
          ledger.push(touch(moveId));
          if (step.step === 'in') held.set(step.piece, moveId);
          else held.delete(step.piece);
          touchedSinceRead = true;
          if (kept !== undefined) kept.touched = true;
        }
      }
      if (kept === undefined) return;
      const taken = judgeUntouched(ledger, kept.seen, '10:00').length === 0;
      expect(taken).toBe(!kept.touched);
      // What is taken covers the pieces as they sit at its arrival: it counts, or the joint is empty.
      if (taken && held.size > 0) {
        expect(coversLastMoves(kept.covers, [...held.values()])).toBe(true);
      }
    }),
  );
});

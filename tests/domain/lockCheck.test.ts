import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  clicksAskedFor,
  isLockStillChecked,
  judgeLockCheck,
  LOCK_CHECK_CYCLES_LEAST,
  type LockCheckCycle,
} from '../../src/domain/lockCheck.ts';

const facts = { minClicks: 4, cyclesRequired: 2 };
const good: LockCheckCycle = { clicks: 6, heldUnderPull: true, pullN: 150, releasedByButton: true };

const failures = (cycles: readonly LockCheckCycle[], asked = facts): string[] => {
  const verdict = judgeLockCheck(asked, cycles);
  if (!verdict.ok) throw new Error(verdict.reasons.map(({ detail }) => detail).join('\n'));
  expect(verdict.value.passes).toBe(verdict.value.because.length === 0);
  return verdict.value.because.map(({ code }) => code);
};
const refusals = (cycles: readonly LockCheckCycle[]): string[] => {
  const verdict = judgeLockCheck(facts, cycles);
  return verdict.ok ? [] : verdict.reasons.map(({ code }) => code);
};

describe('the functional check of a lock (R7)', () => {
  it('passes when it clicks, holds, releases, and does so again', () => {
    expect(failures([good, { ...good, clicks: 4, pullN: undefined }])).toEqual([]);
  });

  it('asks for the larger number of clicks of lock and pin', () => {
    expect(clicksAskedFor(3, 5)).toBe(5);
    expect(clicksAskedFor(6, 5)).toBe(6);
    expect(clicksAskedFor(null, 3)).toBe(3);
    expect(clicksAskedFor(3, null)).toBe(3);
    expect(clicksAskedFor(null, null)).toBe(1);
  });

  it('is kept but fails with too few clicks', () => {
    expect(failures([good, { ...good, clicks: 3 }])).toEqual(['lock-check-too-few-clicks']);
  });

  it('is kept but fails when the pin comes out under pull, whether the pull was measured or not', () => {
    const verdict = judgeLockCheck(facts, [
      { ...good, heldUnderPull: false },
      { clicks: 5, heldUnderPull: false, releasedByButton: true },
    ]);
    expect(verdict).toMatchObject({
      ok: true,
      value: {
        passes: false,
        because: [
          { code: 'lock-check-not-held', facts: { cycle: 1, pullN: 150 } },
          { code: 'lock-check-not-held', facts: { cycle: 2, pullN: null } },
        ],
      },
    });
  });

  it('is kept but fails when the button does not release', () => {
    expect(failures([{ ...good, releasedByButton: false }, good])).toEqual([
      'lock-check-not-released',
    ]);
  });

  it('is kept but fails when it was not repeated, even where a clinic asks for one cycle', () => {
    expect(failures([good])).toEqual(['lock-check-too-few-cycles']);
    expect(failures([good], { ...facts, cyclesRequired: 1 })).toEqual([
      'lock-check-too-few-cycles',
    ]);
    expect(failures([good, good], { ...facts, cyclesRequired: 3 })).toEqual([
      'lock-check-too-few-cycles',
    ]);
  });

  it('is refused without a cycle, or with what cannot have happened', () => {
    expect(refusals([])).toEqual(['lock-check-empty']);
    expect(refusals([good, { ...good, clicks: 2.5 }])).toEqual(['lock-check-count-impossible']);
    expect(refusals([good, { ...good, clicks: -1 }])).toEqual(['lock-check-count-impossible']);
    expect(refusals([{ ...good, pullN: 0 }, good])).toEqual(['lock-check-pull-impossible']);
    expect(refusals([good, { ...good, clicks: Number.NaN, pullN: Number.NaN }])).toEqual([
      'lock-check-count-impossible',
      'lock-check-pull-impossible',
    ]);
  });

  it('names the cycle, and the field of it, that cannot have happened', () => {
    expect(judgeLockCheck(facts, [good, { ...good, clicks: -1, pullN: -5 }])).toMatchObject({
      ok: false,
      reasons: [
        { field: '/cycles/1/clicks', facts: { cycle: 2, clicks: -1 } },
        { field: '/cycles/1/pullN', facts: { cycle: 2, pullN: -5 } },
      ],
    });
    expect(judgeLockCheck({ ...facts, cyclesRequired: 3 }, [])).toMatchObject({
      reasons: [{ field: '/cycles', facts: { cyclesRequired: 3 } }],
    });
  });

  it('with no click at all is a check that fails, not a slip of the pen', () => {
    expect(failures([good, { ...good, clicks: 0 }])).toEqual(['lock-check-too-few-clicks']);
  });

  it('names every cycle that failed by its number, and what was counted and asked for', () => {
    const verdict = judgeLockCheck({ minClicks: 4, cyclesRequired: 4 }, [
      good,
      { ...good, clicks: 3 },
      { ...good, releasedByButton: false },
    ]);
    expect(verdict).toMatchObject({
      value: {
        because: [
          { code: 'lock-check-too-few-clicks', facts: { cycle: 2, clicks: 3, minClicks: 4 } },
          { code: 'lock-check-not-released', facts: { cycle: 3 } },
          { code: 'lock-check-too-few-cycles', facts: { cycles: 3, cyclesRequired: 4 } },
        ],
      },
    });
  });

  it('passes only where every cycle is good and there are enough of them', () => {
    const cycles = fc.array(
      fc.record({
        clicks: fc.integer({ min: 0, max: 8 }),
        heldUnderPull: fc.boolean(),
        releasedByButton: fc.boolean(),
      }),
      { minLength: 1, maxLength: 4 },
    );
    fc.assert(
      fc.property(
        fc.oneof(cycles, fc.array(fc.constant(good), { minLength: 1, maxLength: 4 })),
        fc.integer({ min: 0, max: 4 }),
        (done, cyclesRequired) => {
          const verdict = judgeLockCheck({ minClicks: 4, cyclesRequired }, done);
          const all = done.every((c) => c.clicks >= 4 && c.heldUnderPull && c.releasedByButton);
          const enough = done.length >= Math.max(LOCK_CHECK_CYCLES_LEAST, cyclesRequired);
          expect(verdict.ok && verdict.value.passes).toBe(all && enough);
        },
      ),
    );
  });

  it('counts only after the last move of lock or pin', () => {
    const check = { passes: true, coversMoveIds: ['lock-in', 'pin-in'] };
    expect(isLockStillChecked(check, ['pin-in', 'lock-in'])).toBe(true);
    expect(isLockStillChecked(check, ['pin-again', 'lock-in'])).toBe(false);
    expect(isLockStillChecked({ ...check, passes: false }, check.coversMoveIds)).toBe(false);
  });
});

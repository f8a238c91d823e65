import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { judgeRatedMass, RATING_LEVEL_WARNING } from '../../src/domain/ratedMass.ts';

const lock = { partName: 'Pin lock', ratedBodyMassKg: 125, acknowledgedUpToKg: null };
const code = (facts: Parameters<typeof judgeRatedMass>[0]): string | undefined => {
  const verdict = judgeRatedMass(facts);
  return verdict.ok ? undefined : verdict.reasons.map((each) => each.code).join();
};

describe('the body mass over a part (R3)', () => {
  it('passes well below the rating', () => {
    expect(judgeRatedMass({ ...lock, bodyMassKg: 100 })).toEqual({
      ok: true,
      value: { percentOfRating: 80, nearRating: false },
    });
  });

  it('is refused past the rating, acknowledged or not', () => {
    expect(code({ ...lock, bodyMassKg: 125.1 })).toBe('mass-over-rating');
    expect(code({ ...lock, bodyMassKg: 125.1, acknowledgedUpToKg: 130 })).toBe('mass-over-rating');
  });

  it('from 90 % to the rating itself waits for a prosthetist', () => {
    expect(code({ ...lock, bodyMassKg: 112.4 })).toBeUndefined();
    expect(code({ ...lock, bodyMassKg: 112.5 })).toBe('mass-near-rating');
    expect(code({ ...lock, bodyMassKg: 125 })).toBe('mass-near-rating');
    expect(code({ ...lock, ratedBodyMassKg: 69, bodyMassKg: 62.1 })).toBe('mass-near-rating');
  });

  it('near the rating passes as far as it was acknowledged, and no further', () => {
    expect(judgeRatedMass({ ...lock, bodyMassKg: 118, acknowledgedUpToKg: 118 })).toMatchObject({
      ok: true,
      value: { nearRating: true },
    });
    expect(code({ ...lock, bodyMassKg: 118.5, acknowledgedUpToKg: 118 })).toBe('mass-near-rating');
  });

  it('cannot be judged without a mass or a rating', () => {
    for (const bodyMassKg of [0, -70, Number.NaN]) {
      expect(code({ ...lock, bodyMassKg })).toBe('mass-impossible');
    }
    expect(code({ ...lock, ratedBodyMassKg: 0, bodyMassKg: 70 })).toBe('mass-impossible');
  });

  it('never passes a heavier patient where it refused a lighter one', () => {
    const kg = fc.double({ min: 20, max: 200, noNaN: true });
    fc.assert(
      fc.property(kg, kg, kg, fc.option(kg), (rated, one, other, acknowledgedUpToKg) => {
        const judge = (bodyMassKg: number) =>
          judgeRatedMass({ ...lock, ratedBodyMassKg: rated, bodyMassKg, acknowledgedUpToKg }).ok;
        expect(judge(Math.min(one, other)) || !judge(Math.max(one, other))).toBe(true);
        if (Math.max(one, other) > rated) expect(judge(Math.max(one, other))).toBe(false);
      }),
    );
  });

  it('says beside every level name that the level does not choose a device', () => {
    expect(RATING_LEVEL_WARNING).toMatch(/not a guide for choosing a device.*own label decides/);
  });
});

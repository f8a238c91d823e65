import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { resinRecipe, type ResinProduct } from '../../src/domain/resin.ts';
import type { Check } from '../../src/domain/operations.ts';
import {
  curedAt,
  judgeCure,
  judgeWeighing,
  minutesLeft,
  workTimePutRight,
  type Weighed,
} from '../../src/domain/weighing.ts';
import { ASKED, EPOXY } from '../support/layups.ts';
import { codes, refusalCodes } from '../support/limbs.ts';

/** One cup of 100 g and 38 g, of which 120 g are needed. */
const recipe = {
  neededG: 120,
  pours: [{ resinG: 100, hardenerG: 38, pigmentG: 2, totalG: 140 }],
};
const onRatio: Weighed = { resinG: 100, hardenerG: 38, pigmentG: 2 };
const judged = (over: Partial<Weighed>, product: Partial<ResinProduct> = {}) => {
  const verdict = judgeWeighing({ ...EPOXY, ...product }, recipe, { ...onRatio, ...over }, 0.1);
  if (!verdict.ok) throw new Error(refusalCodes(verdict).join());
  return verdict.value;
};

describe('a cup on the scale (C3)', () => {
  test('weighed as the recipe has it, it may be stirred', () => {
    expect(judged({})).toEqual({ ...onRatio, totalG: 140, offRatioPercent: 0, stops: [] });
  });

  test('off by as much as the product allows it may be stirred, by more it stops the work', () => {
    expect(judged({ hardenerG: 38 * 1.02 }).stops).toEqual([]);
    expect(judged({ hardenerG: 38 * 0.98 }).stops).toEqual([]);
    expect(codes(judged({ hardenerG: 38 * 1.021 }).stops)).toEqual(['resin-off-ratio']);
    expect(codes(judged({ hardenerG: 38 * 0.979 }).stops)).toEqual(['resin-off-ratio']);
  });

  test('short of hardener, the way out says how much more puts it right', () => {
    const { offRatioPercent, stops } = judged({ hardenerG: 34.2 });
    expect(offRatioPercent).toBeCloseTo(-10, 9);
    expect(stops[0]).toMatchObject({ facts: { addTo: 'hardener' } });
    expect(stops[0]?.facts['addG']).toBeCloseTo(3.8, 9);
    expect(stops[0]?.detail).toContain('10 % too little');
    expect(stops[0]?.wayOut).toContain('3.8 g more of hardener');
  });

  test('with too much hardener it is resin that is short', () => {
    const [stop] = judged({ hardenerG: 41.8 }).stops;
    expect(stop).toMatchObject({ facts: { addTo: 'resin' } });
    expect(stop?.facts['addG']).toBeCloseTo(10, 9);
    expect(stop?.detail).toContain('too much');
  });

  test('put right as the way out says, the cup is on ratio', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 90, max: 150, noNaN: true }),
        fc.double({ min: 30, max: 60, noNaN: true }),
        (resinG, hardenerG) => {
          const off = judged({ resinG, hardenerG }).stops.find(
            ({ code }) => code === 'resin-off-ratio',
          );
          if (off === undefined) return;
          const { addTo, addG } = off.facts as { addTo: string; addG: number };
          expect(addG).toBeGreaterThan(0);
          const after = judged(
            addTo === 'resin'
              ? { resinG: resinG + addG, hardenerG }
              : { resinG, hardenerG: hardenerG + addG },
          );
          expect(after.offRatioPercent).toBeCloseTo(0, 9);
        },
      ),
    );
  });

  test('less than fabric and losses ask for stops the work, less than the margin does not', () => {
    expect(judged({ resinG: 88, hardenerG: 33.44 }).stops).toEqual([]);
    expect(judged({ resinG: 86, hardenerG: 32.68 }).stops).toMatchObject([
      { code: 'resin-too-little', facts: { neededG: 120 } },
    ]);
  });

  test('just what fabric and losses ask for is enough', () => {
    const halves = { resinG: 87, hardenerG: 33 };
    expect(codes(judged(halves, { ratioTolerancePercent: 5 }).stops)).toEqual([]);
  });

  test('more in one cup than its limit stops the work, pigment counted', () => {
    expect(judged({}, { cupLimitG: 140 }).stops).toEqual([]);
    expect(judged({}, { cupLimitG: 139.9 }).stops).toMatchObject([
      { code: 'cup-over-limit', facts: { mixG: 140, cupLimitG: 139.9 } },
    ]);
  });

  test('more pigment than its share stops the work: past a tenth of it, or one step of the scale', () => {
    expect(judged({ pigmentG: 2.2 }).stops).toEqual([]);
    expect(judged({ pigmentG: 0 }).stops).toEqual([]);
    const [stop] = judged({ pigmentG: 2.3 }).stops;
    expect(stop).toMatchObject({ code: 'pigment-over-share', facts: { pigmentG: 2.3, shareG: 2 } });
    // With more resin goes more pigment.
    expect(judged({ resinG: 120, hardenerG: 45.6, pigmentG: 2.6 }).stops).toEqual([]);
    const without = { ...recipe, pours: [{ ...recipe.pours[0]!, pigmentG: 0, totalG: 138 }] };
    const unasked = (pigmentG: number, stepG: number) => {
      const verdict = judgeWeighing(EPOXY, without, { ...onRatio, pigmentG }, stepG);
      return verdict.ok ? codes(verdict.value.stops) : refusalCodes(verdict);
    };
    expect(unasked(60, 1)).toEqual(['pigment-over-share']);
    expect(unasked(1.1, 1)).toEqual(['pigment-over-share']);
    expect(unasked(1, 1)).toEqual([]);
  });

  test('everything that stops it is told at once', () => {
    const { stops } = judged({ resinG: 60, hardenerG: 58, pigmentG: 30 }, { cupLimitG: 140 });
    expect(codes(stops)).toEqual([
      'resin-off-ratio',
      'resin-too-little',
      'cup-over-limit',
      'pigment-over-share',
    ]);
  });

  test.each<[string, Partial<Weighed>, string]>([
    ['no resin', { resinG: 0 }, '/resinG'],
    ['no hardener', { hardenerG: 0 }, '/hardenerG'],
    ['pigment below nothing', { pigmentG: -1 }, '/pigmentG'],
    ['a reading that is no number', { resinG: Number.NaN }, '/resinG'],
  ])('%s is refused, and nothing is stored', (_title, over, field) => {
    expect(judgeWeighing(EPOXY, recipe, { ...onRatio, ...over }, 0.1)).toMatchObject({
      ok: false,
      reasons: [{ code: 'value-out-of-range', field }],
    });
  });

  test('a cup weighed as its recipe rounds it never stops the work', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 20, max: 900, noNaN: true }),
        fc.constantFrom(0.01, 0.1, 0.5, 1, 2),
        (fabricMassG, scaleResolutionG) => {
          const verdict = resinRecipe(EPOXY, { ...ASKED, fabricMassG, scaleResolutionG });
          if (!verdict.ok) return;
          for (const pour of verdict.value.pours) {
            const told = judgeWeighing(EPOXY, verdict.value, pour, scaleResolutionG);
            expect(told.ok && told.value.stops).toEqual([]);
          }
        },
      ),
    );
  });
});

describe('the clock of a cup (C3)', () => {
  const mixedAt = new Date('2026-03-02T09:00:00Z');
  const after = (minutes: number): Date => new Date(mixedAt.getTime() + 60_000 * minutes);

  test('counts down from the moment of mixing, then says by how much it is over', () => {
    const setsAt = after(20);
    expect(minutesLeft(mixedAt, mixedAt, 20)).toEqual({
      ok: true,
      value: { setsAt, minutesLeft: 20, minutesOver: 0 },
    });
    expect(minutesLeft(mixedAt, after(12.5), 20)).toMatchObject({
      value: { minutesLeft: 7.5, minutesOver: 0 },
    });
    expect(minutesLeft(mixedAt, after(20), 20)).toMatchObject({
      value: { minutesLeft: 0, minutesOver: 0 },
    });
    expect(minutesLeft(mixedAt, after(23), 20)).toMatchObject({
      value: { setsAt, minutesLeft: 0, minutesOver: 3 },
    });
  });

  test('a mix that lies ahead, a date that is none and a time that is none are refused', () => {
    expect(minutesLeft(after(5), mixedAt, 20)).toMatchObject({
      ok: false,
      reasons: [{ code: 'mixed-in-future', field: '/mixedAt', facts: { minutesAhead: 5 } }],
    });
    expect(refusalCodes(minutesLeft(new Date(Number.NaN), mixedAt, 20))).toEqual([
      'mixed-in-future',
    ]);
    expect(refusalCodes(minutesLeft(mixedAt, mixedAt, Number.NaN))).toEqual(['value-out-of-range']);
    expect(refusalCodes(minutesLeft(mixedAt, mixedAt, 0))).toEqual(['value-out-of-range']);
  });

  test('cured is when the hours of the sheet are over', () => {
    expect(curedAt(mixedAt, EPOXY)).toEqual({ ok: true, value: new Date('2026-03-02T21:00:00Z') });
    expect(refusalCodes(curedAt(mixedAt, { ...EPOXY, cureHours: 0 }))).toEqual([
      'value-out-of-range',
    ]);
  });

  test('put right, it runs on and is never longer than at first', () => {
    expect(workTimePutRight(10, 20)).toBe(10);
    expect(workTimePutRight(20, 10)).toBe(10);
    expect(workTimePutRight(20, null)).toBe(20);
    expect(workTimePutRight(null, 20)).toBeNull();
  });
});

describe('the hours of curing (C3)', () => {
  const laminatedAt = new Date('2026-03-02T09:00:00Z');
  const hours = (key: string): Check => ({
    kind: 'measured',
    key,
    ask: 'For how long?',
    unit: 'h',
    min: 1,
    max: 72,
  });
  const warmth: Check = { ...hours('warmth'), unit: '°C' } as Check;
  const cured = (sinceHours: number, answers: Record<string, number>, asks = ['hours']) =>
    judgeCure(
      { laminatedAt, at: new Date(laminatedAt.getTime() + sinceHours * 3_600_000), product: EPOXY },
      [...asks.map(hours), warmth],
      answers,
    );

  test('it stops where fewer have passed than the sheet asks, and fewer are answered', () => {
    const [stop] = cured(3, { hours: 2, warmth: 60 });
    expect(stop).toMatchObject({
      code: 'cured-too-short',
      facts: { sinceHours: 3, answeredHours: 2, cureHours: 12, cureTemperatureC: 22 },
    });
    expect(stop?.detail).toContain('12 h at 22 °C');
    expect(stop?.wayOut).toMatch(/Warmer it may take less/);
    expect(cured(12, { hours: 2 })).toEqual([]);
    expect(cured(3, { hours: 12 })).toEqual([]);
    expect(cured(11.9, { hours: 11.9 })).toHaveLength(1);
  });

  test('of several checks in hours the longest counts; where none asks, the hours that passed', () => {
    expect(cured(3, { oven: 2, room: 14 }, ['oven', 'room'])).toEqual([]);
    const [stop] = cured(3, { warmth: 60 }, []);
    expect(stop).toMatchObject({ facts: { answeredHours: null } });
    expect(stop?.detail).not.toContain('answered');
    expect(cured(3, {})).toHaveLength(1);
  });
});

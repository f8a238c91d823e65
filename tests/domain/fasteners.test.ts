import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  clampLoadN,
  FASTENERS_MOST,
  lateralIsOnTheRight,
  loadLimit,
  nominalDiameterMm,
  NUT_FACTORS_WET_THREADLOCKER,
  questionTorqueSetting,
  screwPlaces,
  TIGHTENING_PASSES,
  tighteningOrder,
} from '../../src/domain/fasteners.ts';
import { toNewtonMetres } from '../../src/domain/torqueUnits.ts';
import { FASTENER_SIZES, PROPERTY_CLASSES } from '../../src/domain/words.ts';

const sizes = fc.constantFrom(...FASTENER_SIZES);
const classes = fc.constantFrom(...PROPERTY_CLASSES);
const torquesNm = fc.double({ min: 0.1, max: 200, noNaN: true });

/** Four M6 screws of a pyramid, as the maker's sheet gives them. */
const pyramidScrews = {
  torqueMinNm: 9,
  torqueMaxNm: 11,
  size: 'M6',
  propertyClass: '8.8',
} as const;

describe('the clamp load of a torque (C4)', () => {
  it('grows with the torque and falls with friction and diameter', () => {
    const more = fc.double({ min: 1.01, max: 10, noNaN: true });
    fc.assert(
      fc.property(
        torquesNm,
        fc.double({ min: 0.1, max: 0.3, noNaN: true }),
        sizes,
        more,
        (torqueNm, nutFactor, size, times) => {
          const diameterMm = nominalDiameterMm(size);
          const loadN = clampLoadN(torqueNm, nutFactor, diameterMm);
          expect(clampLoadN(torqueNm * times, nutFactor, diameterMm)).toBeGreaterThan(loadN);
          expect(clampLoadN(torqueNm, nutFactor * times, diameterMm)).toBeLessThan(loadN);
          expect(clampLoadN(torqueNm, nutFactor, diameterMm * times)).toBeLessThan(loadN);
        },
      ),
    );
  });
});

describe('a torque setting is questioned before it is saved (R5)', () => {
  it('passes where the fastener can carry it, and says what clamp load to expect', () => {
    const verdict = questionTorqueSetting(pyramidScrews);
    expect(verdict).toMatchObject({
      ok: true,
      value: { limit: { newtons: 11_600, name: 'proof load' } },
    });
    if (!verdict.ok) return;
    expect(verdict.value.clampLoadFromN).toBeCloseTo(11_000 / (0.2 * 6), 6);
    expect(verdict.value.clampLoadToN).toBeCloseTo(11_000 / (0.12 * 6), 6);
    expect(verdict.value.percentOfLimitFrom).toBeCloseTo(79.02, 2);
    expect(verdict.value.percentOfLimitTo).toBeCloseTo(131.7, 1);
  });

  it('expects less clamp load to spread under wet threadlocker', () => {
    const verdict = questionTorqueSetting({
      ...pyramidScrews,
      nutFactor: NUT_FACTORS_WET_THREADLOCKER,
    });
    expect(verdict.ok && verdict.value.clampLoadToN).toBeCloseTo(11_000 / (0.15 * 6), 6);
  });

  it('asks whether pound-inches were typed as newton-metres', () => {
    const verdict = questionTorqueSetting({
      ...pyramidScrews,
      torqueMinNm: 90,
      torqueMaxNm: 100,
    });
    expect(verdict).toMatchObject({
      ok: false,
      reasons: [
        {
          code: 'torque-setting-implausible',
          rule: 'R5',
          facts: { loadLimitName: 'proof load', loadLimitN: 11_600, typedIn: 'N.m' },
        },
      ],
    });
    if (verdict.ok) return;
    expect(verdict.reasons[0]?.detail).toContain('718 % of its proof load');
    expect(verdict.reasons[0]?.wayOut).toContain('Typed pound-inches as N·m?');
    expect(verdict.reasons[0]?.wayOut).toContain('11.2985 N·m');
  });

  it('asks the same where pound-feet were chosen, and suggests nothing that would not help', () => {
    const inPoundFeet = questionTorqueSetting({
      ...pyramidScrews,
      torqueMinNm: toNewtonMetres(80, 'lbf.ft'),
      torqueMaxNm: toNewtonMetres(100, 'lbf.ft'),
      typedIn: 'lbf.ft',
    });
    expect(!inPoundFeet.ok && inPoundFeet.reasons[0]?.wayOut).toContain('as lbf·ft?');
    const hopeless = questionTorqueSetting({ ...pyramidScrews, torqueMaxNm: 1_000 });
    expect(hopeless).toMatchObject({
      ok: false,
      reasons: [{ code: 'torque-setting-implausible', facts: { asPoundInchesNm: null } }],
    });
    expect(!hopeless.ok && hopeless.reasons[0]?.wayOut).toMatch(/^Read torque, unit, size/);
  });

  it('measures stainless screws by their 0.2 % load and never calls it a proof load', () => {
    const verdict = questionTorqueSetting({
      torqueMinNm: 10,
      torqueMaxNm: 15,
      size: 'M6',
      propertyClass: 'A2-70',
    });
    expect(verdict).toMatchObject({
      ok: false,
      reasons: [{ code: 'torque-setting-implausible', facts: { loadLimitName: '0.2 % load' } }],
    });
    expect(!verdict.ok && verdict.reasons[0]?.detail).not.toContain('proof');
  });

  it('takes a setting of one torque', () => {
    const one = { ...pyramidScrews, torqueMinNm: pyramidScrews.torqueMaxNm };
    expect(questionTorqueSetting(one).ok).toBe(true);
  });

  it.each([
    [12, 10],
    [0, 10],
    [-2, 10],
    [Number.NaN, 10],
    [5, Number.NaN],
    [5, Number.POSITIVE_INFINITY],
  ])('refuses a setting from %d to %d N·m as upside down', (torqueMinNm, torqueMaxNm) => {
    expect(questionTorqueSetting({ ...pyramidScrews, torqueMinNm, torqueMaxNm })).toMatchObject({
      ok: false,
      reasons: [{ code: 'torque-setting-upside-down', kind: 'invalid' }],
    });
  });

  it('is never refused for less torque where more was accepted', () => {
    fc.assert(
      fc.property(
        sizes,
        classes,
        torquesNm,
        fc.double({ min: 0.05, max: 1, noNaN: true }),
        (size, propertyClass, torqueMaxNm, share) => {
          const ask = (maxNm: number) =>
            questionTorqueSetting({
              torqueMinNm: maxNm / 2,
              torqueMaxNm: maxNm,
              size,
              propertyClass,
            });
          const more = ask(torqueMaxNm);
          expect(ask(torqueMaxNm * share).ok || !more.ok).toBe(true);
          const passesLimit =
            clampLoadN(torqueMaxNm, 0.2, nominalDiameterMm(size)) >
            loadLimit(size, propertyClass).newtons;
          expect(more.ok).toBe(!passesLimit);
        },
      ),
    );
  });
});

describe('the order of tightening (C4)', () => {
  it('goes across four screws and in a star over five', () => {
    expect(tighteningOrder(4)).toEqual([1, 3, 2, 4]);
    expect(tighteningOrder(5)).toEqual([1, 3, 5, 2, 4]);
    expect(tighteningOrder(3)).toEqual([1, 2, 3]);
    expect(tighteningOrder(6)).toEqual([1, 4, 2, 5, 3, 6]);
  });

  const counts = Array.from({ length: FASTENERS_MOST }, (_, i) => i + 1);
  it.each(counts)('names each of %d fasteners once and begins with the first', (count) => {
    const order = tighteningOrder(count);
    expect(order[0]).toBe(1);
    expect([...order].sort((a, b) => a - b)).toEqual(counts.slice(0, count));
  });

  it.each(counts.filter((count) => count >= 5))(
    'of %d fasteners never goes to a neighbour',
    (count) => {
      const order = tighteningOrder(count);
      for (const [i, fastener] of order.slice(1).entries()) {
        const apart = Math.abs(fastener - (order[i] ?? 0));
        expect([1, count - 1]).not.toContain(apart);
      }
    },
  );

  it.each([0, 9, 2.5, -1])('does not exist for %d fasteners', (count) => {
    expect(() => tighteningOrder(count)).toThrow(RangeError);
  });

  it('rises from snug over half to the full setting', () => {
    expect(TIGHTENING_PASSES.map(({ name }) => name)).toEqual(['snug', 'half', 'full']);
    const shares = TIGHTENING_PASSES.map(({ share }) => share);
    expect([...shares].sort((a, b) => a - b)).toEqual(shares);
    expect(shares.at(-1)).toBe(1);
  });
});

describe('the screws of a joint, seen from below', () => {
  it('numbers the screws clockwise from the front, evenly', () => {
    const four = screwPlaces(4);
    expect(four.map(({ x, y }) => [Math.sign(x), Math.sign(y)])).toEqual([
      [1, -1],
      [1, 1],
      [-1, 1],
      [-1, -1],
    ]);
    expect(screwPlaces(1)).toEqual([{ x: 0, y: 0 }]);
    for (let count = 2; count <= 8; count += 1) {
      for (const { x, y } of screwPlaces(count)) expect(Math.hypot(x, y)).toBeCloseTo(1, 12);
    }
  });

  it('has the lateral side of a left socket on the right as seen from below', () => {
    expect(lateralIsOnTheRight('left')).toBe(true);
    expect(lateralIsOnTheRight('right')).toBe(false);
  });
});

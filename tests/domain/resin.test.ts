import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  offRatioPercent,
  questionResinProduct,
  RESIN_CHEMISTRIES,
  resinRecipe,
  splitByRatio,
  workTime,
  type RecipeAsked,
  type ResinProduct,
  type ResinRecipe,
} from '../../src/domain/resin.ts';
import { evenly } from '../support/figures.ts';
import { ASKED, EPOXY } from '../support/layups.ts';
import { refusalCodes } from '../support/limbs.ts';

const asked = (over: Partial<RecipeAsked> = {}, product: Partial<ResinProduct> = {}) =>
  resinRecipe({ ...EPOXY, ...product }, { ...ASKED, ...over });
function recipe(over: Partial<RecipeAsked> = {}, product: Partial<ResinProduct> = {}): ResinRecipe {
  const verdict = asked(over, product);
  if (!verdict.ok) throw new Error(refusalCodes(verdict).join());
  return verdict.value;
}

describe('the recipe (C3)', () => {
  test('fabric, fraction, losses and margin make the mix; the scale rounds it up, on ratio', () => {
    const told = recipe();
    // 200 g of resin for 200 g of fabric, 40 g lost, a tenth more: 264 g.
    expect(told.neededG).toBe(240);
    // 191.304… and 72.695… g, up to the tenth; pigment 2 % of the resin.
    expect(told).toMatchObject({ resinG: 191.4, hardenerG: 72.7, pigmentG: 3.8, totalG: 267.9 });
    expect(told.pours).toEqual([{ resinG: 191.4, hardenerG: 72.7, pigmentG: 3.8, totalG: 267.9 }]);
    expect(Math.abs(told.offRatioPercent)).toBeLessThan(0.5);
    expect(told.workTime).toEqual({ minutes: 20, from: 'halved_each_10_degrees' });
    expect(told.cupFullerThanReference).toBe(true);
  });

  test('a mix that comes out in whole steps is not rounded up any further', () => {
    const told = recipe({ fabricMassG: 138, bagLossG: 0, marginPercent: 0, pigmentPercent: 0 }, {});
    expect(told).toMatchObject({ resinG: 100, hardenerG: 38, pigmentG: 0, totalG: 138 });
    expect(told.offRatioPercent).toBeCloseTo(0, 12);
  });

  test('a cup no fuller than the one of the sheet is not said to be', () => {
    expect(recipe({ fabricMassG: 50, bagLossG: 0 }).cupFullerThanReference).toBe(false);
  });

  test('a cup that is just full is one cup, and just as full as the one of the sheet', () => {
    const plain = { fabricMassG: 138, bagLossG: 0, marginPercent: 0, pigmentPercent: 0 };
    const told = recipe(plain, { cupLimitG: 138, potLifeMassG: 138 });
    expect(told).toMatchObject({ totalG: 138, cupFullerThanReference: false });
    expect(told.pours).toHaveLength(1);
    expect(recipe({ ...plain, fabricMassG: 1_790 }, { cupLimitG: 150 }).pours).toHaveLength(12);
  });

  test('what passes the cup limit is shared between equal cups, each on ratio', () => {
    const told = recipe({}, { cupLimitG: 100 });
    expect(told.pours).toHaveLength(3);
    expect(new Set(told.pours.map(({ totalG }) => totalG)).size).toBe(1);
    expect(told.pours[0]!.totalG).toBeLessThanOrEqual(100);
    expect(told.totalG).toBeCloseTo(3 * told.pours[0]!.totalG, 9);
  });

  test('where rounding up would pass the cup limit, there is one cup more', () => {
    // 264 g are two cups of 132 g. In steps of 5 g the next pair on ratio is 105 g and 40 g.
    const fine = recipe({ pigmentPercent: 0 }, { cupLimitG: 134 });
    const coarse = recipe(
      { pigmentPercent: 0, scaleResolutionG: 5 },
      { cupLimitG: 134, ratioTolerancePercent: 6 },
    );
    expect(fine.pours).toHaveLength(2);
    expect(coarse.pours).toHaveLength(3);
    expect(coarse.pours[0]).toMatchObject({ resinG: 65, hardenerG: 25 });
  });

  test('a coarse scale finds another pair of weights on ratio, or is refused', () => {
    const small = { fabricMassG: 20, bagLossG: 0, marginPercent: 0, pigmentPercent: 0 };
    // 14.49 g and 5.51 g: on a scale of 1 g 15 and 6 are 5 % off; 16 and 6 are 1.3 % off.
    expect(recipe({ ...small, scaleResolutionG: 1 })).toMatchObject({ resinG: 16, hardenerG: 6 });
    const verdict = asked({ ...small, scaleResolutionG: 5 });
    expect(verdict.ok ? [] : verdict.reasons).toMatchObject([
      {
        code: 'scale-too-coarse',
        facts: { component: 'hardener', scaleResolutionG: 5, tolerancePercent: 2 },
        field: '/scaleResolutionG',
      },
    ]);
  });

  test('peroxide in a hundredth part needs a scale that can tell it', () => {
    const acrylic = { chemistry: 'acrylic', partsHardener: 2, ratioTolerancePercent: 10 } as const;
    expect(recipe({ scaleResolutionG: 0.1, pigmentPercent: 0 }, acrylic).hardenerG).toBeCloseTo(
      5.2,
      1,
    );
    expect(refusalCodes(asked({ scaleResolutionG: 10 }, acrylic))).toEqual(['scale-too-coarse']);
  });

  test('pigment that the scale cannot show is said, not left out', () => {
    const verdict = asked({ pigmentPercent: 0.2, scaleResolutionG: 1 });
    expect(verdict.ok ? [] : verdict.reasons).toMatchObject([
      { code: 'scale-too-coarse', facts: { component: 'pigment' } },
    ]);
  });

  test('a mix of a dozen cups and more is questioned', () => {
    const verdict = asked({ fabricMassG: 3_000 }, { cupLimitG: 150 });
    expect(verdict.ok ? [] : verdict.reasons).toMatchObject([
      { code: 'resin-too-many-pours', facts: { cupLimitG: 150, most: 12 } },
    ]);
  });

  test.each<[string, Partial<RecipeAsked>, string]>([
    ['no fabric', { fabricMassG: 0 }, '/fabricMassG'],
    ['a fraction in per cent', { fibreMassFraction: 50 }, '/fibreMassFraction'],
    ['all fibre', { fibreMassFraction: 1 }, '/fibreMassFraction'],
    ['a loss below nothing', { bagLossG: -1 }, '/bagLossG'],
    ['a margin that is no number', { marginPercent: Number.NaN }, '/marginPercent'],
    ['pigment by the cup', { pigmentPercent: 40 }, '/pigmentPercent'],
    ['a scale without a step', { scaleResolutionG: 0 }, '/scaleResolutionG'],
    ['degrees Fahrenheit', { shopTemperatureC: 72 }, '/shopTemperatureC'],
  ])('%s: refused with range and what is usual, never clamped', (_title, over, field) => {
    const verdict = asked(over);
    expect(verdict.ok ? [] : verdict.reasons).toMatchObject([
      { code: 'value-out-of-range', field, detail: expect.stringContaining('Usual:') },
    ]);
  });

  test.each<[string, Partial<ResinProduct>, string]>([
    ['no hardener', { partsHardener: 0 }, '/product/partsHardener'],
    ['degrees Fahrenheit', { potLifeTemperatureC: 77 }, '/product/potLifeTemperatureC'],
    ['a cup of nothing', { cupLimitG: 0 }, '/product/cupLimitG'],
    ['kilograms by the cubic metre', { densityGcm3: 1_150 }, '/product/densityGcm3'],
  ])('a product with %s is refused', (_title, over, field) => {
    expect(asked({}, over)).toMatchObject({
      ok: false,
      reasons: [{ code: 'value-out-of-range', field }],
    });
  });

  test('a product as its sheet has it stands', () => {
    expect(questionResinProduct(EPOXY)).toEqual([]);
  });
});

describe('work time (C3)', () => {
  test('colder than its sheet an epoxy lives longer, warmer shorter', () => {
    expect(workTime(EPOXY, 15).minutes).toBe(40);
    expect(workTime(EPOXY, 35).minutes).toBe(10);
  });

  test.each(['acrylic', 'polyester'] as const)(
    'of %s only the time of its sheet is known, at the temperature of its sheet',
    (chemistry) => {
      const product = { ...EPOXY, chemistry };
      for (const shopC of [23, 25, 27]) {
        expect(workTime(product, shopC)).toEqual({ minutes: 20, from: 'sheet' });
      }
      for (const shopC of [22.9, 27.1]) {
        expect(workTime(product, shopC)).toEqual({ minutes: null, from: 'unknown' });
      }
      expect(RESIN_CHEMISTRIES).toContain(chemistry);
    },
  );
});

describe('laws of the recipe (C3)', () => {
  const anyAsked: fc.Arbitrary<RecipeAsked> = fc.record({
    fabricMassG: fc.double({ min: 1, max: 2_000, noNaN: true }),
    fibreMassFraction: fc.double({ min: 0.15, max: 0.8, noNaN: true }),
    bagLossG: evenly(0, 200),
    marginPercent: evenly(0, 50),
    pigmentPercent: fc.constantFrom(0, 1, 2.5, 5),
    scaleResolutionG: fc.constantFrom(0.001, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10),
    shopTemperatureC: fc.double({ min: 5, max: 45, noNaN: true }),
  });
  const anyProduct: fc.Arbitrary<ResinProduct> = fc
    .record({
      partsHardener: fc.double({ min: 0.5, max: 150, noNaN: true }),
      ratioTolerancePercent: fc.double({ min: 0.5, max: 10, noNaN: true }),
      cupLimitG: fc.integer({ min: 100, max: 1_000 }),
      chemistry: fc.constantFrom(...RESIN_CHEMISTRIES),
    })
    .map((over) => ({ ...EPOXY, ...over }));

  /** Grams are multiples of the scale's step, but for binary fractions. */
  const isOnScale = (massG: number, stepG: number): boolean =>
    Math.abs(massG / stepG - Math.round(massG / stepG)) < 1e-6;

  test('for every scale the ratio is kept within tolerance after rounding, masses add up, no cup is too full', () => {
    let granted = 0;
    fc.assert(
      fc.property(anyProduct, anyAsked, (product, ask) => {
        const verdict = resinRecipe(product, ask);
        if (!verdict.ok) {
          expect(['scale-too-coarse', 'resin-too-many-pours']).toContain(refusalCodes(verdict)[0]);
          return;
        }
        granted += 1;
        const told = verdict.value;
        for (const pour of told.pours) {
          expect(Math.abs(offRatioPercent(pour, product))).toBeLessThanOrEqual(
            product.ratioTolerancePercent,
          );
          expect(pour.totalG).toBeLessThanOrEqual(product.cupLimitG);
          expect(pour.resinG + pour.hardenerG + pour.pigmentG).toBeCloseTo(pour.totalG, 5);
          for (const massG of [pour.resinG, pour.hardenerG, pour.pigmentG]) {
            expect(massG).toBeGreaterThanOrEqual(0);
            expect(isOnScale(massG, ask.scaleResolutionG)).toBe(true);
          }
          expect(pour.resinG * pour.hardenerG).toBeGreaterThan(0);
          expect(pour.pigmentG > 0).toBe(ask.pigmentPercent > 0);
        }
        for (const part of ['resinG', 'hardenerG', 'pigmentG', 'totalG'] as const) {
          const sum = told.pours.reduce((total, pour) => total + pour[part], 0);
          expect(told[part]).toBeCloseTo(sum, 5);
        }
        const mixG = told.neededG * (1 + ask.marginPercent / 100);
        expect(told.resinG + told.hardenerG).toBeGreaterThanOrEqual(mixG - 1e-5);
      }),
      { numRuns: 500 },
    );
    expect(granted).toBeGreaterThan(100);
  });

  test('a scale that shows the hardener of a cup in enough steps is never refused', () => {
    fc.assert(
      fc.property(anyProduct, anyAsked, (product, ask) => {
        const verdict = resinRecipe(product, { ...ask, pigmentPercent: 0 });
        if (verdict.ok) return;
        const [against] = verdict.reasons;
        if (against?.code !== 'scale-too-coarse') return;
        // Half a step of the hardener asked for is more than the tolerance.
        const { neededG, scaleResolutionG, tolerancePercent } = against.facts as Record<
          string,
          number
        >;
        expect((50 * scaleResolutionG!) / neededG!).toBeGreaterThan(tolerancePercent!);
      }),
      { numRuns: 300 },
    );
  });

  test('more fabric, more loss, more margin or less fibre never needs less resin', () => {
    fc.assert(
      fc.property(anyAsked, fc.double({ min: 1, max: 1.5, noNaN: true }), (ask, more) => {
        const roomy = { ...EPOXY, cupLimitG: 5_000 };
        // From a gram of hardener on, a scale of 0.01 g finds its pair at the first steps.
        const fabricMassG = Math.max(20, ask.fabricMassG);
        const fine = { ...ask, fabricMassG, scaleResolutionG: 0.01, pigmentPercent: 0 };
        const least = resinRecipe(roomy, fine);
        for (const over of [
          { fabricMassG: fine.fabricMassG * more },
          { bagLossG: fine.bagLossG * more },
          { marginPercent: fine.marginPercent * more },
          { fibreMassFraction: Math.max(0.15, fine.fibreMassFraction / more) },
        ]) {
          const greater = resinRecipe(roomy, { ...fine, ...over });
          if (!least.ok || !greater.ok) continue;
          expect(greater.value.neededG).toBeGreaterThanOrEqual(least.value.neededG);
          // Cups are rounded up one by one: a step of the scale for each, no more.
          const slackG = 0.02 * least.value.pours.length;
          expect(greater.value.totalG).toBeGreaterThanOrEqual(least.value.totalG - slackG);
        }
      }),
    );
  });

  test('split by its ratio, a mix is a mix, and on its ratio', () => {
    fc.assert(
      fc.property(anyProduct, fc.double({ min: 1, max: 5_000, noNaN: true }), (product, mixG) => {
        const parts = splitByRatio(mixG, product);
        expect(parts.resinG + parts.hardenerG).toBeCloseTo(mixG, 8);
        expect(offRatioPercent(parts, product)).toBeCloseTo(0, 9);
      }),
    );
  });
});

import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  capAreaMm2,
  capMl,
  conesMl,
  limbGeometry,
  limbProfile,
  measuresBetween,
  questionCap,
  type LimbGeometry,
} from '../../src/domain/limbGeometry.ts';
import type { LimbMeasure } from '../../src/domain/measures.ts';
import { evenly } from '../support/figures.ts';
import { codes, refusalCodes } from '../support/limbs.ts';

/** A trans-tibial limb measured from its distal end upwards. */
const limb: LimbMeasure[] = [
  { heightMm: 0, circumferenceMm: 232 },
  { heightMm: 40, circumferenceMm: 268 },
  { heightMm: 80, circumferenceMm: 297 },
  { heightMm: 120, circumferenceMm: 321 },
];

const worked = (measures: readonly LimbMeasure[], capDepthMm: number | null): LimbGeometry => {
  const verdict = limbGeometry(measures, capDepthMm);
  if (!verdict.ok) throw new Error(refusalCodes(verdict).join());
  return verdict.value;
};

/** Tables of three to eight heights, rising by 5 to 60 mm. */
const anyTable = fc
  .array(
    fc.record({
      riseMm: fc.double({ min: 5, max: 60, noNaN: true }),
      circumferenceMm: fc.double({ min: 100, max: 700, noNaN: true }),
    }),
    { minLength: 3, maxLength: 8 },
  )
  .map((rows) => {
    let heightMm = 0;
    return rows.map(({ riseMm, circumferenceMm }) => {
      heightMm += riseMm;
      return { heightMm, circumferenceMm };
    });
  });

describe('the geometry of a limb (C1)', () => {
  test('a limb has a volume, areas and lengths that add up', () => {
    const shape = worked(limb, 30);
    expect(shape).toMatchObject({ fromMm: 0, toMm: 120, greatestCircumferenceMm: 321 });
    expect(shape.volumeMl).toBe(shape.conesMl + shape.capMl);
    expect(shape.areaMm2).toBe(shape.lateralAreaMm2 + shape.capAreaMm2);
    expect(shape.conesMl).toBeCloseTo(
      (40 * (232 ** 2 + 232 * 268 + 268 ** 2) +
        40 * (268 ** 2 + 268 * 297 + 297 ** 2) +
        40 * (297 ** 2 + 297 * 321 + 321 ** 2)) /
        (12 * Math.PI) /
        1000,
      9,
    );
    expect(shape.wallLengthMm).toBeGreaterThan(120);
    expect(shape.wallLengthMm).toBeLessThan(121.5);
    expect(shape.meanCircumferenceMm).toBeCloseTo(280.4, 0);
  });

  test('the depth of the cap is the one given', () => {
    expect(worked(limb, 30).cap).toEqual({ depthMm: 30, source: 'given' });
    expect(worked(limb, 0).capMl).toBe(0);
  });

  test('a table that starts above the distal end says how deep the cap is', () => {
    const raised = limb.map((each) => ({ ...each, heightMm: each.heightMm + 25 }));
    expect(worked(raised, null).cap).toEqual({ depthMm: 25, source: 'lowest_height' });
  });

  test('where nobody measured it, half its radius is assumed, and said to be', () => {
    const { cap, capMl: capVolumeMl } = worked(limb, null);
    expect(cap.source).toBe('assumed');
    expect(cap.depthMm).toBeCloseTo(232 / (4 * Math.PI), 12);
    expect(capVolumeMl).toBeCloseTo(capMl(232 / (2 * Math.PI), cap.depthMm), 12);
  });

  test('the outline runs from the tip of the cap to the highest measure, without a kink back', () => {
    const { profile } = worked(limb, 30);
    expect(profile[0]).toEqual({ heightMm: -30, radiusMm: 0 });
    expect(profile.at(-1)).toEqual({ heightMm: 120, radiusMm: 321 / (2 * Math.PI) });
    profile.slice(1).forEach((point, at) => {
      expect(point.heightMm).toBeGreaterThan(profile[at]!.heightMm);
      expect(point.radiusMm).toBeGreaterThan(profile[at]!.radiusMm);
    });
    expect(limbProfile([], { depthMm: 30, source: 'given' })).toEqual([]);
  });

  test.each<[string, LimbMeasure[], number | null, string[]]>([
    ['one height', limb.slice(0, 1), null, ['measures-too-few']],
    ['no height', [], null, ['measures-too-few']],
    ['heights that fall', limb.toReversed(), null, Array<string>(3).fill('measures-implausible')],
    ['a cap deeper than any', limb, 201, ['value-out-of-range']],
    ['a cap that is no number', limb, Number.NaN, ['value-out-of-range']],
    [
      'a circumference of nothing',
      [...limb, { heightMm: 160, circumferenceMm: 0 }],
      null,
      ['measures-implausible'],
    ],
  ])('%s is refused', (_title, measures, depthMm, codes) => {
    expect(refusalCodes(limbGeometry(measures, depthMm))).toEqual(codes);
  });

  test('cut anywhere, the parts of a limb have the volume of the whole', () => {
    fc.assert(
      fc.property(anyTable, evenly(0, 1), (table, share) => {
        const [fromMm, toMm] = [table[0]!.heightMm, table.at(-1)!.heightMm];
        const cutMm = fromMm + share * (toMm - fromMm);
        const parts =
          conesMl(measuresBetween(table, fromMm, cutMm)) +
          conesMl(measuresBetween(table, cutMm, toMm));
        const whole = conesMl(table);
        expect(Math.abs(parts - whole)).toBeLessThan(1e-9 * whole);
      }),
    );
  });

  test('cut at its own heights, a limb keeps its measures and gets no others', () => {
    expect(measuresBetween(limb, 40, 80)).toEqual(limb.slice(1, 3));
    expect(measuresBetween(limb, 20, 80)).toEqual([
      { heightMm: 20, circumferenceMm: 250 },
      ...limb.slice(1, 3),
    ]);
    expect(measuresBetween(limb, 0, 120)).toEqual(limb);
  });

  test('a thicker limb has more volume and more area, and nothing is negative or no number', () => {
    fc.assert(
      fc.property(
        anyTable,
        fc.option(evenly(0, 200)),
        fc.double({ min: 1.01, max: 1.4, noNaN: true }),
        (table, depthMm, thicker) => {
          const thick = table.map((each) => ({
            ...each,
            circumferenceMm: each.circumferenceMm * thicker,
          }));
          const [one, other] = [worked(table, depthMm), worked(thick, depthMm)];
          const figures = [
            'volumeMl',
            'areaMm2',
            'capAreaMm2',
            'wallLengthMm',
            'capArcMm',
            'meanCircumferenceMm',
          ] as const;
          for (const figure of figures) {
            expect(one[figure]).toBeGreaterThan(0);
            expect(other[figure]).toBeGreaterThanOrEqual(one[figure]);
          }
          expect(one.capMl).toBeGreaterThanOrEqual(0);
          expect(other.volumeMl).toBeGreaterThan(one.volumeMl);
          expect(other.areaMm2).toBeGreaterThan(one.areaMm2);
        },
      ),
    );
  });

  test('a cap that grows from flat to deep has an area that grows without a jump', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 10, max: 120, noNaN: true }),
        evenly(0, 3),
        (radiusMm, share) => {
          const disc = Math.PI * radiusMm ** 2;
          const area = capAreaMm2(radiusMm, share * radiusMm) / disc;
          const deeper = capAreaMm2(radiusMm, (share + 1e-4) * radiusMm) / disc;
          expect(area).toBeGreaterThanOrEqual(1);
          expect(deeper).toBeGreaterThan(area - 1e-7);
          expect(deeper - area).toBeLessThan(1e-3);
        },
      ),
    );
  });
});

describe('the depth of the distal cap as it is entered', () => {
  const from40 = limb.slice(1);

  test('is any in its range where the table starts at the distal end, or nobody measured it', () => {
    expect(questionCap(limb, 32)).toEqual([]);
    expect(questionCap(limb, 0)).toEqual([]);
    expect(questionCap(from40, null)).toEqual([]);
    expect(questionCap([], 32)).toEqual([]);
    expect(codes(questionCap(limb, 201))).toEqual(['value-out-of-range']);
    expect(codes(questionCap(from40, 201))).toEqual(['value-out-of-range']);
  });

  test('is the lowest height, within a centimetre of tape, where the table starts above the end', () => {
    for (const depthMm of [30, 40, 50]) expect(questionCap(from40, depthMm)).toEqual([]);
    for (const depthMm of [5, 29.5, 50.5, 200]) {
      const [said] = questionCap(from40, depthMm);
      expect(said).toMatchObject({ code: 'cap-depth-disagrees', field: '/capDepthMm' });
      expect(said?.detail).toContain('40 mm above the distal end');
    }
  });
});

/** The drawings' own arithmetic. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bandWords } from '../../src/documents/torqueWords.ts';
import { reductionFor } from '../../src/documents/figures/limbProfile.ts';
import { limbProfile } from '../../src/domain/limbGeometry.ts';
import { toNewtonMetres } from '../../src/domain/torqueUnits.ts';

describe('the drawn profile', () => {
  it('is as wide as a round section of the same circumference', () => {
    const measures = [{ heightMm: 20, circumferenceMm: 100 * Math.PI }];
    const outline = limbProfile(measures, { depthMm: 20, source: 'lowest_height' });
    expect(outline.at(-1)?.radiusMm).toBeCloseTo(50, 12);
  });

  it('is as large as the room allows, and never larger', () => {
    // 180 mm high and 351/π = 111.7 mm wide; a point is 25.4/72 mm.
    const measures = [
      { heightMm: 20, circumferenceMm: 232 },
      { heightMm: 180, circumferenceMm: 351 },
    ];
    const limb = limbProfile(measures, { depthMm: 20, source: 'lowest_height' });
    expect(reductionFor(limb, 400, 600)).toBe(1);
    expect(reductionFor(limb, 200, 260)).toBe(2);
    expect(reductionFor(limb, 150, 260)).toBe(2.5);
    expect(reductionFor(limb, 200, 100)).toBe(6);
  });
});

describe('a printed torque band', () => {
  it('never allows more than the setting, in any unit', () => {
    const band = fc
      .tuple(
        fc.double({ min: 1, max: 60, noNaN: true }),
        fc.double({ min: 0.5, max: 20, noNaN: true }),
      )
      .map(([from, width]) => ({ from, to: from + width }));
    fc.assert(
      fc.property(band, fc.constantFrom('N.m', 'lbf.in', 'lbf.ft'), ({ from, to }, unit) => {
        const [least = NaN, most = NaN] = [
          ...bandWords(from, to, unit).matchAll(/\d+(?:\.\d+)?/g),
        ].map(([figure]) => toNewtonMetres(Number(figure), unit));
        expect(least).toBeGreaterThanOrEqual(from - 2e-5);
        expect(most).toBeLessThanOrEqual(to + 2e-5);
      }),
    );
  });

  it('prints round settings as they were typed', () => {
    expect(bandWords(13.5, 16.5, 'N.m')).toBe('13.5 to 16.5 N·m');
    expect(bandWords(toNewtonMetres(120, 'lbf.in'), toNewtonMetres(145, 'lbf.in'), 'lbf.in')).toBe(
      '120 to 145 lbf·in',
    );
    expect(bandWords(15, 15, 'N.m')).toBe('15 N·m');
  });
});

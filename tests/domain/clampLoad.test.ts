import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { clampLoadOf, nutFactorsOf, type ClampedBy } from '../../src/domain/clampLoad.ts';
import { questionTorqueSetting } from '../../src/domain/fasteners.ts';
import { jointCautions } from '../../src/domain/jointCautions.ts';
import { FASTENER_SIZES, PROPERTY_CLASSES } from '../../src/domain/words.ts';
import { codes } from '../support/limbs.ts';

/** Four M6 screws of an invented pyramid. */
const PYRAMID: ClampedBy = {
  torqueMinNm: 9,
  torqueMaxNm: 11,
  fastenerSize: 'M6',
  propertyClass: '12.9',
  threadlocker: 'required',
};

describe('what a setting on record makes of its screws (C4, R5)', () => {
  it('is F = T/(K·d) over the range of friction, against the proof load of one screw', () => {
    const { clampLoad, questions } = clampLoadOf(PYRAMID);
    // By hand: 11 N·m over 0.2 or 0.15 times 6 mm; ISO 898-1, Table 5: 19 500 N; Table 4: 20.1 mm².
    expect(clampLoad.fromN).toBeCloseTo(9166.67, 2);
    expect(clampLoad.toN).toBeCloseTo(12_222.22, 2);
    expect(clampLoad).toMatchObject({ limitN: 19_500, limitName: 'proof load', diameterMm: 6 });
    expect(clampLoad.stressAreaMm2).toBeCloseTo(20.1, 1);
    expect(clampLoad.percentOfLimitTo).toBeCloseTo(62.68, 2);
    expect(questions).toEqual([]);
  });

  it('dry screws are reckoned over a wider range than wet threadlocker', () => {
    expect(nutFactorsOf({ threadlocker: 'none' })).toEqual({ from: 0.12, to: 0.2 });
    expect(nutFactorsOf(PYRAMID)).toEqual({ from: 0.15, to: 0.2 });
    const dry = clampLoadOf({ ...PYRAMID, threadlocker: 'none' }).clampLoad;
    expect(dry.toN).toBeGreaterThan(clampLoadOf(PYRAMID).clampLoad.toN);
    expect(dry.nutFactorSource).toContain('Shigley');
  });

  it('is asked about exactly where it would be refused, or passes the limit at the least friction', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.5, max: 120, noNaN: true }),
        fc.constantFrom(...FASTENER_SIZES),
        fc.constantFrom(...PROPERTY_CLASSES),
        fc.constantFrom('none' as const, 'required' as const),
        (torqueMaxNm, fastenerSize, propertyClass, threadlocker) => {
          const setting = {
            torqueMinNm: torqueMaxNm / 2,
            torqueMaxNm,
            fastenerSize,
            propertyClass,
            threadlocker,
          };
          const { clampLoad, questions } = clampLoadOf(setting);
          const saved = questionTorqueSetting({
            ...setting,
            size: fastenerSize,
            nutFactor: nutFactorsOf(setting),
          });
          if (!saved.ok) expect(codes(questions)).toEqual(codes(saved.reasons));
          else {
            expect(codes(questions)).toEqual(
              clampLoad.percentOfLimitTo > 100 ? ['torque-setting-near-limit'] : [],
            );
            expect(clampLoad.fromN).toBe(saved.value.clampLoadFromN);
            expect(clampLoad.toN).toBe(saved.value.clampLoadToN);
          }
        },
      ),
    );
  });
});

describe('what to mind at a joint, whichever tool is taken', () => {
  it('names threadlocker, single-use screws and a screw that may stretch, where these hold', () => {
    const quiet = jointCautions({ setting: PYRAMID, singleUseScrews: false }).join(' ');
    expect(quiet).toContain('Threadlocker on clean, dry threads');
    expect(quiet).not.toMatch(/single-use|proof load of 19500/);
    expect(quiet).toContain('9200 to 12200 N: 47 to 63 % of its proof load');
    const loud = jointCautions({
      setting: { ...PYRAMID, propertyClass: '8.8', threadlocker: 'none' },
      singleUseScrews: true,
    });
    expect(loud[0]).toContain('132 % of its proof load of 11600 N');
    expect(loud.join(' ')).toContain('No threadlocker and no grease');
    expect(loud.join(' ')).toContain('single-use: fresh ones');
  });
});

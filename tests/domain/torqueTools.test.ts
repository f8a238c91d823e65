import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { addDays, addMonths, type Day } from '../../src/domain/days.ts';
import {
  acceptedBandNm,
  calibrationDueOn,
  foundOutOfTolerance,
  judgeTool,
  judgeToolForSetting,
  permissibleDeviationPercent,
  toolClassesOf,
  type TorqueTool,
} from '../../src/domain/torqueTools.ts';
import type { Verdict } from '../../src/domain/verdict.ts';
import { evenly } from '../support/figures.ts';

const day = (text: string): Day => text as Day;
const codes = (verdict: Verdict<unknown>): string[] =>
  verdict.ok ? [] : verdict.reasons.map(({ code }) => code);

/** The bench's adjustable wrench with a scale, 5 to 25 N·m. */
const benchWrench: TorqueTool = {
  name: 'Bench wrench',
  type: 'setting',
  toolClass: 'A',
  minNm: 5,
  maxNm: 25,
  quarantined: false,
};
const calibrated = {
  calibratedOn: day('2026-03-10'),
  validUntil: null,
  deviationPercent: -1.2,
  deviationAfterPercent: null,
};

describe('a torque tool on the day of the work (R4)', () => {
  it('may be used until the day before twelve months are over', () => {
    const asked = { tool: benchWrench, calibration: calibrated, usesSinceCalibration: 0 };
    expect(judgeTool({ ...asked, on: day('2026-03-10') })).toEqual({
      ok: true,
      value: { dueOn: '2027-03-10', usesLeft: 4_999 },
    });
    expect(judgeTool({ ...asked, on: day('2027-03-09') }).ok).toBe(true);
    expect(codes(judgeTool({ ...asked, on: day('2027-03-10') }))).toEqual([
      'tool-calibration-expired',
    ]);
  });

  it('follows its own certificate where that asks earlier, never where it asks later', () => {
    expect(calibrationDueOn({ ...calibrated, validUntil: day('2026-09-10') })).toBe('2026-09-10');
    expect(calibrationDueOn({ ...calibrated, validUntil: day('2028-03-10') })).toBe('2027-03-10');
  });

  it('calibrated on 29 February is due on 28 February', () => {
    expect(calibrationDueOn({ ...calibrated, calibratedOn: day('2028-02-29') })).toBe('2029-02-28');
  });

  it('never calibrated, or calibrated only afterwards, has no calibration', () => {
    const on = day('2026-03-09');
    for (const calibration of [null, calibrated]) {
      expect(
        codes(judgeTool({ tool: benchWrench, calibration, usesSinceCalibration: 0, on })),
      ).toEqual(['tool-calibration-missing']);
    }
  });

  it('is worn out for proof after 5 000 uses', () => {
    const asked = { tool: benchWrench, calibration: calibrated, on: day('2026-06-01') };
    expect(judgeTool({ ...asked, usesSinceCalibration: 4_996, usesAsked: 4 })).toMatchObject({
      ok: true,
      value: { usesLeft: 0 },
    });
    expect(codes(judgeTool({ ...asked, usesSinceCalibration: 4_997, usesAsked: 4 }))).toEqual([
      'tool-uses-exceeded',
    ]);
    expect(codes(judgeTool({ ...asked, usesSinceCalibration: 5_000 }))).toEqual([
      'tool-uses-exceeded',
    ]);
  });

  it('found out of tolerance by its own certificate, it proves nothing, high or low', () => {
    const asked = { tool: benchWrench, usesSinceCalibration: 0, on: day('2026-06-01') };
    const judge = (found: number | null, after: number | null = null, tool = benchWrench) =>
      judgeTool({
        ...asked,
        tool,
        calibration: { ...calibrated, deviationPercent: found, deviationAfterPercent: after },
      });
    for (const found of [18, -18, 4.1, -4.1]) {
      expect(codes(judge(found))).toEqual(['tool-found-out-of-tolerance']);
    }
    for (const found of [4, -4, 0, null]) expect(judge(found).ok).toBe(true);
    // Up to 10 N·m a tool is allowed 6 %.
    const small = { ...benchWrench, minNm: 2, maxNm: 10 };
    expect(judge(6, null, small).ok).toBe(true);
    expect(judge(18, null, small)).toMatchObject({
      reasons: [
        { facts: { tool: 'Bench wrench', deviationPercent: 18, permissibleDeviationPercent: 6 } },
      ],
    });
    // Its class says nothing where ISO 6789 has none such; another refusal tells that.
    expect(judge(18, null, { ...benchWrench, type: 'indicating', toolClass: 'G' }).ok).toBe(true);
  });

  it('adjusted by the laboratory, it is judged by what was left', () => {
    const left = (deviationAfterPercent: number) =>
      judgeTool({
        tool: benchWrench,
        calibration: { ...calibrated, deviationPercent: 18, deviationAfterPercent },
        usesSinceCalibration: 0,
        on: day('2026-06-01'),
      });
    expect(left(0.5).ok).toBe(true);
    expect(codes(left(-4.5))).toEqual(['tool-found-out-of-tolerance']);
  });

  it('what it closed before is in doubt if it was found out of tolerance, adjusted since or not', () => {
    const adjusted = { ...calibrated, deviationAfterPercent: 0 };
    const doubt = (deviationPercent: number | null) =>
      foundOutOfTolerance(benchWrench, { ...adjusted, deviationPercent });
    expect([18, -18, 4, null].map(doubt)).toEqual([true, true, false, false]);
  });

  it('hears everything against it at once', () => {
    const verdict = judgeTool({
      tool: { ...benchWrench, quarantined: true },
      calibration: calibrated,
      usesSinceCalibration: 6_000,
      on: day('2027-06-01'),
    });
    expect(codes(verdict)).toEqual([
      'tool-out-of-service',
      'tool-calibration-expired',
      'tool-uses-exceeded',
    ]);
    expect(!verdict.ok && verdict.reasons.every(({ rule }) => rule === 'R4')).toBe(true);
  });

  it('is valid on no day from its due day on', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 3_000 }),
        fc.option(fc.integer({ min: 1, max: 800 })),
        fc.integer({ min: -30, max: 900 }),
        (start, certificateDays, later) => {
          const calibratedOn = addDays(day('2024-01-01'), start);
          const validUntil =
            certificateDays === null ? null : addDays(calibratedOn, certificateDays);
          const on = addDays(calibratedOn, later);
          const verdict = judgeTool({
            tool: benchWrench,
            calibration: { ...calibrated, calibratedOn, validUntil },
            usesSinceCalibration: 0,
            on,
          });
          const valid =
            on >= calibratedOn &&
            on < addMonths(calibratedOn, 12) &&
            (validUntil === null || on < validUntil);
          expect(verdict.ok).toBe(valid);
        },
      ),
    );
  });
});

describe('the classes of torque tools', () => {
  it('are A to E for indicating and A to G for setting tools', () => {
    expect(toolClassesOf('indicating').join('')).toBe('ABCDE');
    expect(toolClassesOf('setting').join('')).toBe('ABCDEFG');
  });

  it('refuse an indicating tool of class F or G', () => {
    for (const toolClass of ['F', 'G'] as const) {
      const verdict = permissibleDeviationPercent({ type: 'indicating', toolClass, maxNm: 20 });
      expect(codes(verdict)).toEqual(['tool-class-not-of-type']);
      expect(!verdict.ok && verdict.reasons[0]?.detail).toContain('A, B, C, D, E');
    }
  });
});

describe('the accepted band (R4)', () => {
  it('always lies inside the setting, and is wider for the better tool', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.5, max: 100, noNaN: true }),
        evenly(0, 100),
        (minNm, width) => {
          const setting = { minNm, maxNm: minNm + width };
          const four = acceptedBandNm(setting, 4);
          const six = acceptedBandNm(setting, 6);
          for (const band of [four, six]) {
            if (!band.ok) {
              expect(codes(band)).toEqual(['torque-band-empty']);
              continue;
            }
            expect(band.value.fromNm).toBeGreaterThan(setting.minNm);
            expect(band.value.fromNm).toBeLessThanOrEqual(band.value.toNm);
            expect(band.value.toNm).toBeLessThan(setting.maxNm);
          }
          if (six.ok) {
            expect(four.ok && four.value.fromNm < six.value.fromNm).toBe(true);
            expect(four.ok && four.value.toNm > six.value.toNm).toBe(true);
          }
        },
      ),
    );
  });

  it('is told before the first screw is turned', () => {
    const verdict = judgeToolForSetting(benchWrench, { torqueMinNm: 13.5, torqueMaxNm: 16.5 });
    expect(verdict).toMatchObject({ ok: true, value: { deviationPercent: 4 } });
    expect(verdict.ok && verdict.value.acceptedBandNm.fromNm).toBeCloseTo(14.04, 12);
    expect(verdict.ok && verdict.value.acceptedBandNm.toNm).toBeCloseTo(15.84, 12);
  });

  it('is refused to a tool that does not reach both ends of the setting', () => {
    const reach = (torqueMinNm: number, torqueMaxNm: number) =>
      codes(judgeToolForSetting(benchWrench, { torqueMinNm, torqueMaxNm }));
    expect(reach(4, 10)).toEqual(['tool-range-too-small']);
    expect(reach(20, 26)).toEqual(['tool-range-too-small']);
    expect(reach(5, 25)).toEqual([]);
    expect(reach(26, 26.5)).toEqual(['tool-range-too-small', 'torque-band-empty']);
  });

  it('is refused to a tool of a class that is none', () => {
    const odd: TorqueTool = { ...benchWrench, type: 'indicating', toolClass: 'G' };
    expect(codes(judgeToolForSetting(odd, { torqueMinNm: 30, torqueMaxNm: 40 }))).toEqual([
      'tool-range-too-small',
      'tool-class-not-of-type',
    ]);
  });
});

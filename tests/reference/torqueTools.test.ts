import { describe, expect, it } from 'vitest';
import {
  acceptedBandNm,
  CALIBRATION_MONTHS,
  CALIBRATION_USES,
  permissibleDeviationPercent,
} from '../../src/domain/torqueTools.ts';
import type { TorqueToolClass, TorqueToolType } from '../../src/domain/words.ts';

const deviation = (type: TorqueToolType, toolClass: TorqueToolClass, maxNm: number) => {
  const verdict = permissibleDeviationPercent({ type, toolClass, maxNm });
  return verdict.ok ? verdict.value : verdict.reasons.map(({ code }) => code);
};

describe('permissible deviations of ISO 6789-1 (C4, R4)', () => {
  it('Type II class A: ±4 % above 10 N·m of tool maximum, ±6 % up to it (a maker’s manual on ISO 6789:2003, 2007, quoted)', () => {
    expect(deviation('setting', 'A', 25)).toBe(4);
    expect(deviation('setting', 'A', 10.1)).toBe(4);
    expect(deviation('setting', 'A', 10)).toBe(6);
    expect(deviation('setting', 'A', 5)).toBe(6);
  });

  it.each([
    ['indicating', 'ABCDE', '64464', '66666'],
    ['setting', 'ABCDEFG', '4446666', '6666666'],
  ] as const)(
    'all classes of %s tools, ISO 6789-1:2017 5.1.5 (from memory): %s have %s %% with maximum 25 N·m, %s %% with 8 N·m',
    (type, classes, large, small) => {
      for (const [i, toolClass] of [...classes].entries()) {
        expect(deviation(type, toolClass as TorqueToolClass, 25)).toBe(Number(large[i]));
        expect(deviation(type, toolClass as TorqueToolClass, 8)).toBe(Number(small[i]));
      }
    },
  );

  it('recalibration after twelve months or 5 000 uses (ISO 6789-1:2017 5.3, quoted by Mobile Test ’n’ Cal)', () => {
    expect([CALIBRATION_MONTHS, CALIBRATION_USES]).toEqual([12, 5_000]);
  });
});

describe('the guard band (R4): our own rule in the manner of JCGM 106:2012 8.3', () => {
  it('13.5 to 16.5 N·m by a ±4 % tool accepts 14.04 to 15.84 N·m (computed by hand)', () => {
    const band = acceptedBandNm({ minNm: 13.5, maxNm: 16.5 }, 4);
    expect(band.ok && band.value.fromNm.toFixed(6)).toBe('14.040000');
    expect(band.ok && band.value.toNm.toFixed(6)).toBe('15.840000');
  });

  it('9.5 to 10.5 N·m by a ±6 % tool leaves 10.07 to 9.87, which is nothing (computed by hand)', () => {
    expect(acceptedBandNm({ minNm: 9.5, maxNm: 10.5 }, 6)).toMatchObject({
      ok: false,
      reasons: [{ code: 'torque-band-empty' }],
    });
  });
});

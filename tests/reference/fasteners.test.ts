import { describe, expect, it } from 'vitest';
import { clampLoadN, loadLimit, stressAreaMm2 } from '../../src/domain/fasteners.ts';
import { toNewtonMetres } from '../../src/domain/torqueUnits.ts';

/**
 * ISO 898-1, Tables 4 and 5, coarse thread: printed stress area in mm² and proof
 * loads in N, quoted from the reprints by Optimas and SLS Bearings, which agree.
 */
const ISO_898_1 = [
  { size: 'M4', printedAs: 8.78, '8.8': 5_100, '10.9': 7_290, '12.9': 8_520 },
  { size: 'M5', printedAs: 14.2, '8.8': 8_230, '10.9': 11_800, '12.9': 13_800 },
  { size: 'M6', printedAs: 20.1, '8.8': 11_600, '10.9': 16_700, '12.9': 19_500 },
  { size: 'M8', printedAs: 36.6, '8.8': 21_200, '10.9': 30_400, '12.9': 35_500 },
  { size: 'M10', printedAs: 58.0, '8.8': 33_700, '10.9': 48_100, '12.9': 56_300 },
] as const;

/** Nominal proof stress in MPa up to M16: ISO 898-1, Table 3 (quoted). */
const PROOF_STRESS_MPA = { '8.8': 580, '10.9': 830, '12.9': 970 } as const;

describe('fasteners as published (C4, R5)', () => {
  it.each(ISO_898_1)('$size has the stress area printed in ISO 898-1', ({ size, printedAs }) => {
    expect(Number(stressAreaMm2(size).toPrecision(3))).toBe(printedAs);
  });

  it.each([
    ['M4', 8.779],
    ['M5', 14.18],
    ['M6', 20.12],
    ['M8', 36.61],
    ['M10', 57.99],
  ] as const)('%s has stress area %d mm² (ISO 898-1 clause 9, from memory)', (size, areaMm2) => {
    expect(Number(stressAreaMm2(size).toPrecision(4))).toBe(areaMm2);
  });

  it.each(ISO_898_1)('$size carries the proof loads printed in ISO 898-1', (row) => {
    for (const propertyClass of ['8.8', '10.9', '12.9'] as const) {
      const limit = loadLimit(row.size, propertyClass);
      expect(limit).toEqual({ newtons: row[propertyClass], name: 'proof load' });
      // The print rounds: within 0.7 % of stress area times proof stress, no nearer.
      const computedN = stressAreaMm2(row.size) * PROOF_STRESS_MPA[propertyClass];
      expect(Math.abs(limit.newtons / computedN - 1)).toBeLessThan(0.007);
    }
  });

  it.each([
    ['M4', 'A2-70', 3.95],
    ['M5', 'A2-70', 6.39],
    ['M6', 'A2-70', 9.05],
    ['M8', 'A2-70', 16.47],
    ['M10', 'A2-70', 26.1],
    ['M4', 'A4-80', 5.27],
    ['M5', 'A4-80', 8.52],
    ['M6', 'A4-80', 12.06],
    ['M8', 'A4-80', 21.96],
    ['M10', 'A4-80', 34.8],
  ] as const)(
    '%s %s has a 0.2 %% load of %d kN (computed from printed areas and ISO 3506-1:2020, Rp0.2 quoted)',
    (size, propertyClass, kilonewtons) => {
      const limit = loadLimit(size, propertyClass);
      expect(limit.name).toBe('0.2 % load');
      expect(Math.abs(limit.newtons / (1000 * kilonewtons) - 1)).toBeLessThan(0.002);
    },
  );

  it.each([
    ['50', 210],
    ['70', 450],
    ['80', 600],
  ] as const)(
    'stainless class %s yields at %d MPa in A2 and A4 alike (ISO 3506-1:2020, reprinted by Torqbolt)',
    (strength, megapascals) => {
      for (const grade of ['A2', 'A4'] as const) {
        const { newtons } = loadLimit('M6', `${grade}-${strength}`);
        expect(newtons / stressAreaMm2('M6')).toBeCloseTo(megapascals, 9);
      }
    },
  );
});

const MM_PER_INCH = 25.4;
const N_PER_POUND_FORCE = 4.4482216152605;
const poundForces = (torque: number, unit: 'lbf.in' | 'lbf.ft', k: number, inches: number) =>
  clampLoadN(toNewtonMetres(torque, unit), k, inches * MM_PER_INCH) / N_PER_POUND_FORCE;

describe('clamp loads as published (C4)', () => {
  it("Shigley's Mechanical Engineering Design, 9th ed., Example 8–3: 3 750 lbf·in on ¾ in at K 0.2 clamps 25 kip", () => {
    expect(poundForces(3_750, 'lbf.in', 0.2, 0.75)).toBeCloseTo(25_000, 6);
    expect(toNewtonMetres(3_750, 'lbf.in')).toBeCloseTo(423.69, 2);
    expect((25_000 / 0.373 / 1_000).toFixed(2)).toBe('67.02');
  });

  it.each([
    [0.2, 27_429],
    [0.15, 36_571],
  ])(
    'Security Locknut, "Tension testing": 400 lbf·ft on 7/8 in at K %d clamps %d lbf',
    (k, printed) => {
      expect(Math.round(poundForces(400, 'lbf.ft', k, 7 / 8))).toBe(printed);
    },
  );

  it.each([
    [0.2, 30.875],
    [0.15, 23.15625],
  ])(
    'Mobiletech Engineering 2020: at K %d a 3/8 in screw reaches 4 940 lbf with %d lbf·ft (30 and 23 in print)',
    (k, torque) => {
      expect(poundForces(torque, 'lbf.ft', k, 3 / 8)).toBeCloseTo(4_940, 6);
    },
  );

  it.each([
    ['M12 with 82.14 N·m at K 0.2: 34 kN', 82.14, 12, 34],
    ['M10 with 50 N·m at K 0.2: 25 kN', 50, 10, 25],
  ])('public calculators, worked example: %s', (_example, torqueNm, diameterMm, kilonewtons) => {
    expect(Math.round(clampLoadN(torqueNm, 0.2, diameterMm) / 1_000)).toBe(kilonewtons);
  });

  it('M10 at 25 kN carries 431 MPa, 74.2 % of the printed proof load of class 8.8', () => {
    const loadN = clampLoadN(50, 0.2, 10);
    expect(Math.round(loadN / stressAreaMm2('M10'))).toBe(431);
    expect(((100 * loadN) / loadLimit('M10', '8.8').newtons).toFixed(1)).toBe('74.2');
  });

  it('M6 8.8 (computed from the rows above): 100 lbf·in is 81 % of proof, 100 N·m is 718 %', () => {
    const percent = (torqueNm: number) =>
      Math.round((100 * clampLoadN(torqueNm, 0.2, 6)) / loadLimit('M6', '8.8').newtons);
    expect(percent(toNewtonMetres(100, 'lbf.in'))).toBe(81);
    expect(percent(100)).toBe(718);
  });
});

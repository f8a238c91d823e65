import { describe, expect, it } from 'vitest';
import {
  fibreMassFraction,
  fibreVolumeFraction,
  laminateDensityGcm3,
  laminateThicknessMm,
} from '../../src/domain/laminate.ts';

const NOTES = 'course notes "Fibre volume fraction and laminate thickness"';

describe('laminates as published (C2)', () => {
  it('a ply of 225 g/m² whole, W_f 0.6778, ρ 1.79 and 1.25: 0.143 mm (compositecalculator, prepreg layer thickness)', () => {
    const volumeFraction = fibreVolumeFraction(0.6778, 1.79, 1.25);
    const thicknessMm = laminateThicknessMm({
      layers: 1,
      arealDensityGm2: 225 * 0.6778,
      fibreDensityGcm3: 1.79,
      fibreVolumeFraction: volumeFraction,
    });
    expect(thicknessMm.toFixed(3)).toBe('0.143');
    // Computed by hand from the same inputs.
    expect(thicknessMm.toFixed(5)).toBe('0.14319');
    expect(volumeFraction.toFixed(4)).toBe('0.5950');
    expect((225 * 0.6778).toFixed(1)).toBe('152.5');
  });

  it('V_f 0.58, ρ 1.79 and 1.25: W_f 0.66415 (compositecalculator, fibre mass fraction, prints 0.665)', () => {
    const massFraction = fibreMassFraction(0.58, 1.79, 1.25);
    expect(massFraction.toFixed(5)).toBe('0.66415');
    expect(Math.ceil(1_000 * massFraction) / 1_000).toBe(0.665);
    expect(fibreVolumeFraction(massFraction, 1.79, 1.25)).toBeCloseTo(0.58, 14);
  });

  it(`2 layers of 450 g/m² glass mat, resin to glass 2:1: V_f 0.190, 1.85 mm (${NOTES}; question theirs, answer computed by hand)`, () => {
    const volumeFraction = fibreVolumeFraction(1 / 3, 2.56, 1.2);
    expect(volumeFraction.toFixed(3)).toBe('0.190');
    const mat = { layers: 2, arealDensityGm2: 450, fibreDensityGcm3: 2.56 };
    const thicknessMm = laminateThicknessMm({ ...mat, fibreVolumeFraction: volumeFraction });
    expect(thicknessMm.toFixed(2)).toBe('1.85');
  });

  it(`3 layers of 800 g/m² roving pressed to 2 mm: V_f 0.469 (${NOTES}; figures of the question from memory, answer computed by hand)`, () => {
    const roving = { layers: 3, arealDensityGm2: 800, fibreDensityGcm3: 2.56 };
    expect(laminateThicknessMm({ ...roving, fibreVolumeFraction: 0.46875 })).toBeCloseTo(2, 12);
  });

  it('method II of ASTM D3171 (from memory), V_r % = 0.1·A_r·N/(ρ_r·h), is the same', () => {
    const ply = {
      layers: 8,
      arealDensityGm2: 190,
      fibreDensityGcm3: 1.79,
      fibreVolumeFraction: 0.52,
    };
    const percent = (0.1 * 190 * 8) / (1.79 * laminateThicknessMm(ply));
    expect(percent).toBeCloseTo(52, 10);
  });

  it('density by the rule of mixtures is what mass and volume give (closed form)', () => {
    const density = laminateDensityGcm3(0.58, 1.79, 1.25);
    expect(density).toBeCloseTo(1.5632, 10);
    // A gram of laminate: fibre by its fraction, resin by the rest.
    const massFraction = fibreMassFraction(0.58, 1.79, 1.25);
    expect(1 / (massFraction / 1.79 + (1 - massFraction) / 1.25)).toBeCloseTo(density, 12);
  });

  it.each([
    ['wet hand lay-up', 0.3, 0.4],
    ['bagged wet', 0.45, 0.55],
    ['infusion', 0.5, 0.6],
  ])(
    '%s: V_f %d to %d (toolcroze, laminate calculator, a trade page) turned into mass and back',
    (_process, from, to) => {
      for (const volumeFraction of [from, to]) {
        const massFraction = fibreMassFraction(volumeFraction, 1.8, 1.15);
        expect(massFraction).toBeGreaterThan(volumeFraction);
        expect(fibreVolumeFraction(massFraction, 1.8, 1.15)).toBeCloseTo(volumeFraction, 14);
      }
    },
  );
});

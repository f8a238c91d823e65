/** Units of length and mass against figures that others have published. */
import { unit } from 'mathjs';
import { describe, expect, it } from 'vitest';
import {
  fromKilograms,
  fromMillimetres,
  LENGTH_UNITS,
  MASS_UNITS,
  smallUnit,
  toKilograms,
  toMillimetres,
} from '../../src/domain/units.ts';

describe('units of length and mass as published', () => {
  it('has NIST SP 811 (2008), Appendix B.8: 1 in is 2.54 E-02 m, 1 lb is 4.535 924 E-01 kg', () => {
    expect(toMillimetres(1, 'in')).toBe(25.4);
    // Printed to seven digits there; the exact figure is that of its footnote 22.
    expect(toKilograms(1, 'lb').toExponential(6)).toBe('4.535924e-1');
    expect(toKilograms(1, 'lb')).toBe(0.45359237);
    expect(toMillimetres(1, 'cm')).toBe(10);
  });

  it.each(LENGTH_UNITS)('%s agrees with npm mathjs', (shown) => {
    const name = shown === 'in' ? 'inch' : shown;
    for (const value of [1, 0.25, 17.5, 463]) {
      expect(toMillimetres(value, shown)).toBeCloseTo(unit(value, name).toNumber('mm'), 9);
      expect(fromMillimetres(value, shown)).toBeCloseTo(unit(value, 'mm').toNumber(name), 9);
    }
  });

  it.each(MASS_UNITS)('%s agrees with npm mathjs', (shown) => {
    for (const value of [1, 82.5, 180, 250]) {
      expect(toKilograms(value, shown)).toBeCloseTo(unit(value, shown).toNumber('kg'), 9);
      expect(fromKilograms(value, shown)).toBeCloseTo(unit(value, 'kg').toNumber(shown), 9);
    }
  });

  it('keeps small things in millimetres where lengths are metric', () => {
    expect(LENGTH_UNITS.map(smallUnit)).toEqual(['mm', 'mm', 'in']);
  });
});

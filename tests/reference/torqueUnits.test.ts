import { unit } from 'mathjs';
import { describe, expect, it } from 'vitest';
import { fromNewtonMetres, toNewtonMetres } from '../../src/domain/torqueUnits.ts';

describe('torque units as published (C4)', () => {
  it.each([
    ['lbf.in', '1.129848e-1', 'NIST SP 811 (2008), App. B.8, quoted in R package NISTunits'],
    ['lbf.ft', '1.355818e+0', 'NIST SP 811 (2008), App. B.8, quoted in R package NISTunits'],
  ] as const)('1 %s is %s N·m to the seven digits printed (%s)', (typed, printed, _source) => {
    expect(toNewtonMetres(1, typed).toExponential(6)).toBe(printed);
  });

  it.each([
    ['lbf.in', 'lbf in'],
    ['lbf.ft', 'lbf ft'],
  ] as const)('%s agrees with npm mathjs to fifteen digits', (typed, mathjsUnit) => {
    for (const value of [1, 100, 0.37, 133.5]) {
      const outside = unit(value, mathjsUnit).toNumber('N m');
      expect(Math.abs(toNewtonMetres(value, typed) / outside - 1)).toBeLessThan(1e-15);
      const back = unit(value, 'N m').toNumber(mathjsUnit);
      expect(Math.abs(fromNewtonMetres(value, typed) / back - 1)).toBeLessThan(1e-15);
    }
  });

  it('the factors are the products of exact definitions (NIST SP 811: lb, standard gravity, in, ft)', () => {
    // In whole numbers: lb 0.45359237 kg × 9.80665 m/s² × 0.0254 m and × 0.3048 m.
    const poundForce = 45_359_237n * 980_665n;
    expect(`0.${String(poundForce * 254n).padStart(17, '0')}`).toBe('0.11298482902761670');
    expect(toNewtonMetres(1, 'lbf.in')).toBe(0.1129848290276167);
    const perFoot = String(poundForce * 3_048n);
    expect(`${perFoot.slice(0, -17)}.${perFoot.slice(-17)}`).toBe('1.35581794833140040');
    expect(toNewtonMetres(1, 'lbf.ft')).toBe(1.3558179483314004);
  });
});

import fc from 'fast-check';
import { expect, it } from 'vitest';
import { fromNewtonMetres, toNewtonMetres } from '../../src/domain/torqueUnits.ts';
import { TORQUE_UNITS } from '../../src/domain/words.ts';

it('a torque goes to newton-metres and back unchanged, in every unit (C4)', () => {
  fc.assert(
    fc.property(
      fc.double({ min: 1e-3, max: 1e4, noNaN: true }),
      fc.constantFrom(...TORQUE_UNITS),
      (value, unit) => {
        const back = fromNewtonMetres(toNewtonMetres(value, unit), unit);
        expect(Math.abs(back - value)).toBeLessThanOrEqual(value * 4 * Number.EPSILON);
      },
    ),
  );
});

it('twelve pound-inches are one pound-foot', () => {
  expect(toNewtonMetres(12, 'lbf.in')).toBeCloseTo(toNewtonMetres(1, 'lbf.ft'), 14);
});

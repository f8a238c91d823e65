import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { questionBodyMass } from '../../src/domain/bodyMass.ts';
import { addDays, type Day } from '../../src/domain/days.ts';

const today = '2026-03-02' as Day;
const codes = (
  massKg: number,
  measuredOn: string,
  before: { massKg: number; measuredOn: string } | null,
  confirmed = false,
) =>
  questionBodyMass(
    { massKg, measuredOn: measuredOn as Day },
    { before: before && { ...before, measuredOn: before.measuredOn as Day }, today, confirmed },
  ).map(({ code }) => code);

describe('a body mass as entered (R3)', () => {
  const before = { massKg: 100, measuredOn: '2026-01-01' };

  test.each([
    ['20 % more on the sixtieth day is taken', 120, '2026-03-02', []],
    ['more than that is questioned', 120.1, '2026-03-02', ['body-mass-implausible']],
    ['so is a fifth less and a little', 79.9, '2026-02-01', ['body-mass-implausible']],
    ['pounds for kilograms are caught', 220, '2026-02-01', ['body-mass-implausible']],
  ])('%s', (_title, massKg, on, expected) => {
    expect(codes(massKg, on, before)).toEqual(expected);
  });

  test('after more than sixty days nobody asks', () => {
    expect(codes(150, '2026-03-02', { massKg: 100, measuredOn: '2025-12-31' })).toEqual([]);
  });

  test('one of an earlier day, entered late, is not measured against a later one', () => {
    expect(codes(150, '2026-02-01', { massKg: 100, measuredOn: '2026-02-02' })).toEqual([]);
    expect(codes(150, '2026-02-02', { massKg: 100, measuredOn: '2026-02-02' })).toEqual([
      'body-mass-implausible',
    ]);
  });

  test('the first one is taken as it is', () => {
    expect(codes(150, '2026-03-02', null)).toEqual([]);
  });

  test('tomorrow is refused, confirmed or not', () => {
    expect(codes(100, '2026-03-03', null, true)).toEqual(['day-in-future']);
  });

  test('a confirmed one of the past is never refused', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 2, max: 350, noNaN: true }),
        fc.nat({ max: 4000 }),
        (massKg, days) => {
          expect(codes(massKg, addDays(today, -days), before, true)).toEqual([]);
        },
      ),
    );
  });
});

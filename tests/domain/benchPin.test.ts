import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { PIN_HOURS, pinGoodUntil, whyEasy } from '../../src/domain/benchPin.ts';

const six = (number: number): string => String(number).padStart(6, '0');
const figure = fc.integer({ min: 0, max: 9 });

describe('A short PIN', () => {
  test.each([
    ['111111', 'too few different figures'],
    ['121212', 'too few different figures'],
    ['100010', 'too few different figures'],
    ['123456', 'figures in a row'],
    ['654321', 'figures in a row'],
    ['890123', 'figures in a row'],
    ['246802', 'figures in a row'],
    ['591234', 'figures in a row'],
    ['843219', 'figures in a row'],
    ['500008', 'figures in a row'],
    ['482482', 'a part repeated'],
    ['772299', 'figures in pairs'],
    ['198407', 'a year or a day'],
    ['071984', 'a year or a day'],
    ['620125', 'a year or a day'],
    ['310585', 'a year or a day'],
    ['123185', 'a year or a day'],
    ['850531', 'a year or a day'],
  ])('%s is refused: %s', (pin, why) => {
    expect(whyEasy(pin)).toBe(why);
  });

  test.each(['739152', '405938', '817406', '960473'])('%s will do', (pin) => {
    expect(whyEasy(pin)).toBeUndefined();
  });

  test('no even row passes, forwards, backwards or in leaps, round the ten', () => {
    fc.assert(
      fc.property(figure, figure, (first, step) => {
        const row = Array.from({ length: 6 }, (_, at) => (first + at * step) % 10);
        expect(whyEasy(row.join(''))).toBeDefined();
      }),
    );
  });

  test('no year of somebody’s birth passes, wherever it stands', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1900, max: 2099 }),
        fc.integer({ min: 0, max: 99 }),
        fc.integer({ min: 0, max: 2 }),
        (year, rest, at) => {
          const beside = String(rest).padStart(2, '0');
          expect(whyEasy(beside.slice(0, at) + String(year) + beside.slice(at))).toBeDefined();
        },
      ),
    );
  });

  test('four of five are left to choose from (counted over all: 854,927 of a million)', () => {
    const sample = Array.from({ length: 9_900 }, (_, at) => six(at * 101));
    const left = sample.filter((pin) => whyEasy(pin) === undefined).length;
    expect(left / sample.length).toBeGreaterThan(0.8);
  });

  test('is good for the hours that the clinic says, and never for more than a day', () => {
    const began = new Date('2026-03-02T06:00:00Z');
    expect(pinGoodUntil(began, PIN_HOURS.starting)).toEqual(new Date('2026-03-02T18:00:00Z'));
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1000 }), (hours) => {
        const goodMs = pinGoodUntil(began, hours).getTime() - began.getTime();
        expect(goodMs).toBeLessThanOrEqual(24 * 3_600_000);
        expect(goodMs).toBeLessThanOrEqual(hours * 3_600_000);
      }),
    );
  });
});

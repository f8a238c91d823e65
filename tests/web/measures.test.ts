/** Measures while they are typed: the unit changes what is written, never what is meant. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { LENGTH_UNITS } from '../../src/domain/units.ts';
import { inUnit, isNoNumber, typed, written } from '../../src/web/fitting/lengths.ts';
import {
  judgeTable,
  oneMore,
  refusedRows,
  rowsAt,
  rowsIn,
  type Row,
} from '../../src/web/fitting/measureRows.ts';

const UNITS = LENGTH_UNITS;
const NO_NUMBER = 'no number';

/** Rows as they are typed in centimetres, from the distal end up. */
const rowsOf = (...pairs: readonly (readonly [height: string, around: string])[]): Row[] =>
  pairs.map(([height, around], key) => ({
    key,
    height: typed(height, 'cm'),
    around: typed(around, 'cm'),
  }));
const judged = (rows: readonly Row[], lengthMm: number | null = 165) =>
  judgeTable('trans_tibial', lengthMm, null, rows, NO_NUMBER);

describe('a length as it is typed', () => {
  test.each([
    ['23.2', 'cm', 232],
    ['23,2', 'cm', 232],
    [' 9.1 ', 'in', 231.14],
    ['268', 'mm', 268],
    ['0', 'mm', 0],
  ] as const)('%s in %s is %d mm', (text, unit, mm) => {
    expect(typed(text, unit)).toEqual({ text, mm });
  });

  test.each(['', ' '])('nothing is no length and no slip', (text) => {
    expect(typed(text, 'mm').mm).toBeNull();
    expect(isNoNumber(typed(text, 'mm'))).toBe(false);
  });

  test.each(['23..2', '2 3', 'l2', '1e999', 'Infinity'])('%s is a slip of the keys', (text) => {
    expect(isNoNumber(typed(text, 'mm'))).toBe(true);
  });

  test('turned to any units, however often, it means the same millimetres', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 12_000 }),
        fc.array(fc.constantFrom(...UNITS)),
        (tenths, turns) => {
          const cell = written(tenths / 10, 'mm');
          expect(turns.reduce(inUnit, cell).mm).toBe(tenths / 10);
        },
      ),
    );
  });
});

describe('a table as it is typed', () => {
  test('rows without a circumference are not sent', () => {
    const rows = rowsOf(['0', '23.2'], ['4', '26.8'], ['8', ''], ['12', '32.1']);
    expect(judged(rows).measures).toEqual([
      { heightMm: 0, circumferenceMm: 232 },
      { heightMm: 40, circumferenceMm: 268 },
      { heightMm: 120, circumferenceMm: 321 },
    ]);
  });

  test('the question stands at the row that was typed, also below one that was not', () => {
    const rows = rowsOf(['0', '23.2'], ['4', ''], ['8', '29.7'], ['6', '28.0']);
    expect([...judged(rows).against.keys()]).toEqual([3]);
    expect(judged(rows).against.get(3)).toMatch(/not above the one before/);
  });

  test('what is no number is said at its row, and the limb is drawn from the others', () => {
    const rows = rowsOf(['0', '23.2'], ['4', '26.8'], ['8', '2g.7'], ['12', '32.1']);
    const { against, geometry } = judged(rows);
    expect([...against]).toEqual([[2, NO_NUMBER]]);
    expect(geometry?.toMm).toBe(120);
  });

  test('a row that makes no solid is left out of the drawing, not of the table', () => {
    const rows = rowsOf(['0', '23.2'], ['4', '26.8'], ['4', '29.7'], ['12', '32.1']);
    const { measures, geometry } = judged(rows);
    expect(measures).toHaveLength(4);
    expect(geometry?.toMm).toBe(120);
  });

  test('the length is questioned once it is typed', () => {
    const rows = rowsOf(['0', '23.2'], ['4', '26.8'], ['8', '29.7']);
    expect(judged(rows, null).againstLength).toBeUndefined();
    expect(judged(rows, 16.5).againstLength).toMatch(/16\.5/);
  });

  test('what the service had against a row that was sent is found again among those typed', () => {
    const rows = rowsOf(['0', '23.2'], ['4', ''], ['8', '29.7']);
    const against = (pointer: string) =>
      pointer === '/measures/1/circumferenceMm' ? 'too wide' : undefined;
    expect([...refusedRows(rows, against)]).toEqual([[2, 'too wide']]);
  });

  test('one more height is as far up as the last was from the one before, in any unit', () => {
    const rows = rowsIn(rowsAt([0, 30, 60], 'mm'), 'in');
    expect(oneMore(rows, 'in').at(-1)).toMatchObject({ key: 3, height: { mm: 90, text: '3.54' } });
  });
});

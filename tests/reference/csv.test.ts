/**
 * CSV against RFC 4180, section 2 and its grammar, read back by a reader that did not
 * write it (csv-parse), and against the spreadsheet formulas of OWASP's page "CSV
 * Injection" (from memory).
 */
import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { writeCsv } from '../../src/features/trace/csv.ts';

const read = (text: string): string[][] => parse(text, { record_delimiter: '\r\n' });

describe('CSV as RFC 4180 has it', () => {
  // The RFC's own examples by their points, less the quotes that point 5 lets a writer leave out.
  test.each([
    ['1, 2', ['aaa', 'bbb', 'ccc'], ['zzz', 'yyy', 'xxx'], 'aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n'],
    [
      '3',
      ['field_name', 'field_name', 'field_name'],
      ['aaa', 'bbb', 'ccc'],
      'field_name,field_name,field_name\r\naaa,bbb,ccc\r\n',
    ],
    ['6', ['aaa', 'b\r\nbb', 'ccc'], ['zzz', 'yyy', 'xxx'], 'aaa,"b\r\nbb",ccc\r\nzzz,yyy,xxx\r\n'],
    ['7', ['aaa', 'b"bb', 'ccc'], ['zzz', 'yyy', 'xxx'], 'aaa,"b""bb",ccc\r\nzzz,yyy,xxx\r\n'],
  ])('section 2, point %s', (_point, header, line, expected) => {
    expect(writeCsv(header, [line])).toBe(expected);
    expect(read(expected)).toEqual([header, line]);
  });

  test('has no byte order mark, and letters beyond ASCII as they are', () => {
    const text = writeCsv(['who'], [['Čapek, Ľubomír']]);
    expect(text).toBe('who\r\n"Čapek, Ľubomír"\r\n');
  });

  test('comes back from a foreign reader as it was, whatever the text', () => {
    const harmless = fc
      .string({ unit: 'binary', maxLength: 30 })
      .filter((text) => !/^[=+\-@\t\r\uFF1D\uFF0B\uFF0D\uFF20\uFEFF]/.test(text));
    const line = fc.array(harmless, { minLength: 3, maxLength: 3 });
    fc.assert(
      fc.property(fc.array(line, { maxLength: 5 }), (lines) => {
        const header = ['a', 'b', 'c'];
        expect(read(writeCsv(header, lines))).toEqual([header, ...lines]);
      }),
    );
  });
});

describe('cells that a spreadsheet would run', () => {
  test.each(['=1+2', '+1+2', '-1+2', '@SUM(A1)', '\t=1+2', '\r=1+2', '=cmd|" /C calc"!A0'])(
    '%j has an apostrophe in front',
    (cell) => {
      expect(read(writeCsv(['what'], [[cell]]))).toEqual([['what'], [`'${cell}`]]);
    },
  );

  test('numbers keep their sign, and empty cells stay empty', () => {
    expect(writeCsv(['a', 'b', 'c'], [[-4.5, null, true]])).toBe('a,b,c\r\n-4.5,,yes\r\n');
  });
});

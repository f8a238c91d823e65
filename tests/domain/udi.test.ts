import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { carrierDate, dayOfYear, yearMeant } from '../../src/domain/carrierDates.ts';
import {
  gs1CheckDigit,
  hasGs1CheckDigit,
  readGs1Elements,
  writeBracketed,
  writeElementString,
  type Gs1Element,
} from '../../src/domain/gs1.ts';
import { readUdi, type UdiReading } from '../../src/domain/udi.ts';
import { day, refusalCodes } from '../support/limbs.ts';

const TODAY = day('2026-11-02');
const GS = '\u001d';
const GTIN = '51022222233336';

const read = (scans: string | readonly string[], more: Partial<UdiReading> = {}) =>
  readUdi({ scans: typeof scans === 'string' ? [scans] : scans, today: TODAY, ...more });
const refusals = (scans: string | readonly string[]) => refusalCodes(read(scans));

const PIECE = {
  issuer: 'GS1',
  deviceIdentifier: GTIN,
  lot: 'A213B1',
  serial: '1234',
  expiresOn: '2027-03-31',
  madeOn: '2026-01-15',
  monthOnly: [],
  quantity: null,
  additionalIdentification: null,
  others: [],
};
const SCANNED = `01${GTIN}112601151727033110A213B1${GS}211234`;

describe('a lock received by scanning its GS1 label (C9)', () => {
  it.each([
    ['the scanner hands on the symbology identifier', `]d2${SCANNED}`],
    ['GS1-128', `]C1${SCANNED}`],
    ['GS1 QR code', `]Q3${SCANNED}`],
    ['FNC1 in front is handed on', `${GS}${SCANNED}`],
    ['no FNC1 in front, a line end behind', `${SCANNED}\r\n`],
    ['FNC1 written as ^', `^${SCANNED.replace(GS, '^')}`],
    ['FNC1 written as {GS}', SCANNED.replace(GS, '{GS}')],
    [
      'separators where none are needed',
      `01${GTIN}${GS}11260115${GS}17270331${GS}10A213B1${GS}211234${GS}`,
    ],
    ['typed with brackets', `(01)${GTIN}(11)260115(17)270331(10)A213B1(21)1234`],
    [
      'typed with brackets and blanks between',
      ` (01) ${GTIN} (11) 260115 (17) 270331 (10) A213B1 (21) 1234 `,
    ],
    [
      'a Digital Link in a plain QR code',
      `]Q1https://id.example.org/01/${GTIN}/10/A213B1/21/1234?17=270331&11=260115`,
    ],
    [
      'a Digital Link below other folders, with keys for the resolver',
      `https://example.org/a/b/01/${GTIN}/10/A213B1/21/1234/?linkType=x;17=270331;11=260115#top`,
    ],
  ])('%s', (_how, scan) => {
    expect(read(scan)).toMatchObject({ ok: true, value: { ...PIECE, raw: [scan] } });
  });

  it('says only what the label says', () => {
    expect(read(`01${GTIN}`)).toMatchObject({
      ok: true,
      value: { ...PIECE, lot: null, serial: null, expiresOn: null, madeOn: null },
    });
  });

  it('counts the pieces of a package, keeps the maker’s own number and what else stands there', () => {
    expect(read(`(01)${GTIN}(30)25(240)PL-4(20)07(91)x(250)S/2`)).toMatchObject({
      ok: true,
      value: {
        quantity: 25,
        additionalIdentification: 'PL-4',
        others: [
          { ai: '20', value: '07' },
          { ai: '91', value: 'x' },
          { ai: '250', value: 'S/2' },
        ],
      },
    });
  });

  it('puts two codes of one label together, in any order', () => {
    const [device, details] = [`]C101${GTIN}`, `]C117270331112601152112${GS}10A213B1`];
    const one = read([device, details]);
    expect(one).toMatchObject({ ok: true, value: { deviceIdentifier: GTIN, serial: '12' } });
    expect(read([details, device])).toMatchObject({ ok: true, value: { lot: 'A213B1' } });
  });

  it('takes the last day of the month where the label leaves the day open, and says so', () => {
    expect(read(`01${GTIN}1728020011261100`)).toMatchObject({
      ok: true,
      value: {
        expiresOn: '2028-02-29',
        madeOn: '2026-11-30',
        monthOnly: ['expiresOn', 'madeOn'],
      },
    });
  });

  it('an address may be of the plain sort, and carry keys that only look like elements', () => {
    const address = `http://a.org/01/${GTIN}?x17=270331&17x=270331&240=A=B`;
    for (const scan of [address, `]Q1${address}`]) {
      expect(read(scan)).toMatchObject({
        ok: true,
        value: { deviceIdentifier: GTIN, expiresOn: null, additionalIdentification: 'A=B' },
      });
    }
  });

  it('an address inside an element is no address', () => {
    expect(read(`(01)${GTIN}(91)https://a.org/`)).toMatchObject({
      ok: true,
      value: { others: [{ ai: '91', value: 'https://a.org/' }] },
    });
  });

  it('a bracket inside a lot is written with a backslash', () => {
    expect(read(`(01)${GTIN}(10)A\\(21)B`)).toMatchObject({ ok: true, value: { lot: 'A(21)B' } });
  });
});

describe('a GS1 label that cannot be read for certain (C9)', () => {
  it('a wrong check digit is told with the right one', () => {
    expect(read(`01${GTIN.slice(0, -1)}5`)).toMatchObject({
      reasons: [{ code: 'udi-check-wrong', facts: { found: '5', expected: '6' } }],
    });
  });

  it.each([
    ['an element that is not known', `01${GTIN}8817`, 'udi-element-unknown'],
    ['best before, which is not expiry', `01${GTIN}15270331`, 'udi-element-unknown'],
    ['an unknown element with brackets', `(01)${GTIN}(15)270331`, 'udi-element-unknown'],
    [
      'an unknown element in an address',
      `https://a.org/01/${GTIN}?15=270331`,
      'udi-element-unknown',
    ],
    ['30 February', `01${GTIN}17270230`, 'udi-date-impossible'],
    ['month 13', `01${GTIN}17271301`, 'udi-date-impossible'],
    ['month 0', `01${GTIN}17270000`, 'udi-date-impossible'],
    ['a device identifier cut short', `01${GTIN.slice(0, 9)}`, 'udi-element-malformed'],
    ['a letter in the device identifier', `0151022222X33336`, 'udi-element-malformed'],
    ['a lot of 21 characters', `(01)${GTIN}(10)${'A'.repeat(21)}`, 'udi-element-malformed'],
    ['a blank inside a lot', `(01)${GTIN}(10)A B`, 'udi-element-malformed'],
    ['a lot without a character', `(01)${GTIN}(10)`, 'udi-element-malformed'],
    ['a count of nothing', `(01)${GTIN}(30)0`, 'udi-element-malformed'],
    ['a bracket that opens nothing', `(01)${GTIN}(10)A(B`, 'udi-element-malformed'],
    [
      'a percent that stands for nothing',
      `https://a.org/01/${GTIN}/10/A%E0%A4`,
      'udi-element-malformed',
    ],
    [
      'a plus in an address’s query, which means a blank',
      `https://a.org/01/${GTIN}?240=A+B`,
      'udi-element-malformed',
    ],
    [
      'a percent that stands for nothing, in an element not known',
      `https://a.org/01/${GTIN}?7=%E0`,
      'udi-element-malformed',
    ],
    ['an address of no device', 'https://a.org/10/A213B1', 'udi-not-recognised'],
    ['an address without a path', 'https://a.org', 'udi-not-recognised'],
    ['no address at all', 'https://', 'udi-not-recognised'],
    [
      'an address with qualifiers out of order',
      `https://a.org/01/${GTIN}/21/1/10/A`,
      'udi-not-recognised',
    ],
    ['an address with half a pair', `https://a.org/01/${GTIN}/10`, 'udi-not-recognised'],
    [
      'lot and serial without the device',
      `17270331211234${GS}10A`,
      'udi-device-identifier-missing',
    ],
    ['nothing behind the symbology identifier', ']d2', 'udi-device-identifier-missing'],
    ['two devices', `(01)${GTIN}(01)00000000000017`, 'udi-says-two-things'],
    ['a blank and a symbology identifier', ' ]d2', 'udi-device-identifier-missing'],
    ['one figure and a letter', '4X', 'udi-not-recognised'],
    [
      'an address that names a lot twice',
      `https://a.org/01/${GTIN}/10/A/10/A`,
      'udi-not-recognised',
    ],
  ])('%s', (_what, scan, code) => {
    expect(refusals(scan)).toEqual([code]);
  });

  const LONG = 'x'.repeat(80);
  it.each<[string, string, Readonly<Record<string, string>>]>([
    ['where it stops being read', `01${GTIN}88170000`, { element: '8817', issuer: 'GS1' }],
    ['an element not known', `(01)${GTIN}(15)270331`, { element: '15', issuer: 'GS1' }],
    [
      'how long it must be',
      `01${GTIN.slice(0, 9)}`,
      { value: GTIN.slice(0, 9), why: 'has 9 characters; 14 are allowed' },
    ],
    [
      'how long it may be',
      `(01)${GTIN}(10)${'A'.repeat(21)}`,
      { why: 'has 21 characters; 1 to 20 are allowed' },
    ],
    ['a lot that is not there', `01${GTIN}10${GS}211234`, { value: '' }],
    ['the bracket', `(01)${GTIN}(10)A(${LONG}`, { value: `(${LONG.slice(0, 59)}` }],
    [
      'an address, not all of it',
      `https://a.org/${LONG}`,
      { scanned: `https://a.org/${LONG.slice(0, 46)}` },
    ],
    [
      'a percent',
      `https://a.org/01/${GTIN}?7=%E0${LONG}`,
      { element: '(7)', value: `%E0${LONG.slice(0, 57)}` },
    ],
  ])('tells %s', (_what, scan, facts) => {
    expect(read(scan)).toMatchObject({ ok: false, reasons: [{ facts }] });
  });

  it('a code without the device tells what it carries', () => {
    const carried = (scan: string) => {
      const verdict = read(scan);
      return verdict.ok ? null : verdict.reasons.map(({ facts }) => facts);
    };
    expect(carried(`17270331211234${GS}10A`)).toEqual([
      { issuer: 'GS1', carried: 'expiry date (17), serial number (21), lot (10)' },
    ]);
    expect(carried(']d2')).toEqual([{ issuer: 'GS1', carried: 'nothing' }]);
  });

  it('tells every element that is wrong', () => {
    expect(refusals(`(01)${GTIN.slice(0, -1)}0(17)271301(10)A B`)).toEqual([
      'udi-check-wrong',
      'udi-date-impossible',
      'udi-element-malformed',
    ]);
  });

  it('the same element twice is no contradiction where it says the same', () => {
    expect(read([`01${GTIN}`, `01${GTIN}17270331`])).toMatchObject({ ok: true });
    expect(read([`01${GTIN}17270331`, '17270330'])).toMatchObject({
      ok: false,
      reasons: [
        {
          code: 'udi-says-two-things',
          facts: { element: 'expiry date (17)', values: ['270331', '270330'] },
        },
      ],
    });
  });
});

describe('a keyboard scanner that drops the separator (C9)', () => {
  const lost = SCANNED.replace(GS, '');

  it('is not guessed at: the lot may end anywhere', () => {
    expect(read(lost)).toMatchObject({
      ok: false,
      reasons: [
        {
          code: 'udi-cannot-be-told-apart',
          facts: {
            value: '(10)A213B1211234',
            readings: ['(10)A213B1211234', '(10)A(21)3B1211234', '(10)A213B1(21)1234'],
          },
        },
      ],
    });
  });

  it('the symbology identifier proves nothing about separators', () => {
    expect(refusals(`]d2${lost}`)).toEqual(['udi-cannot-be-told-apart']);
  });

  it('is read where the reader is known to hand separators on, or where nothing can hide', () => {
    expect(read(lost, { separatorsKept: true })).toMatchObject({
      ok: true,
      value: { lot: 'A213B1211234', serial: null },
    });
    expect(read(`01${GTIN}1727033110LX-7`)).toMatchObject({ ok: true, value: { lot: 'LX-7' } });
    // What is on the label already cannot hide again, nor a day that does not exist.
    expect(read(`01${GTIN}1727033110AB17270331`)).toMatchObject({ ok: true });
    expect(read(`01${GTIN}10AB17274431`)).toMatchObject({ ok: true });
    expect(refusals(`01${GTIN}10AB17270331`)).toEqual(['udi-cannot-be-told-apart']);
  });

  it.each([
    ['best before', '15251231'],
    ['packaging date', '13251231'],
    ['sell by', '16251231'],
    ['expiry with hour and minute', '70032512312359'],
    ['production with the hour', '800825123123'],
    ['variant', '2007'],
    ['consumer variant', '22A'],
    ['the customer’s part number', '241C-4'],
    ['secondary serial', '250S'],
    ['reference to source', '251R'],
    ['agreed information', '90X'],
    ['company information', '91X'],
    ['a reimbursement number', '712N1'],
    ['expiry, and company information behind it', '1725123191X'],
  ])('may have swallowed %s, read here or not', (_what, hidden) => {
    expect(refusals(`01${GTIN}10ABC${hidden}`)).toEqual(['udi-cannot-be-told-apart']);
    expect(refusals(`01${GTIN}21ABC${hidden}`)).toEqual(['udi-cannot-be-told-apart']);
    expect(read(`01${GTIN}10ABC${hidden}`, { separatorsKept: true })).toMatchObject({
      ok: true,
      value: { lot: `ABC${hidden}` },
    });
  });

  it.each([
    ['an hour that the day does not have', '70032804082459'],
    ['half a minute', '800828040805454'],
    ['a minute that the hour does not have', '70032804080460'],
    ['a month that the year does not have', '70032844080459'],
  ])('has swallowed nothing that cannot be: %s', (_what, hidden) => {
    expect(read(`01${GTIN}10ABC${hidden}`)).toMatchObject({
      ok: true,
      value: { lot: `ABC${hidden}` },
    });
  });

  it('has swallowed nothing twice over: an element stands on a label once', () => {
    expect(read(`01${GTIN}10K20072008`)).toMatchObject({
      reasons: [{ facts: { readings: ['(10)K20072008', '(10)K2007(20)08'] } }],
    });
    expect(read(`01${GTIN}200710K2008`)).toMatchObject({ ok: true, value: { lot: 'K2008' } });
    expect(refusals(`01${GTIN}30010A`)).toEqual(['udi-element-malformed']);
  });

  it.each([
    ['in front', `${GS}01${GTIN}10ABC15251231`],
    ['written in front', `^01${GTIN}10ABC15251231`],
    ['behind', `01${GTIN}10ABC15251231${GS}`],
    ['in front and behind', `{GS}01${GTIN}10ABC15251231{GS}`],
  ])('a separator %s shows nothing of those between elements', (_where, scan) => {
    expect(refusals(scan)).toEqual(['udi-cannot-be-told-apart']);
  });

  it('one separator between elements shows that they are handed on', () => {
    expect(read(`01${GTIN}${GS}10ABC15251231`)).toMatchObject({
      ok: true,
      value: { lot: 'ABC15251231' },
    });
  });

  it('shows four readings at most', () => {
    expect(read(`01${GTIN}10A21B21C21D21E`)).toMatchObject({
      reasons: [
        {
          facts: {
            readings: [
              '(10)A21B21C21D21E',
              '(10)A(21)B21C21D21E',
              '(10)A21B(21)C21D21E',
              '(10)A21B21C(21)D21E',
            ],
          },
        },
      ],
    });
  });

  it('a count with letters behind it has swallowed something', () => {
    expect(refusals(`01${GTIN}302510A`)).toEqual(['udi-cannot-be-told-apart']);
    expect(read(`01${GTIN}3025`)).toMatchObject({ ok: true, value: { quantity: 25 } });
  });
});

describe('what is no device identifier (C9)', () => {
  it.each([
    ['an order’s own number', 'KL-26-00001-X'],
    ['another issuer’s code', '=/A9999XYZ100T0476'],
    ['nothing', ''],
    ['a page of text', '0'.repeat(401)],
  ])('%s', (_what, scan) => {
    expect(refusals(scan)).toEqual(['udi-not-recognised']);
  });

  it('of a page of text the beginning is repeated; a text just as long as a label’s is read', () => {
    expect(read('0'.repeat(401))).toMatchObject({
      reasons: [{ facts: { scanned: '0'.repeat(60), why: expect.stringContaining('400') } }],
    });
    expect(refusals('0'.repeat(400))).toEqual(['udi-element-unknown']);
  });

  it('no scan, or more than a label has', () => {
    expect(refusals([])).toEqual(['udi-not-recognised']);
    expect(read([])).toMatchObject({ reasons: [{ facts: { scanned: '' } }] });
    expect(read(Array<string>(3).fill(`01${GTIN}`)).ok).toBe(true);
    expect(refusals(Array<string>(4).fill(`01${GTIN}`))).toEqual(['udi-not-recognised']);
  });

  it('whatever is scanned, the answer is a verdict', () => {
    const messy = fc.oneof(
      fc.string({ maxLength: 60 }),
      fc.string({ unit: fc.constantFrom(...`0123456789+$/()${GS}ADQS%`), maxLength: 60 }),
    );
    fc.assert(
      fc.property(fc.array(messy, { maxLength: 3 }), (scans) => {
        const verdict = read(scans);
        expect(verdict.ok ? verdict.value.raw : verdict.reasons.length > 0).toBeTruthy();
      }),
      { numRuns: 500 },
    );
  });
});

describe('years by two figures, and open days (C9)', () => {
  it('are the nearest: 49 years back to 50 ahead', () => {
    const years = Array.from({ length: 100 }, (_, yy) => yearMeant(yy, TODAY));
    expect(new Set(years).size).toBe(100);
    expect([Math.min(...years), Math.max(...years)]).toEqual([1977, 2076]);
    expect(yearMeant(99, day('2001-05-01'))).toBe(1999);
    expect(yearMeant(3, day('1998-05-01'))).toBe(2003);
    expect(yearMeant(10, day('2060-05-01'))).toBe(2110);
    expect(yearMeant(11, day('2060-05-01'))).toBe(2011);
  });

  it('the open day is the last of its month, in December too', () => {
    expect(carrierDate(2027, 12, 0)).toEqual({ on: '2027-12-31', monthOnly: true });
    expect(carrierDate(2027, 1, 0)).toEqual({ on: '2027-01-31', monthOnly: true });
    expect(carrierDate(2027, 0, 0)).toBeUndefined();
    expect(carrierDate(2027, 13, 0)).toBeUndefined();
    expect(carrierDate(2027, 12, 31)).toEqual({ on: '2027-12-31', monthOnly: false });
  });

  it('the day of the year ends with its year', () => {
    expect(dayOfYear(2028, 366)).toEqual({ on: '2028-12-31', monthOnly: false });
    expect(dayOfYear(2027, 366)).toBeUndefined();
    expect(dayOfYear(2027, 1)).toEqual({ on: '2027-01-01', monthOnly: false });
    expect(dayOfYear(2027, 0)).toBeUndefined();
    expect(dayOfYear(0, 1)).toBeUndefined();
  });
});

const SET_82 =
  '!"%&\'()*+,-./0123456789:;<=>?ABCDEFGHIJKLMNOPQRSTUVWXYZ_abcdefghijklmnopqrstuvwxyz';
const text = (most: number) =>
  fc.string({ unit: fc.constantFrom(...SET_82), minLength: 1, maxLength: most });
const figures = (length: number) =>
  fc.string({ unit: fc.constantFrom(...'0123456789'), minLength: length, maxLength: length });
const element = (ai: string, value: fc.Arbitrary<string>): fc.Arbitrary<Gs1Element> =>
  value.map((each) => ({ ai, value: each }));
const gtin = figures(13).map((body) => `${body}${gs1CheckDigit(body) ?? ''}`);
const date = fc
  .date({ min: new Date('2000-01-01'), max: new Date('2060-12-31'), noInvalidDate: true })
  .map((at) => at.toISOString().slice(2, 10).replaceAll('-', ''));
const anyElements = fc
  .tuple(
    element('01', gtin),
    fc.subarray([10, 11, 17, 20, 21, 22, 30, 90, 95, 240, 250]).chain((ais) =>
      fc.tuple(
        ...ais.map((ai) => {
          if (ai === 11 || ai === 17) return element(String(ai), date);
          if (ai === 20) return element('20', figures(2));
          if (ai === 30) return element('30', fc.integer({ min: 1, max: 99_999_999 }).map(String));
          return element(String(ai), text(ai < 30 ? 20 : 30));
        }),
      ),
    ),
  )
  .map(([device, others]) => [device, ...others]);

/** GS1's identifiers with the values that they may have, written once more for the property below. */
const VALUES: Readonly<Record<string, RegExp>> = {
  '01': /^\d{14}$/,
  '10': /^.{1,20}$/,
  ...Object.fromEntries(['11', '12', '13', '15', '16', '17'].map((ai) => [ai, /^\d{6}$/])),
  '20': /^\d\d$/,
  '21': /^.{1,20}$/,
  '22': /^.{1,20}$/,
  ...Object.fromEntries(['240', '241', '250', '251', '90'].map((ai) => [ai, /^.{1,30}$/])),
  '30': /^(?!0+$)\d{1,8}$/,
  ...Object.fromEntries([1, 2, 3, 4, 5, 6, 7, 8, 9].map((n) => [`9${n}`, /^.{1,90}$/])),
  '7003': /^\d{6}(?:[01]\d|2[0-3])[0-5]\d$/,
  '8008': /^\d{6}(?:[01]\d|2[0-3])(?:[0-5]\d){0,2}$/,
  '8012': /^.{1,20}$/,
  '8013': /^.{1,25}$/,
  ...Object.fromEntries([0, 1, 2, 3, 4, 5, 6, 7].map((n) => [`71${n}`, /^.{1,20}$/])),
};
const DATED = new Set(['11', '12', '13', '15', '16', '17', '7003', '8008']);
const FIXED = new Set(['01', '11', '17', '20']);
const UNREAD = new Set(['12', '13', '15', '16', '7003', '8008', '8012', '8013']);
const isDay = (value: string): boolean => {
  const [year, month, at] = [value.slice(0, 2), value.slice(2, 4), value.slice(4, 6)].map(Number);
  return (
    month! >= 1 && month! <= 12 && at! <= new Date(Date.UTC(2000 + year!, month, 0)).getUTCDate()
  );
};
/** Every way to cut a text into elements, each identifier once. */
function everyReading(text: string, had: readonly string[] = []): Gs1Element[][] {
  if (text === '') return [[]];
  return [2, 3, 4].flatMap((length) => {
    const [ai, rest] = [text.slice(0, length), text.slice(length)];
    const form = VALUES[ai];
    if (form === undefined || had.includes(ai)) return [];
    return Array.from({ length: rest.length }, (_, at) => rest.slice(0, at + 1)).flatMap((value) =>
      !form.test(value) ||
      (DATED.has(ai) && !isDay(value)) ||
      (ai === '01' && !hasGs1CheckDigit(value))
        ? []
        : everyReading(rest.slice(value.length), [...had, ai]).map((more) => [
            { ai, value },
            ...more,
          ]),
    );
  });
}
const NOT_READ = {
  has: (reading: readonly Gs1Element[]) =>
    reading.some(({ ai }) => UNREAD.has(ai) || ai.startsWith('71')),
};
/** Labels of a few elements, as a scanner without FNC1 hands them on. */
const lostElements = fc
  .tuple(
    gtin,
    fc.shuffledSubarray(['10', '11', '15', '17', '20', '21', '22', '30', '7003', '91', '241'], {
      maxLength: 3,
    }),
    fc.array(fc.string({ unit: fc.constantFrom(...'0123579AX'), minLength: 1, maxLength: 7 }), {
      minLength: 3,
      maxLength: 3,
    }),
  )
  .map(([device, ais, texts]) =>
    [`01${device}`]
      .concat(
        ais.map((ai, at) => {
          if (ai === '7003') return '70032512312359';
          if (ai === '20') return '2007';
          if (ai === '30') return '3012';
          return ai + (DATED.has(ai) ? '251231' : texts[at]!);
        }),
      )
      .join(''),
  );

describe('GS1 elements written and read again (C9)', () => {
  it('are the same, scanned or typed', () => {
    fc.assert(
      fc.property(anyElements, (elements) => {
        expect(readGs1Elements(writeElementString(elements), TODAY, true)).toEqual({
          ok: true,
          value: elements,
        });
        expect(readGs1Elements(writeBracketed(elements), TODAY, false)).toEqual({
          ok: true,
          value: elements,
        });
      }),
    );
  });

  it('a lost separator never gives another lot: it is refused, or nothing was lost', () => {
    fc.assert(
      fc.property(gtin, text(8), text(8), (device, lot, serial) => {
        const elements = [
          { ai: '01', value: device },
          { ai: '10', value: lot },
          { ai: '21', value: serial },
        ];
        const lost = writeElementString(elements).replace(GS, '');
        expect(readGs1Elements(lost, TODAY, false).ok).toBe(false);
      }),
    );
  });

  it('whatever was lost, the answer is the only possible reading, or a refusal', () => {
    fc.assert(
      fc.property(
        lostElements,
        fc.constantFrom('', GS),
        fc.constantFrom('', GS),
        (lost, ...ends) => {
          const verdict = readGs1Elements(ends[0] + lost + ends[1], TODAY, false);
          const possible = everyReading(lost);
          const [only, another] = possible;
          if (verdict.ok) expect([verdict.value]).toEqual(possible);
          // Nor is refused what can only be read as it stands.
          else if (only !== undefined && another === undefined) {
            expect(only.slice(0, -1).some(({ ai }) => !FIXED.has(ai)) || NOT_READ.has(only)).toBe(
              true,
            );
          }
        },
      ),
      { numRuns: 2_000 },
    );
  });

  it('one wrong figure in a GTIN is always found', () => {
    fc.assert(
      fc.property(gtin, fc.nat(13), fc.integer({ min: 1, max: 9 }), (good, at, by) => {
        expect(hasGs1CheckDigit(good)).toBe(true);
        const wrong = String((Number(good.charAt(at)) + by) % 10);
        expect(hasGs1CheckDigit(good.slice(0, at) + wrong + good.slice(at + 1))).toBe(false);
      }),
    );
  });

  it('no check digit is made of anything but figures', () => {
    expect(gs1CheckDigit('')).toBeUndefined();
    expect(gs1CheckDigit('12a')).toBeUndefined();
    expect(gs1CheckDigit('a12')).toBeUndefined();
    expect(hasGs1CheckDigit('0')).toBe(false);
    expect(hasGs1CheckDigit('17')).toBe(true);
  });
});

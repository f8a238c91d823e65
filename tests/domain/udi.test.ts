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
import { hibcCheckCharacter, readHibcCode } from '../../src/domain/hibc.ts';
import { readUdi, type UdiReading } from '../../src/domain/udi.ts';
import { day, refusalCodes } from '../support/limbs.ts';

const TODAY = day('2026-11-02');
const GS = '\u001d';
const GTIN = '51022222233336';

const read = (scans: string | readonly string[], more: Partial<UdiReading> = {}) =>
  readUdi({ scans: typeof scans === 'string' ? [scans] : scans, today: TODAY, ...more });
const refusals = (scans: string | readonly string[]) => refusalCodes(read(scans));
/** An HIBC code with its check character. */
const hibc = (text: string) => `${text}${hibcCheckCharacter(text) ?? ''}`;

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
  ])('%s', (_what, scan, code) => {
    expect(refusals(scan)).toEqual([code]);
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
    expect(refusals([`01${GTIN}17270331`, '17270330'])).toEqual(['udi-says-two-things']);
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
    expect(read(`01${GTIN}10AB17279931`)).toMatchObject({ ok: true });
    expect(refusals(`01${GTIN}10AB17270331`)).toEqual(['udi-cannot-be-told-apart']);
  });

  it('a count with letters behind it has swallowed something', () => {
    expect(refusals(`01${GTIN}302510A`)).toEqual(['udi-cannot-be-told-apart']);
    expect(read(`01${GTIN}3025`)).toMatchObject({ ok: true, value: { quantity: 25 } });
  });
});

describe('a lock received by scanning its HIBC label (C9)', () => {
  const PRIMARY = hibc('+A999LOCK71');
  const link = PRIMARY.slice(-1);
  const DEVICE = { issuer: 'HIBCC', deviceIdentifier: 'A999LOCK71' };

  it.each([
    ['$', { lot: '10X3' }, '$10X3'],
    ['$+', { serial: '77-4' }, '$+77-4'],
    [
      '$$ month and year',
      { lot: '10X3', expiresOn: '2027-02-28', monthOnly: ['expiresOn'] },
      '$$022710X3',
    ],
    ['$$ in autumn', { lot: '10X3', expiresOn: '2027-12-31' }, '$$122710X3'],
    ['$$2', { lot: '10X3', expiresOn: '2027-03-15', monthOnly: [] }, '$$203152710X3'],
    ['$$3', { lot: '10X3', expiresOn: '2027-03-15' }, '$$327031510X3'],
    ['$$3 without a lot', { lot: null, expiresOn: '2027-03-15' }, '$$3270315'],
    ['$$4', { lot: '10X3', expiresOn: '2027-03-15' }, '$$42703152310X3'],
    ['$$5', { lot: '10X3', expiresOn: '2027-03-15' }, '$$52707410X3'],
    ['$$6', { lot: '10X3', expiresOn: '2027-03-15' }, '$$6270740010X3'],
    ['$$7', { lot: '10X3', expiresOn: null }, '$$710X3'],
    ['$$8', { lot: '10X3', expiresOn: '2027-03-15', quantity: 24 }, '$$82432703151' + '0X3'],
    ['$$8 and nothing else', { lot: null, quantity: 24 }, '$$824'],
    ['$$9', { lot: '10X3', expiresOn: '2027-03-31', quantity: 100 }, '$$900100032710X3'],
    ['$$9 without a date', { lot: '10X3', expiresOn: null, quantity: 6 }, '$$900006710X3'],
    ['$$+3', { serial: 'S1', expiresOn: '2027-03-15' }, '$$+3270315S1'],
    ['$$+7', { serial: 'S1', expiresOn: null }, '$$+7S1'],
    ['day of the year without a flag', { lot: '10X3', expiresOn: '2027-03-15' }, '2707410X3'],
    ['day of the year alone', { lot: null, expiresOn: '2027-03-15' }, '27074'],
    [
      'supplements',
      { lot: 'B', serial: 'S1', expiresOn: '2027-03-15', madeOn: '2026-01-02', quantity: 5 },
      '$B/SS1/14D20270315/16D20260102/Q5',
    ],
    ['supplements only', { lot: null, serial: 'S1', madeOn: '2026-01-02' }, '16D20260102/SS1'],
  ])('%s: joined, and as a second code', (_flag, says, secondary) => {
    const joined = hibc(`+A999LOCK71/${secondary}`);
    expect(read(joined)).toMatchObject({ ok: true, value: { ...DEVICE, ...says } });
    // A second code on its own begins with a flag; supplements alone do not.
    if (!/^1[46]D/.test(secondary)) {
      const alone = hibc(`+${secondary}${link}`);
      expect(read([alone, PRIMARY])).toMatchObject({ ok: true, value: { ...DEVICE, ...says } });
    }
  });

  it('a primary code alone says which device', () => {
    expect(read(PRIMARY)).toMatchObject({
      ok: true,
      value: {
        ...DEVICE,
        lot: null,
        serial: null,
        expiresOn: null,
        quantity: null,
        raw: [PRIMARY],
      },
    });
  });

  it('is the same with asterisks, a symbology identifier, small letters and a line end', () => {
    expect(read(`*${PRIMARY}*`)).toMatchObject({ ok: true, value: DEVICE });
    expect(read(`]A0${PRIMARY.toLowerCase()}\r\n`)).toMatchObject({ ok: true, value: DEVICE });
  });

  it('a blank as check character is printed as an underline', () => {
    const blank = 'A999ZB0';
    expect(hibcCheckCharacter(`+${blank}`)).toBe(' ');
    expect(read(`+${blank}_`)).toMatchObject({ ok: true, value: { deviceIdentifier: blank } });
    expect(read(`+${blank} `)).toMatchObject({ ok: true, value: { deviceIdentifier: blank } });
  });

  it.each([
    [
      'a wrong check character',
      `${PRIMARY.slice(0, -1)}${link === 'A' ? 'B' : 'A'}`,
      'udi-check-wrong',
    ],
    ['nothing but a plus', '+', 'udi-check-wrong'],
    ['a character that HIBC does not have', '+A999LÖCK71A', 'udi-not-recognised'],
    ['a check character that HIBC does not have', '+A999LOCK71ä', 'udi-not-recognised'],
    ['provider data, not a device', hibc('+/EO523201'), 'udi-not-recognised'],
    ['a primary without unit of measure', hibc('+A999LOCKX'), 'udi-not-recognised'],
    ['a second code alone', hibc(`+$10X3${link}`), 'udi-device-identifier-missing'],
    ['an empty lot', hibc('+A999LOCK71/$'), 'udi-element-malformed'],
    ['a lot of 19 characters', hibc(`+A999LOCK71/$${'1'.repeat(19)}`), 'udi-element-malformed'],
    ['an empty serial behind a date', hibc('+A999LOCK71/$$+7'), 'udi-element-malformed'],
    ['a lot with a percent behind a day', hibc('+A999LOCK71/27074%'), 'udi-element-malformed'],
    ['a lot with a percent behind a date', hibc('+A999LOCK71/$$3270315%'), 'udi-element-malformed'],
    ['a quantity of one figure', hibc('+A999LOCK71/$$8A'), 'udi-element-malformed'],
    ['a quantity of nothing', hibc('+A999LOCK71/$B/Q0'), 'udi-element-malformed'],
    ['a quantity of letters', hibc('+A999LOCK71/$B/QX'), 'udi-element-malformed'],
    ['a date flag that is not known', hibc('+A999LOCK71/$$A'), 'udi-element-unknown'],
    ['a quantity behind a serial', hibc('+A999LOCK71/$$+824'), 'udi-element-unknown'],
    ['a supplement that is not known', hibc('+A999LOCK71/$B/Z1'), 'udi-element-unknown'],
    ['day 0 written out', hibc('+A999LOCK71/$$327030010X3'), 'udi-date-impossible'],
    ['30 February', hibc('+A999LOCK71/$$202302710X3'), 'udi-date-impossible'],
    ['hour 24', hibc('+A999LOCK71/$$4270315240'), 'udi-date-impossible'],
    ['day 366 of a common year', hibc('+A999LOCK71/$$527366'), 'udi-date-impossible'],
    ['day 366 without a flag', hibc('+A999LOCK71/27366'), 'udi-date-impossible'],
    ['day 0 of the year', hibc('+A999LOCK71/$$527000'), 'udi-date-impossible'],
    ['a date cut short', hibc('+A999LOCK71/$$32703'), 'udi-date-impossible'],
    ['a date behind a serial that is none', hibc('+A999LOCK71/$$+3271301S'), 'udi-date-impossible'],
    ['a supplement’s date that is none', hibc('+A999LOCK71/$B/14D20271301'), 'udi-date-impossible'],
    ['a supplement’s date with day 0', hibc('+A999LOCK71/$B/16D20271200'), 'udi-date-impossible'],
    ['two expiry dates', hibc('+A999LOCK71/$$3270315B/14D20270316'), 'udi-says-two-things'],
    ['two quantities', hibc('+A999LOCK71/$$824/Q25'), 'udi-says-two-things'],
  ])('%s', (_what, scan, code) => {
    expect(refusals(scan)).toEqual([code]);
  });

  it('the same said twice is no contradiction', () => {
    expect(read(hibc('+A999LOCK71/$$3270315B/14D20270315'))).toMatchObject({
      ok: true,
      value: { expiresOn: '2027-03-15' },
    });
  });

  it('codes of two labels are not put together', () => {
    const other = hibc('+A999PLATE1');
    const second = hibc(`+$10X3${link}`);
    expect(other.slice(-1)).not.toBe(link);
    for (const scans of [
      [other, second],
      [PRIMARY, other],
      [PRIMARY, second, second],
      [hibc('+A999LOCK71/$10X3'), second],
      [PRIMARY, `01${GTIN}`],
    ]) {
      expect(refusals(scans)).toEqual(['udi-codes-not-of-one-label']);
    }
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

  it('no scan, or more than a label has', () => {
    expect(refusals([])).toEqual(['udi-not-recognised']);
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
  });

  it('the open day is the last of its month, in December too', () => {
    expect(carrierDate(2027, 12, 0)).toEqual({ on: '2027-12-31', monthOnly: true });
    expect(carrierDate(2027, 13, 0)).toBeUndefined();
    expect(carrierDate(2027, 12, 31)).toEqual({ on: '2027-12-31', monthOnly: false });
  });

  it('the day of the year ends with its year', () => {
    expect(dayOfYear(2028, 366)).toEqual({ on: '2028-12-31', monthOnly: false });
    expect(dayOfYear(2027, 366)).toBeUndefined();
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
    expect(hasGs1CheckDigit('0')).toBe(false);
  });
});

describe('an HIBC code by its check character (C9)', () => {
  it('one wrong character is always found', () => {
    const unit = fc.constantFrom(...'0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ');
    fc.assert(
      fc.property(
        fc.string({ unit, minLength: 1, maxLength: 17 }),
        fc.nat(),
        unit,
        (product, where, other) => {
          const good = hibc(`+A${product.padStart(4, '0')}1`);
          expect(readHibcCode(good, TODAY).ok).toBe(true);
          const at = 2 + (where % (good.length - 3));
          const wrong = good.slice(0, at) + other + good.slice(at + 1);
          expect(readHibcCode(wrong, TODAY).ok).toBe(wrong === good);
        },
      ),
    );
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { hibcCheckCharacter, readHibcCode } from '../../src/domain/hibc.ts';
import { readUdi } from '../../src/domain/udi.ts';
import { day, refusalCodes } from '../support/limbs.ts';

const TODAY = day('2026-11-02');

const read = (scans: string | readonly string[]) =>
  readUdi({ scans: typeof scans === 'string' ? [scans] : scans, today: TODAY });
const refusals = (scans: string | readonly string[]) => refusalCodes(read(scans));
/** An HIBC code with its check character. */
const hibc = (text: string) => `${text}${hibcCheckCharacter(text) ?? ''}`;

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
    ['a lot that looks like a quantity', { lot: '824', quantity: null }, '$$3270315824'],
    ['a lot with an 8', { lot: 'X8', expiresOn: '2027-03-15' }, '$$3270315X8'],
    [
      'a serial that looks like a date',
      { serial: 'X14D20270101', expiresOn: null },
      '$B/SX14D20270101',
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
        others: [],
        additionalIdentification: null,
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
    ['a second code with month 13', hibc(`+$$327130110X3${link}`), 'udi-date-impossible'],
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
    ['a tab inside', PRIMARY.replace('LOCK', '\tLOCK'), 'udi-not-recognised'],
    ['something before the asterisks', `+*${PRIMARY}*`, 'udi-not-recognised'],
    ['something behind the asterisks', `*${PRIMARY}*7`, 'udi-not-recognised'],
    ['a day of the year cut short', hibc('+A999LOCK71/$$52707'), 'udi-date-impossible'],
    ['a month and year cut short', hibc('+A999LOCK71/$$022'), 'udi-date-impossible'],
    ['a date with a hyphen', hibc('+A999LOCK71/$$32703-5'), 'udi-date-impossible'],
    ['a date behind a hyphen', hibc('+A999LOCK71/$$5-7074'), 'udi-date-impossible'],
    ['two dollars and nothing', hibc('+A999LOCK71/$$'), 'udi-element-unknown'],
    ['a lot among the supplements', hibc('+A999LOCK71/$B/$10X3'), 'udi-element-unknown'],
    ['ten figures of a date', hibc('+A999LOCK71/$B/14D2027031500'), 'udi-date-impossible'],
    ['ten figures before a date', hibc('+A999LOCK71/$B/14D0020270315'), 'udi-date-impossible'],
    ['a quantity of six figures', hibc('+A999LOCK71/$B/Q123456'), 'udi-element-malformed'],
    ['a quantity said twice', hibc('+A999LOCK71/$B/QQ5'), 'udi-element-malformed'],
    ['a quantity with a letter behind', hibc('+A999LOCK71/$B/Q5X'), 'udi-element-malformed'],
  ])('%s', (_what, scan, code) => {
    expect(refusals(scan)).toEqual([code]);
  });

  it.each<[string, string, object]>([
    ['a flag of a date', hibc('+A999LOCK71/$$A'), { element: '$$A', issuer: 'HIBC' }],
    ['a supplement', hibc('+A999LOCK71/$B/Z12345'), { element: '/Z123', issuer: 'HIBC' }],
    ['too few figures', hibc('+A999LOCK71/$$8A'), { element: 'quantity', value: 'A' }],
    ['too many figures', hibc('+A999LOCK71/$B/Q123456'), { element: 'quantity', value: '123456' }],
    ['nothing counted', hibc('+A999LOCK71/$B/Q0'), { element: 'quantity', value: '0' }],
    [
      'a day of expiry',
      hibc('+A999LOCK71/$B/14D20271301'),
      { element: 'expiry date (14D)', value: '20271301' },
    ],
    [
      'a day of production',
      hibc('+A999LOCK71/$B/16D20271301'),
      { element: 'production date (16D)', value: '20271301' },
    ],
    [
      'what is said twice',
      hibc('+A999LOCK71/$$3270315B/14D20270316'),
      { element: 'expiry date', values: ['2027-03-15', '2027-03-16'] },
    ],
    ['60 characters', hibc(`+${'-'.repeat(80)}`), { scanned: `+${'-'.repeat(59)}` }],
    [
      'an underline that is no check character',
      `+A99_LOCK71${hibcCheckCharacter('+A99 LOCK71') ?? ''}`,
      { why: 'it has a character that HIBC does not have' },
    ],
  ])('tells %s', (_what, scan, facts) => {
    expect(read(scan)).toMatchObject({ ok: false, reasons: [{ facts }] });
  });

  it('the same said twice is no contradiction', () => {
    expect(read(hibc('+A999LOCK71/$$3270315B/14D20270315'))).toMatchObject({
      ok: true,
      value: { expiresOn: '2027-03-15' },
    });
  });

  it('a second code alone tells of which issuer the first must be', () => {
    expect(read(hibc(`+$10X3${link}`))).toMatchObject({
      ok: false,
      reasons: [{ code: 'udi-device-identifier-missing', facts: { issuer: 'HIBC' } }],
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
      [PRIMARY, '0151022222233336'],
    ]) {
      expect(refusals(scans)).toEqual(['udi-codes-not-of-one-label']);
    }
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

describe('a blank before or behind an HIBC code, as a keyboard scanner may add (C9)', () => {
  const CODE = hibc('+A999LOCK71/$10X3');

  it.each([
    ['before', ` ${CODE}`],
    ['behind', `${CODE} `],
    ['before and behind, with a line end', `  ${CODE}  \r\n`],
    ['around the printed asterisks', ` *${CODE}* `],
    ['before the symbology identifier', ` ]C0${CODE}`],
  ])('%s is no part of it', (_where, scan) => {
    expect(read(scan)).toMatchObject({ ok: true, value: { lot: '10X3' } });
  });

  /** A joined code for some lot whose check character is the one asked for. */
  const endingIn = (check: string, tail = '') => {
    const text = [...'0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ']
      .map((letter) => `+A999LOCK71/$LOT${letter}${tail}`)
      .find((each) => hibcCheckCharacter(each) === check);
    return text ?? '';
  };

  it('is the check character where the code asks for a blank', () => {
    const blank = endingIn(' ');
    const lot = blank.slice(blank.indexOf('$') + 1);
    for (const scan of [`${blank} `, `${blank}  \n`, ` ${blank} `, `${blank}_`, `*${blank} *`]) {
      expect(read(scan)).toMatchObject({ ok: true, value: { lot } });
    }
    // Trimmed away by a reader, it leaves a code that asks for another check character.
    expect(refusals(blank)).toEqual(['udi-check-wrong']);
  });

  it('is not guessed at where it may be either', () => {
    // J counts 19, twice 19 are 38, and 38 is the blank.
    const either = `${endingIn('J')}J `;
    const lot = either.slice(either.indexOf('$') + 1, -2);
    expect(read(either)).toMatchObject({
      ok: false,
      reasons: [{ code: 'udi-blank-may-be-check', facts: { scanned: either } }],
    });
    expect(read(either.trim())).toMatchObject({ ok: true, value: { lot } });
    expect(read(`*${either}*`)).toMatchObject({ ok: true, value: { lot: `${lot}J` } });
  });

  it('belongs to the code where only one of the two says anything', () => {
    // A primary code ends in its unit of measure, a figure: with J in that place it is none.
    const primary = [...'0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ']
      .map((letter) => `+A999LOC${letter}1`)
      .find((each) => hibcCheckCharacter(each) === 'J');
    expect(read(`${primary ?? ''}J `)).toMatchObject({
      ok: true,
      value: { deviceIdentifier: primary?.slice(1) },
    });
  });

  it('a code that is wrong either way is told without its blank', () => {
    const wrong = `${CODE.slice(0, -1)}${CODE.endsWith('A') ? 'B' : 'A'}`;
    expect(read(`${wrong} `)).toEqual(read(wrong));
  });
});

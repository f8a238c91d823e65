import bwipjs from 'bwip-js/node';
import fc from 'fast-check';
import { parseBarcode } from 'gs1-barcode-parser-mod';
import { describe, expect, it } from 'vitest';
import { yearMeant } from '../../src/domain/carrierDates.ts';
import {
  gs1CheckDigit,
  hasGs1CheckDigit,
  readGs1Elements,
  writeBracketed,
  writeElementString,
} from '../../src/domain/gs1.ts';
import { hibcCheckCharacter } from '../../src/domain/hibc.ts';
import { readUdi } from '../../src/domain/udi.ts';
import { drawnAndRead } from '../support/drawnCode.ts';
import { day, refusalCodes } from '../support/limbs.ts';

const TODAY = day('2026-11-02');
const GS = '\u001d';
const read = (scan: string, today = TODAY) => readUdi({ scans: [scan], today });

describe('GS1 numbers as published (C9)', () => {
  it.each([
    ['730001100001', '7', 'GS1 Sweden, check digit calculation'],
    ['501234567890', '0', 'GS1 UK'],
    ['890400021003', '7', 'GS1 India'],
    ['629104150021', '3', 'GS1 check digit page, from memory'],
    ['37610425002123456', '9', 'GS1 SSCC example, from memory'],
  ])('%s has check digit %s (%s)', (number, check) => {
    expect(gs1CheckDigit(number)).toBe(check);
    expect(hasGs1CheckDigit(number + check)).toBe(true);
  });

  it.each(['02345673', '416000336108', '1234567890128', '12345678901231', '123456789012345675'])(
    '%s is valid, and invalid with any other last digit (GS1 Barcode Syntax Dictionary, linter tests csum)',
    (number) => {
      for (const last of '0123456789') {
        expect(hasGs1CheckDigit(number.slice(0, -1) + last)).toBe(last === number.slice(-1));
      }
    },
  );

  it.each([
    [76, 2076],
    [77, 1977],
    [26, 2026],
  ])('in 2026 the year %d is %d (GS1 General Specifications, 7.12)', (twoFigures, year) => {
    expect(yearMeant(twoFigures, TODAY)).toBe(year);
  });

  it.each([
    ['200600', '2020-06-30'],
    ['200230', null],
    ['201310', null],
    ['210229', null],
    ['240229', '2024-02-29'],
    ['000229', '2000-02-29'],
  ])('expiry %s is %s (GS1 Barcode Syntax Dictionary, linter tests yymmd0)', (value, expiresOn) => {
    const verdict = read(`(01)12345678901231(17)${value}`);
    expect(verdict.ok ? verdict.value.expiresOn : null).toBe(expiresOn);
    expect(refusalCodes(verdict)).toEqual(expiresOn === null ? ['udi-date-impossible'] : []);
  });
});

describe('GS1 codes as published (C9)', () => {
  const SAYS = {
    issuer: 'GS1',
    deviceIdentifier: '51022222233336',
    lot: 'A213B1',
    serial: '1234',
    madeOn: '2014-12-31',
    expiresOn: '2015-07-07',
  };

  it.each([
    '(01)51022222233336(11)141231(17)150707(10)A213B1(21)1234',
    `01510222222333361114123117150707` + `10A213B1${GS}211234`,
    `]d201510222222333361114123117150707` + `10A213B1${GS}211234`,
  ])('FDA, UDI formats by FDA-accredited issuing agency, v1.3: %s', (scan) => {
    expect(read(scan)).toMatchObject({ ok: true, value: SAYS });
  });

  it.each([
    [
      'https://id.gs1.org/01/12312312312326/21/abc123',
      { deviceIdentifier: '12312312312326', serial: 'abc123' },
    ],
    [
      'https://id.gs1.org/01/12312312312333/10/ABC123/21/XYZ?99=XYZ',
      {
        deviceIdentifier: '12312312312333',
        lot: 'ABC123',
        serial: 'XYZ',
        others: [{ ai: '99', value: 'XYZ' }],
      },
    ],
    ['https://id.gs1.org/01/12312312312333/10/ABC%2B123', { lot: 'ABC+123' }],
    ['https://id.gs1.org/01/12312312312333?17=261231', { expiresOn: '2026-12-31' }],
  ])('Digital Link: %s (GS1 Barcode Syntax Engine, tests of dl.c)', (scan, says) => {
    expect(read(scan)).toMatchObject({ ok: true, value: says });
  });

  it('one separator behind any element is tolerated (GS1 General Specifications, 7.8.6.3, quoted)', () => {
    expect(
      read(`0151022222233336${GS}11141231${GS}17150707${GS}10A213B1${GS}211234`),
    ).toMatchObject({ ok: true, value: SAYS });
  });
});

describe('HIBC codes as published (C9)', () => {
  it.each([
    ['+A123BJC5D6E71', 'G', 'ANSI/HIBC 2.6, B.2.0'],
    ['+A1234BJC5D6E71', 'K', 'scanner manuals after appendix B'],
    ['07000503', 'F', 'R. Hall, HIBC page'],
    ['+$$52001510X3G', 'D', 'ANSI/HIBC 2.6, 4.3.2'],
    ['+A99912345/$$52001510X3', '3', 'ANSI/HIBC 2.6, 2.2.1.1'],
    ['+A123BJC5D6E71/$$52001510X3', 'C', 'ANSI/HIBC 2.6, 4.3.3'],
    ['+/EO523201', '3', 'ANSI/HIBC 1.3, 2.2, by the tests of tc-lib-barcode'],
  ])('%s has check character %s (%s, quoted)', (text, check) => {
    expect(hibcCheckCharacter(text)).toBe(check);
  });

  it.each([
    [
      '+A99912345/$$52001510X3/16D20111212/S77DEFG457',
      { lot: '10X3', expiresOn: '2020-01-15', madeOn: '2011-12-12', serial: '77DEFG45' },
    ],
    [
      '*+A99912345/$10X3/16D20111231/14D202001313*',
      { lot: '10X3', expiresOn: '2020-01-31', madeOn: '2011-12-31', serial: null },
    ],
    [
      '+A99912349/$10X3/16D20111231/14D20200131/Q500Z',
      { lot: '10X3', expiresOn: '2020-01-31', quantity: 500 },
    ],
    [
      '+J123AQ3451/$$3231231BC34567/S4012R',
      { deviceIdentifier: 'J123AQ3451', lot: 'BC34567', expiresOn: '2023-12-31', serial: '4012' },
    ],
  ])('%s (the standard’s examples in a public decoder’s tests)', (scan, says) => {
    expect(read(scan)).toMatchObject({ ok: true, value: says });
  });

  it('a primary and its own secondary are one label (ANSI/HIBC 2.6, B.2.0 and 4.3.2)', () => {
    expect(readUdi({ scans: ['+A123BJC5D6E71G', '+$$52001510X3GD'], today: TODAY })).toMatchObject({
      ok: true,
      value: { deviceIdentifier: 'A123BJC5D6E71', lot: '10X3', expiresOn: '2020-01-15' },
    });
  });

  // The examples of ANSI/HIBC 2.x for lot 3C001 and link character L, with their check
  // characters, as a public stock system's tests quote them; recomputed. A primary with check
  // character L goes before each.
  const PRIMARY = '+A999PART21';
  it.each([
    ['+122713C001L5', '2012-09-27', null],
    ['+$3C001LV', null, null],
    ['+$$02123C001LW', '2012-02-29', null],
    ['+$$20215123C001L/', '2012-02-15', null],
    ['+$$31202153C001L+', '2012-02-15', null],
    ['+$$4120216113C001L2', '2012-02-16', null],
    ['+$$5122713C001L2', '2012-09-27', null],
    ['+$$612271113C001L5', '2012-09-27', null],
    ['+$$73C001LY', null, null],
    ['+$$82402123C001L3', '2012-02-29', 24],
    ['+$$82420216123C001LC', '2012-02-16', 24],
    ['+$$82431202163C001LD', '2012-02-16', 24],
    ['+$$8244120216183C001LN', '2012-02-16', 24],
    ['+$$8245122713C001LG', '2012-09-27', 24],
    ['+$$824612271183C001LQ', '2012-09-27', 24],
    ['+$$82473C001L5', null, 24],
    ['+$$90010009953C001LH', '1995-09-30', 100],
  ])('%s: lot 3C001, expiry %s, quantity %s', (secondary, expiresOn, quantity) => {
    const primary = primaryEndingIn(PRIMARY, 'L');
    expect(readUdi({ scans: [primary, secondary], today: TODAY })).toMatchObject({
      ok: true,
      value: { lot: '3C001', expiresOn, quantity },
    });
  });

  it('+$$824LP: quantity 24 and nothing else', () => {
    const primary = primaryEndingIn(PRIMARY, 'L');
    expect(readUdi({ scans: [primary, '+$$824LP'], today: TODAY })).toMatchObject({
      ok: true,
      value: { lot: null, expiresOn: null, quantity: 24 },
    });
  });

  it('a known gap: the same tests end their December rows as those of February; mod 43 asks for one more', () => {
    expect(hibcCheckCharacter('+$$12123C001L')).toBe('X');
    expect(hibcCheckCharacter('+$$82412123C001L')).toBe('4');
    for (const misprinted of ['+$$12123C001LW', '+$$82412123C001L3']) {
      expect(refusalCodes(read(misprinted))).toEqual(['udi-check-wrong']);
    }
  });

  it('a known gap: the FDA’s sample of the HIBC format ends in C where mod 43 asks for H', () => {
    const sample =
      '+H123PARTNO1234567890120/$$420020216LOT123456789012345/SXYZ456789012345678/16D20130202C';
    expect(hibcCheckCharacter(sample.slice(0, -1))).toBe('H');
    expect(refusalCodes(read(sample))).toEqual(['udi-check-wrong']);
  });
});

/** A primary code like `like` whose check character is `check`, by changing its product. */
function primaryEndingIn(like: string, check: string): string {
  for (const letter of '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ') {
    for (const other of '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ') {
      const text = like.slice(0, -3) + letter + other + like.slice(-1);
      if (hibcCheckCharacter(text) === check) return text + check;
    }
  }
  throw new Error(`no primary ends in ${check}`);
}

describe('GS1 element strings as npm gs1-barcode-parser-mod reads them (C9)', () => {
  const figures = (length: number) =>
    fc.string({ unit: fc.constantFrom(...'0123456789'), minLength: length, maxLength: length });
  const name = fc.string({
    unit: fc.constantFrom(...'ABCDEFGHJKLMNPRSTUVWXYZ0123456789-/.'),
    minLength: 1,
    maxLength: 12,
  });

  it('are the same elements', () => {
    fc.assert(
      fc.property(
        figures(13),
        name,
        name,
        fc.integer({ min: 1, max: 999 }),
        (body, lot, serial, count) => {
          const elements = [
            { ai: '01', value: body + String(gs1CheckDigit(body)) },
            { ai: '17', value: '271231' },
            { ai: '10', value: lot },
            { ai: '30', value: String(count) },
            { ai: '21', value: serial },
          ];
          const text = writeElementString(elements);
          const theirs = parseBarcode(`]d2${text}`).parsedCodeItems;
          const ours = readGs1Elements(`]d2${text}`, TODAY, false);
          expect(ours).toEqual({ ok: true, value: elements });
          expect(theirs.map(({ ai }) => ai)).toEqual(elements.map(({ ai }) => ai));
          for (const [at, { ai, value }] of elements.entries()) {
            const data = theirs[at]?.data;
            // Their dates are instants in the machine's own zone.
            if (data instanceof Date) expect(data.getMonth() + 1).toBe(Number(value.slice(2, 4)));
            else expect([ai, String(data)]).toEqual([ai, value]);
          }
        },
      ),
      { numRuns: 200 },
    );
  });
});

/** Makes bwip-js check an HIBC code's last character; its types do not name the option. */
const CHECKED: object = { validatecheck: true };

describe('codes drawn by bwip-js, read by ZXing, and then by us (C9)', () => {
  const ELEMENTS = [
    { ai: '01', value: '51022222233336' },
    { ai: '17', value: '271231' },
    { ai: '10', value: 'A213B1' },
    { ai: '30', value: '25' },
    { ai: '21', value: '12/34-X' },
  ];
  const GS1 = {
    issuer: 'GS1',
    deviceIdentifier: '51022222233336',
    lot: 'A213B1',
    serial: '12/34-X',
    expiresOn: '2027-12-31',
    quantity: 25,
  };

  it.each([
    ['gs1datamatrix', ']d2'],
    ['gs1-128', ']C1'],
    ['gs1qrcode', ']Q3'],
  ])('%s', async (bcid, symbology) => {
    const scan = await drawnAndRead(bcid, writeBracketed(ELEMENTS));
    expect(scan).toBe(symbology + writeElementString(ELEMENTS));
    expect(read(scan)).toMatchObject({ ok: true, value: GS1 });
  });

  it.each(['gs1dldatamatrix', 'gs1dlqrcode'])('%s', async (bcid) => {
    const link = 'https://id.example.org/01/51022222233336/10/A213B1/21/12%2F34-X?17=271231&30=25';
    expect(read(await drawnAndRead(bcid, link))).toMatchObject({ ok: true, value: GS1 });
  });

  const HIBC = 'A99912345/$$52001510X3/16D20111212/S77DEFG45';
  it.each([
    ['hibcdatamatrix', undefined],
    ['hibcqrcode', undefined],
    ['hibccode128', undefined],
    ['hibcazteccode', undefined],
    // Read as extended Code 39, "+A" becomes a small a.
    ['hibccode39', ['Code39Std']],
  ] as const)('%s', async (bcid, formats) => {
    const scan = await drawnAndRead(bcid, HIBC, formats === undefined ? undefined : [...formats]);
    expect(read(scan)).toMatchObject({
      ok: true,
      value: { issuer: 'HIBCC', deviceIdentifier: 'A99912345', lot: '10X3', serial: '77DEFG45' },
    });
  });

  it('a known gap: Code 39 read in its extended way is refused, not guessed at', async () => {
    const scan = await drawnAndRead('hibccode39', 'A123BJC5D6E71', ['Code39Ext']);
    expect(refusalCodes(read(scan))).toEqual(['udi-not-recognised']);
  });

  it.each([
    ['gs1datamatrix', '(01)51022222233335(17)271231', 'udi-check-wrong'],
    ['gs1datamatrix', '(01)51022222233336(17)271301', 'udi-date-impossible'],
    ['gs1datamatrix', '(01)51022222233336(17)270230', 'udi-date-impossible'],
    ['hibccode39', 'A123BJC5D6E71H', 'udi-check-wrong'],
  ])('what bwip-js refuses to draw as %s we refuse to read: %s', async (bcid, text, code) => {
    const draw = bwipjs.toBuffer({
      bcid,
      text,
      ...(bcid.startsWith('hibc') ? CHECKED : {}),
    });
    await expect(draw).rejects.toThrow(/bwipp/);
    expect(refusalCodes(read(bcid.startsWith('hibc') ? `+${text}` : text))).toEqual([code]);
  });

  it('bwip-js finds the same HIBC check characters', async () => {
    for (const text of [
      'A123BJC5D6E71',
      'A99912345/$$52001510X3',
      'J123AQ3451/$$3231231BC34567/S4012',
    ]) {
      const check = hibcCheckCharacter(`+${text}`) ?? '';
      const drawn = bwipjs.toBuffer({
        bcid: 'hibcdatamatrix',
        text: text + check,
        ...CHECKED,
      });
      await expect(drawn).resolves.toBeInstanceOf(Buffer);
    }
  });
});

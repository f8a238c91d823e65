import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { addDays } from '../../src/domain/days.ts';
import { itemReferenceOf, judgeDeviceIdentifier } from '../../src/domain/deviceIdentifier.ts';
import { judgeExpiry } from '../../src/domain/fit.ts';
import {
  judgeLabelled,
  judgeReceivedDays,
  serialLookAlikes,
  type TypedBeside,
} from '../../src/domain/receiving.ts';
import { codes, day, refusalCodes } from '../support/limbs.ts';

const TODAY = day('2026-03-02');
/** A number of GS1's own range for examples (prefix 952). */
const GTIN = '09520000010072';

const LABEL = { serial: null, lot: 'L7', expiresOn: null, madeOn: null, quantity: null };
const NOTHING: TypedBeside = { serial: null, lot: null, expiresOn: null, count: null };
const received = (label: object, typed: Partial<TypedBeside> = {}) =>
  judgeLabelled('Lock', { ...LABEL, ...label }, { ...NOTHING, ...typed }, TODAY);

describe('the pieces that a label stands for (C9)', () => {
  it.each([
    [
      'a serial is one piece, of its lot',
      { serial: 'S1' },
      {},
      { serial: 'S1', lot: 'L7', count: 1 },
    ],
    ['the label counts a lot', { quantity: 25 }, {}, { serial: null, lot: 'L7', count: 25 }],
    ['a count typed where it does not', {}, { count: 4 }, { lot: 'L7', count: 4 }],
    [
      'a lot typed where it has none',
      { lot: null },
      { lot: 'A', count: 1 },
      { lot: 'A', count: 1 },
    ],
    ['a serial typed', { lot: null }, { serial: 'S9' }, { serial: 'S9', lot: null, count: 1 }],
    ['an expiry typed', { serial: 'S1' }, { expiresOn: TODAY }, { serial: 'S1', expiresOn: TODAY }],
    [
      'what is typed as the label has it',
      { serial: 'S1', expiresOn: TODAY },
      { serial: 'S1', lot: 'L7', expiresOn: TODAY, count: 1 },
      { serial: 'S1', count: 1 },
    ],
  ])('%s', (_what, label, typed, pieces) => {
    expect(received(label, typed)).toMatchObject({ ok: true, value: pieces });
  });

  it.each([
    ['neither serial nor lot', { lot: null }, {}, ['label-without-serial-or-lot']],
    ['a lot without a count', {}, {}, ['label-count-missing']],
    ['a serial on a package of 25', { serial: 'S1', quantity: 25 }, {}, ['label-of-a-package']],
    ['three pieces of one serial', { serial: 'S1' }, { count: 3 }, ['label-says-otherwise']],
    ['another count than the label', { quantity: 25 }, { count: 24 }, ['label-says-otherwise']],
    ['another lot', { serial: 'S1' }, { lot: 'L8' }, ['label-says-otherwise']],
    ['ninety-nine million pieces', { quantity: 99_999_999 }, {}, ['value-out-of-range']],
    [
      'every reason at once',
      { serial: 'S1', expiresOn: day('2026-03-01'), madeOn: day('2026-03-03') },
      { serial: 'S2', lot: 'L8', expiresOn: TODAY },
      [
        ...Array.from({ length: 3 }, () => 'label-says-otherwise'),
        'label-expired',
        'day-in-future',
        'day-order-wrong',
      ],
    ],
  ])('%s is refused', (_what, label, typed, against) => {
    expect(refusalCodes(received(label, typed))).toEqual(against);
  });

  it('on its last day of use a piece still comes in and still goes into a socket; a day later neither', () => {
    fc.assert(
      fc.property(fc.integer({ min: -400, max: 400 }), (days) => {
        const expiresOn = addDays(TODAY, days);
        const inAt = codes(judgeReceivedDays('Lock', { expiresOn, madeOn: null }, TODAY));
        const into = codes(judgeExpiry({ label: 'Lock serial S1', expiresOn }, TODAY));
        expect([inAt, into]).toEqual(days < 0 ? [['label-expired'], ['item-expired']] : [[], []]);
      }),
    );
    expect(judgeExpiry({ label: 'Lock serial S1', expiresOn: null }, TODAY)).toEqual([]);
  });
});

describe('serials of one part that differ only in their capitals (C9)', () => {
  const pairs = (serials: string[], known: string[]) =>
    serialLookAlikes('Lock', serials, known).map(({ code, facts }) => [
      code,
      facts['serial'],
      facts['other'],
    ]);

  it('are told, in the book and in one delivery, each pair once', () => {
    expect(pairs(['ab-7', 'C1'], ['AB-7', 'Ab-7', 'X'])).toEqual([
      ['serial-differs-in-case', 'ab-7', 'AB-7'],
      ['serial-differs-in-case', 'ab-7', 'Ab-7'],
    ]);
    expect(pairs(['s1', 'S1', 'S2'], [])).toEqual([['serial-differs-in-case', 's1', 'S1']]);
  });

  it('are none where the serial is another, or the very same', () => {
    expect(pairs(['S1', 'S2'], ['S1', 's12', 'O1'])).toEqual([]);
    expect(pairs([], ['S1'])).toEqual([]);
  });
});

describe('the device of a catalogue entry (C9)', () => {
  const entry = (udiIssuer: 'GS1' | 'HIBCC' | null, udiDeviceIdentifier: string | null) =>
    codes(judgeDeviceIdentifier({ udiIssuer, udiDeviceIdentifier }));

  it.each([
    ['none', null, null, []],
    ['a GTIN of 14 figures', 'GS1', GTIN, []],
    ['an HIBC device (labeler A999 of the standard’s examples)', 'HIBCC', 'A99912345', []],
    ['an identifier without issuer', null, GTIN, ['udi-half-given']],
    ['an issuer without identifier', 'GS1', null, ['udi-half-given']],
    ['a GTIN-13 without its nought', 'GS1', GTIN.slice(1), ['udi-element-malformed']],
    ['a mistyped figure', 'GS1', '09520000010073', ['udi-check-wrong']],
    ['with plus and check character', 'HIBCC', '+A99912345G', ['udi-element-malformed']],
    ['a GTIN as HIBC', 'HIBCC', GTIN, ['udi-element-malformed']],
    ['small letters', 'HIBCC', 'a99912345', ['udi-element-malformed']],
  ] as const)('%s', (_what, issuer, identifier, against) => {
    expect(entry(issuer, identifier)).toEqual(against);
  });

  it('a case has its piece’s figures 2 to 13 and other ends; an HIBC device has nothing of it', () => {
    const of = (deviceIdentifier: string) => itemReferenceOf({ issuer: 'GS1', deviceIdentifier });
    expect(of('19520000010079')).toBe(of(GTIN));
    expect(of('09520000010089')).not.toBe(of(GTIN));
    expect(itemReferenceOf({ issuer: 'HIBCC', deviceIdentifier: 'A99912345' })).toBeNull();
  });
});

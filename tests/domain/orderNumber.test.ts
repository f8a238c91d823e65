import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  isOrderPrefix,
  isValidMod3736,
  makeOrderNumber,
  makeSocketNumber,
  mod3736CheckCharacter,
  parseOrderNumber,
  parseSocketNumber,
} from '../../src/domain/orderNumber.ts';
import { SI } from '../../src/domain/reasons/measures.ts';
import { REASONS } from '../../src/domain/reasons/index.ts';
import { SOCKET_KINDS } from '../../src/domain/words.ts';

const ALPHABET = [...'0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ'];
const LETTERS = ALPHABET.slice(10);

const alphanumerics = fc.string({
  unit: fc.constantFrom(...ALPHABET),
  minLength: 1,
  maxLength: 30,
});
const orderParts = fc.record({
  prefix: fc.string({ unit: fc.constantFrom(...LETTERS), minLength: 2, maxLength: 4 }),
  year: fc.integer({ min: 0, max: 2099 }),
  running: fc.integer({ min: 1, max: 99_999 }),
});

describe('the number of a fabrication order (C9)', () => {
  it('is written with the letters of the clinic, the year, five digits and a check character', () => {
    const number = makeOrderNumber({ prefix: 'KB', year: 2026, running: 417 });
    expect(number).toMatch(/^KB-26-00417-[0-9A-Z]$/);
    expect(number.at(-1)).toBe(mod3736CheckCharacter('KB2600417'));
    expect(makeOrderNumber({ prefix: 'KB', year: 26, running: 417 })).toBe(number);
  });

  it.each([
    { prefix: 'K', year: 26, running: 1 },
    { prefix: 'KLMNO', year: 26, running: 1 },
    { prefix: 'kb', year: 26, running: 1 },
    { prefix: 'KB', year: -1, running: 1 },
    { prefix: 'KB', year: 26.5, running: 1 },
    { prefix: 'KB', year: 26, running: 0 },
    { prefix: 'KB', year: 26, running: 100_000 },
    { prefix: 'KB', year: 26, running: 1.5 },
  ])('is never made from $prefix, $year, $running', (parts) => {
    expect(() => makeOrderNumber(parts)).toThrow(RangeError);
  });

  it('takes two to four capital letters for a clinic', () => {
    expect(['KB', 'KBX', 'KBXY'].every(isOrderPrefix)).toBe(true);
    expect(['K', 'KBXYZ', 'kb', 'K1', ''].some(isOrderPrefix)).toBe(false);
  });

  it('reads back as printed, however it was typed', () => {
    fc.assert(
      fc.property(
        orderParts,
        fc.array(fc.constantFrom('', ' ', '-', '–', '\u00a0'), {
          minLength: 13,
          maxLength: 13,
        }),
        fc.boolean(),
        (parts, between, lower) => {
          const printed = makeOrderNumber(parts);
          const typed = [...printed.replaceAll('-', '')]
            .map((character, i) => character + (between[i] ?? ''))
            .join('');
          expect(parseOrderNumber(lower ? ` ${typed.toLowerCase()} ` : typed)).toEqual({
            ok: true,
            value: printed,
          });
        },
      ),
    );
  });

  it('with one wrong character is refused as mistyped', () => {
    fc.assert(
      fc.property(
        orderParts,
        fc.nat(),
        fc.integer({ min: 1, max: 35 }),
        (parts, place, further) => {
          const right = [...makeOrderNumber(parts).replaceAll('-', '')];
          const at = place % right.length;
          const wrong = ALPHABET[(ALPHABET.indexOf(right[at] ?? '') + further) % 36] ?? '';
          const verdict = parseOrderNumber(right.with(at, wrong).join(''));
          expect(verdict.ok ? verdict.value : verdict.reasons[0]?.code).toBe(
            'order-number-mistyped',
          );
        },
      ),
    );
  });

  it('says whether the shape or the check character is at fault', () => {
    const good = makeOrderNumber({ prefix: 'KB', year: 26, running: 417 });
    const other = good.endsWith('A') ? 'B' : 'A';
    for (const [typed, problem] of [
      ['', 'shape'],
      ['KB-26-417', 'shape'],
      [`${good}${' '.repeat(40)}`, 'shape'],
      [`1${good}`, 'shape'],
      [`${good}1`, 'shape'],
      [good.slice(0, -1) + other, 'check_character'],
    ] as const) {
      const verdict = parseOrderNumber(typed);
      expect(verdict).toMatchObject({
        ok: false,
        reasons: [{ code: 'order-number-mistyped', kind: 'invalid', facts: { problem } }],
      });
    }
    expect(REASONS['order-number-mistyped'].wayOut({ typed: '', problem: 'shape' }, SI)).toMatch(
      /Scan the traveller/,
    );
  });
});

describe('MOD 37,36', () => {
  it('finds every single wrong character', () => {
    fc.assert(
      fc.property(
        alphanumerics,
        fc.nat(),
        fc.integer({ min: 1, max: 35 }),
        (text, place, further) => {
          const valid = [...text, mod3736CheckCharacter(text) ?? ''];
          expect(isValidMod3736(valid.join(''))).toBe(true);
          const at = place % valid.length;
          const wrong = ALPHABET[(ALPHABET.indexOf(valid[at] ?? '') + further) % 36] ?? '';
          expect(isValidMod3736(valid.with(at, wrong).join(''))).toBe(false);
        },
      ),
    );
  });

  it('knows only digits and capital letters', () => {
    expect(['', 'kb', 'K B', 'K-B', 'É'].map(mod3736CheckCharacter)).toEqual(
      Array<undefined>(5).fill(undefined),
    );
    expect(['', 'A', 'k9', ' 9J'].map(isValidMod3736)).toEqual(Array<boolean>(4).fill(false));
  });
});

describe('the number of a socket', () => {
  it('is its order with /C for a check socket and /D for a definitive one', () => {
    const order = makeOrderNumber({ prefix: 'KB', year: 26, running: 417 });
    expect(makeSocketNumber(order, 'check', 1)).toBe(`${order}/C1`);
    expect(makeSocketNumber(order, 'definitive', 2)).toBe(`${order}/D2`);
    for (const n of [0, 100, 1.5]) {
      expect(() => makeSocketNumber(order, 'check', n)).toThrow(RangeError);
    }
  });

  it('reads back, in lower case too', () => {
    fc.assert(
      fc.property(
        orderParts,
        fc.constantFrom(...SOCKET_KINDS),
        fc.integer({ min: 1, max: 99 }),
        (parts, kind, n) => {
          const orderNumber = makeOrderNumber(parts);
          const typed = makeSocketNumber(orderNumber, kind, n).toLowerCase();
          expect(parseSocketNumber(typed)).toEqual({ ok: true, value: { orderNumber, kind, n } });
        },
      ),
    );
  });

  it('reads with blanks round its stroke and its letter, and just as long as a label is', () => {
    const order = makeOrderNumber({ prefix: 'KB', year: 26, running: 417 });
    const value = { orderNumber: order, kind: 'check', n: 12 };
    const typed = `${order} /  c 12`;
    expect(parseSocketNumber(typed)).toEqual({ ok: true, value });
    expect(parseSocketNumber(typed.padEnd(40))).toEqual({ ok: true, value });
    expect(parseSocketNumber(typed.padEnd(41))).toMatchObject({
      ok: false,
      reasons: [{ facts: { typed: typed.padEnd(40) } }],
    });
    expect(parseOrderNumber(order.padEnd(40))).toEqual({ ok: true, value: order });
    expect(parseOrderNumber(order.padEnd(41))).toMatchObject({
      ok: false,
      reasons: [{ facts: { typed: order.padEnd(40) } }],
    });
  });

  it('is refused where it is mistyped', () => {
    const order = makeOrderNumber({ prefix: 'KB', year: 26, running: 417 });
    for (const typed of [
      '',
      order,
      `${order}/`,
      `${order}/X1`,
      `${order}/xC1`,
      `x/${order}/C1`,
      `${order}/C0`,
      `${order}/C100`,
      `${order}/C1${' '.repeat(40)}`,
    ]) {
      expect(parseSocketNumber(typed)).toMatchObject({
        ok: false,
        reasons: [{ code: 'socket-number-mistyped' }],
      });
    }
    expect(parseSocketNumber('KB-26-417/C1')).toMatchObject({
      ok: false,
      reasons: [{ code: 'order-number-mistyped' }],
    });
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { makeOrderNumber } from '../../src/domain/orderNumber.ts';
import { readSearch } from '../../src/domain/searchText.ts';

const read = (text: string) => readSearch(text, 'KL');
const NUMBER = makeOrderNumber({ prefix: 'KL', year: 26, running: 417 });

describe('what is typed into the search', () => {
  it('is a name where it has no digit, whichever part comes first', () => {
    expect(read('Ostrovarsky, Bel')).toMatchObject({
      nameWords: ['ostrovarsky', 'bel'],
      chartStart: null,
      orderStart: null,
      phoneDigits: null,
    });
    expect(read('  ').nameWords).toBeNull();
    // The clinic's own letters are a name until a digit follows.
    expect(read('KL')).toMatchObject({ nameWords: ['kl'], orderStart: null });
  });

  it('is the beginning of an order number, with or without its dashes', () => {
    expect(read('kl-26')).toMatchObject({ orderStart: 'KL26', nameWords: null, mistyped: [] });
    expect(read('KL 26 00417').orderStart).toBe('KL2600417');
    expect(read(NUMBER).orderStart).toBe(NUMBER.replaceAll('-', ''));
    expect(read('417').running).toBe(417);
    expect(read('000').running).toBeNull();
    expect(read('CH-41').running).toBeNull();
  });

  it('is digits of a phone number from four on, without the noughts before them', () => {
    // Of four digits alone the nought is the number's own: it is sought from its end.
    expect(read('0142').phoneDigits).toBe('0142');
    expect(read('01420').phoneDigits).toBe('1420');
    expect(read('+43 1 555').phoneDigits).toBe('431555');
    expect(read('142').phoneDigits).toBeNull();
    expect(read('CH-7001').phoneDigits).toBeNull();
    expect(read('CH-7001').chartStart).toBe('CH-7001');
  });

  it('says at once that a whole number has a wrong character, and looks for nothing by it', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 99_999 }),
        fc.integer({ min: 2, max: 9 }),
        fc.integer({ min: 1, max: 9 }),
        (running, at, by) => {
          const bare = makeOrderNumber({ prefix: 'KL', year: 26, running }).replaceAll('-', '');
          const digit = bare.charAt(at);
          if (!/\d/.test(digit)) return;
          const wrong = bare.slice(0, at) + String((Number(digit) + by) % 10) + bare.slice(at + 1);
          const { mistyped, orderStart } = read(wrong);
          expect(mistyped.map(({ code }) => code)).toEqual(['order-number-mistyped']);
          expect(orderStart).toBeNull();
        },
      ),
    );
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { orderLink, parseOrderLink } from '../../src/domain/orderLink.ts';
import { makeOrderNumber } from '../../src/domain/orderNumber.ts';

describe('the link on papers and labels', () => {
  it('leads back to its order, wherever the clinic’s service stood when it was printed', () => {
    fc.assert(
      fc.property(
        fc.stringMatching(/^[A-Z]{2,4}$/),
        fc.integer({ min: 20, max: 99 }),
        fc.integer({ min: 1, max: 99_999 }),
        fc.constantFrom('http://localhost:8080', 'https://limbs.example//', 'https://a.b/x/y'),
        (prefix, year, running, publicUrl) => {
          const number = makeOrderNumber({ prefix, year, running });
          expect(parseOrderLink(orderLink(publicUrl, number))).toEqual({ ok: true, value: number });
        },
      ),
    );
  });

  it('is read with the blanks and line end that a scanner types round it', () => {
    const number = makeOrderNumber({ prefix: 'KB', year: 26, running: 417 });
    expect(parseOrderLink(` ${orderLink('http://a.b', number)}\r\n`).ok).toBe(true);
    expect(orderLink('https://a.b/x//', number)).toBe(`https://a.b/x/o/${number}`);
  });

  it('of what is no link only the beginning is repeated', () => {
    expect(parseOrderLink('x'.repeat(50))).toMatchObject({
      ok: false,
      reasons: [{ facts: { typed: 'x'.repeat(40), problem: 'shape' } }],
    });
  });

  it.each([
    ['something before the link', 'see https://limbs.example/o/KB-26-00417-I'],
    ['another address of the service', 'https://limbs.example/patients/KB-26-00417-I'],
    ['another scheme', 'ftp://limbs.example/o/KB-26-00417-I'],
    ['a number with a wrong check character', 'https://limbs.example/o/KB-26-00417-J'],
    ['something after the number', 'https://limbs.example/o/KB-26-00417-I?next=1'],
    ['no link at all', 'KB-26-00417-I'],
    ['nothing', ''],
  ])('%s is refused', (_what, scanned) => {
    const read = parseOrderLink(scanned);
    expect(read.ok).toBe(false);
    if (!read.ok) expect(read.reasons.map(({ code }) => code)).toEqual(['order-number-mistyped']);
  });
});

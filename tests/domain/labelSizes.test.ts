import { describe, expect, it } from 'vitest';
import { judgeLabelSizes, LABEL_KINDS, STARTING_LABEL_SIZES } from '../../src/domain/labelSizes.ts';
import { placeLink, parseScanned, socketLink } from '../../src/domain/scannedCode.ts';
import { codes } from '../support/limbs.ts';

const start = STARTING_LABEL_SIZES;

describe('the sizes of labels', () => {
  it('start with stock that is sold everywhere', () => {
    expect(judgeLabelSizes(start)).toEqual([]);
  });

  it('are refused one by one, each by its field, with what it can be', () => {
    const reasons = judgeLabelSizes({
      ...start,
      socket: { widthMm: 40, heightMm: 24 },
      bin: { widthMm: 102, heightMm: 300 },
    });
    expect(codes(reasons)).toEqual(['label-size-impossible', 'label-size-impossible']);
    expect(reasons.map(({ field }) => field)).toEqual(['/socket/widthMm', '/bin/heightMm']);
    expect(reasons[0]?.detail).toBe('It is 40 mm; it can be 48 to 297 mm.');
  });

  it('leave the room for code and number inside the margin, whatever it is', () => {
    for (const marginMm of [0, 2, 10]) {
      for (const kind of LABEL_KINDS) {
        const least = { widthMm: 44 + 2 * marginMm, heightMm: 20 + 2 * marginMm };
        const sizes = { ...start, model: least, socket: least, bin: least, marginMm };
        expect(judgeLabelSizes(sizes)).toEqual([]);
        const less = { ...least, heightMm: least.heightMm - 0.1 };
        expect(judgeLabelSizes({ ...sizes, [kind]: less })).toMatchObject([
          { field: `/${kind}/heightMm` },
        ]);
      }
    }
    expect(codes(judgeLabelSizes({ ...start, marginMm: -1 }))).toEqual(['label-size-impossible']);
    expect(judgeLabelSizes({ ...start, marginMm: 10.1 }).map(({ field }) => field)).toContain(
      '/marginMm',
    );
  });
});

describe('what is scanned or typed', () => {
  const url = 'https://castbook.example/clinic/';
  const placeId = '01890000-0000-7000-8000-00000000abcd';

  it('is an order, a socket or a bin, from any address it was printed with', () => {
    const order = { ok: true, value: { kind: 'order', order: 'KB-26-00417-I' } };
    const socket = {
      ok: true,
      value: { kind: 'socket', order: 'KB-26-00417-I', socket: 'KB-26-00417-I/D1' },
    };
    expect(parseScanned('https://old.example/o/KB-26-00417-I')).toEqual(order);
    expect(parseScanned(' kb 26 00417 i ')).toEqual(order);
    expect(parseScanned(socketLink(url, 'KB-26-00417-I/D1'))).toEqual(socket);
    expect(parseScanned('http://10.0.0.7:8080/o/KB-26-00417-I/D1')).toEqual(socket);
    expect(parseScanned('kb-26-00417-i/d1')).toEqual(socket);
    expect(parseScanned(placeLink(url, placeId.toUpperCase()))).toEqual({
      ok: true,
      value: { kind: 'place', placeId },
    });
  });

  it.each([
    ['a link of somebody else', 'https://else.example/x/1', 'scan-not-ours'],
    ['a place that is none', 'https://castbook.example/p/drawer-1', 'scan-not-ours'],
    ['a mistyped order', 'KB-26-00418-I', 'order-number-mistyped'],
    ['a mistyped order in a link', 'https://c.example/o/KB-26-00418-I', 'order-number-mistyped'],
    ['a socket that can be none', 'KB-26-00417-I/X1', 'socket-number-mistyped'],
    ['nothing', '', 'order-number-mistyped'],
  ])('%s is refused', (_what, text, code) => {
    const read = parseScanned(text);
    expect(read.ok ? [] : codes(read.reasons)).toEqual([code]);
  });
});

import fc from 'fast-check';
import { expect, test } from 'vitest';
import { CODE_BYTES, codeAsMeant, codeFrom, grouped } from '../../src/domain/oneTimeCodes.ts';

const bytes = fc.uint8Array({ minLength: CODE_BYTES, maxLength: CODE_BYTES });

test('a code is sixteen characters in four groups, none of them easily taken for another', () => {
  fc.assert(
    fc.property(bytes, (random) =>
      /^(?:[0-9A-HJKMNP-TV-Z]{4}-){3}[0-9A-HJKMNP-TV-Z]{4}$/.test(grouped(codeFrom(random))),
    ),
  );
});

test('every character is as likely as any other: 32 of them from 256 bytes', () => {
  const counts = new Map<string, number>();
  for (let byte = 0; byte < 256; byte += 1) {
    const character = codeFrom(Uint8Array.of(byte));
    counts.set(character, (counts.get(character) ?? 0) + 1);
  }
  expect(counts.size).toBe(32);
  expect(new Set(counts.values())).toEqual(new Set([8]));
});

test('however it is typed, it is the code that was given', () => {
  const typing = fc.tuple(bytes, fc.boolean(), fc.constantFrom('-', ' ', '', ' – ', '\t'));
  fc.assert(
    fc.property(typing, ([random, small, between]) => {
      const code = codeFrom(random);
      const shown = grouped(code).replaceAll('-', between).replaceAll('0', 'o').replace('1', 'l');
      return codeAsMeant(small ? shown.toLowerCase() : shown) === code;
    }),
  );
  expect(codeAsMeant('７K3F–9XQP 2mtv_8hrb')).toBe('7K3F9XQP2MTV_8HRB');
});

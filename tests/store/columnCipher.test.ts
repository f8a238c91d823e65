/** Values of single columns, encrypted: they open where they were put, under their key, and nowhere else. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { columnCipher, keyIdOf, type Cell } from '../../src/store/columnCipher.ts';
import { Refused } from '../../src/store/refused.ts';
import { OTHER_KEYS, TEST_KEYS, testCipher } from '../support/columnKeys.ts';

const PHONE: Cell = {
  table: 'patient',
  column: 'phone',
  clinicId: '0197b1a0-0000-7000-8000-000000000001',
  rowId: '0197b1a0-0000-7000-8000-000000000002',
};
const cells = fc.record<Cell>({
  table: fc.string(),
  column: fc.string(),
  clinicId: fc.string(),
  rowId: fc.string(),
});
/** Any text that UTF-8 can carry. */
const texts = fc.string({ unit: 'grapheme' });

/** The code of the refusal that a call ends with. */
const refusal = (call: () => unknown): string | undefined => {
  try {
    call();
    return undefined;
  } catch (failure) {
    if (!(failure instanceof Refused)) throw failure;
    return failure.reasons[0].code;
  }
};

describe('an encrypted value', () => {
  test('opens to the text that was put in, in its own place', () => {
    fc.assert(
      fc.property(cells, texts, (cell, text) => {
        expect(testCipher.decryptFor(cell, testCipher.encryptFor(cell, text))).toBe(text);
      }),
    );
  });

  test('opens in no other place', () => {
    fc.assert(
      fc.property(cells, cells, texts, (cell, other, text) => {
        fc.pre(JSON.stringify(cell) !== JSON.stringify(other));
        const kept = testCipher.encryptFor(cell, text);
        expect(refusal(() => testCipher.decryptFor(other, kept))).toBe('column-value-broken');
      }),
      // Names that run together into the same letters are still other names.
      { examples: [[PHONE, { ...PHONE, table: 'patientphone', column: '' }, '+43 660 1']] },
    );
  });

  test.each(['table', 'column', 'clinicId', 'rowId'] as const)(
    'does not open under another %s',
    (part) => {
      const kept = testCipher.encryptFor(PHONE, '+43 660 555 01 99');
      const moved = { ...PHONE, [part]: '0197b1a0-0000-7000-8000-000000000009' };
      expect(refusal(() => testCipher.decryptFor(moved, kept))).toBe('column-value-broken');
    },
  );

  test('does not open with any character of it changed', () => {
    const kept = testCipher.encryptFor(PHONE, '14 Kiln Street, Upper Yard');
    fc.assert(
      fc.property(fc.nat(kept.length - 1), fc.constantFrom(...'AZaz09_-.'), (at, letter) => {
        fc.pre(kept[at] !== letter);
        const changed = kept.slice(0, at) + letter + kept.slice(at + 1);
        const code = refusal(() => testCipher.decryptFor(PHONE, changed));
        // The last letter of base64url carries bits that say nothing: then it is the same value.
        if (code === undefined) {
          const body = (text: string) => Buffer.from(text.split('.')[3] ?? '', 'base64url');
          expect(body(changed).equals(body(kept))).toBe(true);
          return;
        }
        expect(['column-value-broken', 'column-key-missing']).toContain(code);
      }),
      { numRuns: 1_000 },
    );
  });

  test('is another one each time, and says its key', () => {
    const kept = Array.from({ length: 200 }, () => testCipher.encryptFor(PHONE, 'the same'));
    expect(new Set(kept).size).toBe(200);
    expect(new Set(kept.map((each) => each.split('.')[2])).size).toBe(200);
    expect(kept.map(keyIdOf)).toEqual(kept.map(() => 'test'));
    expect(['', 'plain', 'enc1', 'enc1.test.short.body', '+43 660'].map(keyIdOf)).toEqual(
      Array.from({ length: 5 }, () => undefined),
    );
  });
});

describe('keys', () => {
  const after = columnCipher([...OTHER_KEYS, ...TEST_KEYS]);

  test('the first encrypts, all of them open', () => {
    const old = testCipher.encryptFor(PHONE, 'before');
    const fresh = after.encryptFor(PHONE, 'after');
    expect(keyIdOf(fresh)).toBe('second');
    expect(after.decryptFor(PHONE, old)).toBe('before');
    expect(after.decryptFor(PHONE, fresh)).toBe('after');
  });

  test('one that is not at hand is named; what it keeps is not', () => {
    const kept = after.encryptFor(PHONE, '+43 660 555 01 99');
    try {
      testCipher.decryptFor(PHONE, kept);
      expect.unreachable();
    } catch (failure) {
      if (!(failure instanceof Refused)) throw failure;
      expect(failure.reasons[0]).toMatchObject({
        code: 'column-key-missing',
        facts: { keyId: 'second' },
      });
      expect(JSON.stringify([failure.reasons, String(failure.cause)])).not.toMatch(/555|enc1/);
    }
  });

  test('without any, nothing is written nor read', () => {
    const none = columnCipher([]);
    expect(refusal(() => none.encryptFor(PHONE, 'x'))).toBe('column-key-missing');
    const kept = testCipher.encryptFor(PHONE, 'x');
    expect(refusal(() => none.decryptFor(PHONE, kept))).toBe('column-key-missing');
    expect(none.digestsOf('patient.phone', PHONE.clinicId, '1')).toEqual([]);
  });

  test('another one given under an old name is told apart', () => {
    const [first] = TEST_KEYS;
    const [other] = OTHER_KEYS;
    const impostor = columnCipher([
      { id: first?.id ?? '', bytes: other?.bytes ?? new Uint8Array() },
    ]);
    const kept = testCipher.encryptFor(PHONE, 'x');
    expect(refusal(() => impostor.decryptFor(PHONE, kept))).toBe('column-value-broken');
    expect(impostor.checkOf('test')).not.toBe(testCipher.checkOf('test'));
    expect(testCipher.checkOf('test')).toMatch(/^[0-9a-f]{16}$/);
    expect(testCipher.checkOf('second')).toBeUndefined();
  });

  test('a key of the wrong length, or an unusable name, is a mistake of the program', () => {
    expect(() => columnCipher([{ id: 'a', bytes: new Uint8Array(16) }])).toThrow(TypeError);
    expect(() => columnCipher([{ id: 'a.b', bytes: new Uint8Array(32) }])).toThrow(TypeError);
  });
});

describe('digests of what is sought', () => {
  test('are equal for equal texts of one clinic and use, and differ otherwise', () => {
    const of = (use: string, clinicId: string, text: string) =>
      testCipher.digestsOf(use, clinicId, text)[0];
    const digest = of('patient.phone', 'a', '5550199');
    expect(of('patient.phone', 'a', '5550199')).toBe(digest);
    const others = [
      of('patient.phone', 'b', '5550199'),
      of('patient.address', 'a', '5550199'),
      of('patient.phone', 'a', '5550198'),
      columnCipher(OTHER_KEYS).digestsOf('patient.phone', 'a', '5550199')[0],
    ];
    expect(new Set([digest, ...others]).size).toBe(5);
  });

  test('come under each key, the first first', () => {
    const both = columnCipher([...OTHER_KEYS, ...TEST_KEYS]).digestsOf('u', 'c', '1');
    expect(both).toHaveLength(3);
    expect(both[2]).toBe(testCipher.digestsOf('u', 'c', '1')[0]);
  });
});

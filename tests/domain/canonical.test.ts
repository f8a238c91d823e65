import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { canonicalJson, type JsonValue } from '../../src/domain/canonical.ts';

describe('canonical JSON (R11)', () => {
  it('is one text for one value, whatever the order of its members', () => {
    fc.assert(
      fc.property(fc.dictionary(fc.string(), fc.jsonValue({ maxDepth: 3 })), (value) => {
        const members = Object.entries(value as Record<string, JsonValue>);
        const text = canonicalJson(Object.fromEntries(members));
        expect(canonicalJson(Object.fromEntries(members.toReversed()))).toBe(text);
        // Written again from what was read it is the same text, and it holds the same value.
        expect(canonicalJson(JSON.parse(text) as JsonValue)).toBe(text);
        const withoutMinusZero = JSON.parse(JSON.stringify(Object.fromEntries(members))) as unknown;
        expect(JSON.parse(text)).toEqual(withoutMinusZero);
      }),
    );
  });

  it.each([
    [undefined, 'the top'],
    [{ torque: Number.NaN }, '/torque'],
    [[1, Number.POSITIVE_INFINITY], '/1'],
    [{ joint: { at: undefined } }, '/joint/at'],
    [{ at: new Date(0) }, '/at'],
    [{ count: 1n }, '/count'],
    [{ call: () => 1 }, '/call'],
    [{ note: 'half \ud83d' }, '/note'],
    [{ 'half \ud83d': 1 }, 'a key'],
    // eslint-disable-next-line no-sparse-arrays -- the hole is what is tested
    [[1, , 2], '/1'],
  ])('stops at what JSON cannot hold: %o', (value, place) => {
    expect(() => canonicalJson(value as JsonValue)).toThrow(TypeError);
    expect(() => canonicalJson(value as JsonValue)).toThrow(place);
  });

  it('takes objects without a prototype and whole surrogate pairs', () => {
    const bare = Object.assign(Object.create(null) as Record<string, JsonValue>, { b: '😂', a: 1 });
    expect(canonicalJson(bare)).toBe('{"a":1,"b":"😂"}');
  });
});

/** What became of something since it was signed: the signature is of the earlier one. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { JsonValue } from '../../src/domain/canonical.ts';
import { correctedSince, differencesSince } from '../../src/domain/signedSince.ts';

describe('what was signed, held against what stands', () => {
  const signed = {
    socket: 'KL-26-0001-X/D1',
    bodyMassKg: 82,
    note: 'Walks well.',
    hardware: [
      { position: 'lock', item: 'Lock serial L-1' },
      { position: 'pyramid', item: 'Pyramid serial P-1' },
    ],
    joints: [{ kind: 'distal', confirmed: true }],
  };

  test('nothing is otherwise while nothing has moved', () => {
    expect(differencesSince(signed, { bodyMassKg: 82, hardware: signed.hardware })).toEqual([]);
  });

  test('a lock that was taken out, one that came in: told by position', () => {
    const hardware = [
      { position: 'pyramid', item: 'Pyramid serial P-1' },
      { position: 'pin', item: 'Pin lot N-7' },
    ];
    expect(differencesSince(signed, { hardware })).toEqual([
      { field: 'hardware', of: 'lock', signed: 'Lock serial L-1', now: null },
      { field: 'hardware', of: 'pin', signed: null, now: 'Pin lot N-7' },
    ]);
  });

  test('a joint that was opened: told by its kind', () => {
    expect(differencesSince(signed, { joints: [{ kind: 'distal', confirmed: false }] })).toEqual([
      { field: 'joints', of: 'distal', signed: true, now: false },
    ]);
  });

  test('an entry of several members is told whole', () => {
    const before = { pins: [{ position: 'pin', clicks: 5, item: 'N-7' }] };
    const now = { pins: [{ position: 'pin', clicks: 6, item: 'N-7' }] };
    expect(differencesSince(before, now)).toEqual([
      {
        field: 'pins',
        of: 'pin',
        signed: { clicks: 5, item: 'N-7' },
        now: { clicks: 6, item: 'N-7' },
      },
    ]);
  });

  test('a key that stands alone, and a figure, a list without keys, keys that come twice', () => {
    expect(differencesSince({ open: [{ title: 'Trim' }] }, { open: [] })).toEqual([
      { field: 'open', of: 'Trim', signed: {}, now: null },
    ]);
    expect(differencesSince(signed, { bodyMassKg: 84 })).toEqual([
      { field: 'bodyMassKg', of: null, signed: 82, now: 84 },
    ]);
    // Entries that nothing tells apart are told as a whole.
    expect(differencesSince({ pieces: [{ item: 'L-1' }] }, { pieces: [{ item: 'L-2' }] })).toEqual([
      { field: 'pieces', of: null, signed: [{ item: 'L-1' }], now: [{ item: 'L-2' }] },
    ]);
    expect(differencesSince({ photos: ['a'] }, { photos: ['a', 'b'] })).toEqual([
      { field: 'photos', of: null, signed: ['a'], now: ['a', 'b'] },
    ]);
    const twice = [
      { title: 'Grind', state: 'done' },
      { title: 'Grind', state: 'waiting' },
    ];
    expect(differencesSince({ operations: twice.slice(0, 1) }, { operations: twice })).toEqual([
      { field: 'operations', of: null, signed: twice.slice(0, 1), now: twice },
    ]);
  });

  test('what was not signed, and is there now, was nothing', () => {
    expect(differencesSince({}, { photos: ['a'] })).toEqual([
      { field: 'photos', of: null, signed: null, now: ['a'] },
    ]);
  });
});

describe('what was corrected since', () => {
  test('is what came after the signature; who signed later had it in sight', () => {
    const at = (time: string) => ({ correctedAt: new Date(`2026-03-02T${time}:00Z`) });
    const all = [at('09:00'), at('10:00'), at('11:00')];
    expect(correctedSince(new Date('2026-03-02T10:00:00Z'), all)).toEqual([at('11:00')]);
  });
});

const json = fc.jsonValue() as fc.Arbitrary<JsonValue>;
const entries = fc.uniqueArray(
  fc.record({ position: fc.constantFrom('lock', 'pin', 'pyramid', 'adapter'), item: fc.string() }),
  { selector: ({ position }) => position },
);

describe('whatever was signed', () => {
  test('is no other than itself', () => {
    fc.assert(
      fc.property(fc.dictionary(fc.string(), json), (content) => {
        expect(differencesSince(content, content)).toEqual([]);
      }),
    );
  });

  test('every piece that came, went or was changed for another is told, and no other', () => {
    fc.assert(
      fc.property(entries, entries, (before, after) => {
        const told = differencesSince({ hardware: before }, { hardware: after });
        const was = new Map(before.map(({ position, item }) => [position, item]));
        const is = new Map(after.map(({ position, item }) => [position, item]));
        const positions = [...new Set([...was.keys(), ...is.keys()])];
        expect(told.map(({ of }) => of).sort()).toEqual(
          positions.filter((each) => was.get(each) !== is.get(each)).sort(),
        );
        for (const { of, signed, now } of told) {
          expect([signed, now]).toEqual([
            was.get(of as 'pin') ?? null,
            is.get(of as 'pin') ?? null,
          ]);
        }
      }),
    );
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { coversLastMoves } from '../../src/domain/lastMoves.ts';

describe('evidence and the last moves of what it was taken on', () => {
  it('counts while the same moves are the last, in whatever order they are listed', () => {
    expect(coversLastMoves(['lock-in', 'pin-in'], ['pin-in', 'lock-in'])).toBe(true);
  });

  it('ends when anything moved, came or went, and never covers an empty joint', () => {
    expect(coversLastMoves(['lock-in', 'pin-in'], ['lock-in', 'pin-in-again'])).toBe(false);
    expect(coversLastMoves(['lock-in', 'pin-in'], ['lock-in'])).toBe(false);
    expect(coversLastMoves(['lock-in'], ['lock-in', 'pin-in'])).toBe(false);
    expect(coversLastMoves([], [])).toBe(false);
    expect(coversLastMoves(['lock-in'], [])).toBe(false);
  });

  it('covers exactly the set it was taken on', () => {
    const ids = fc.uniqueArray(fc.uuid(), { minLength: 1, maxLength: 8 });
    fc.assert(
      fc.property(ids, fc.uuid(), fc.nat(), (moves, later, at) => {
        fc.pre(!moves.includes(later));
        expect(coversLastMoves(moves, moves.toReversed())).toBe(true);
        expect(coversLastMoves(moves, moves.with(at % moves.length, later))).toBe(false);
        expect(coversLastMoves(moves, [...moves, later])).toBe(false);
      }),
    );
  });
});

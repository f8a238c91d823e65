import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Alignment } from '../../src/domain/alignment.ts';
import {
  combinedTilt,
  correctionOf,
  piecesPastRange,
  rangeLeft,
  socketAxis,
  towardsWords,
  type PyramidAngles,
} from '../../src/domain/alignmentGeometry.ts';
import { evenly } from '../support/figures.ts';
import { codes, NEUTRAL, refusalCodes } from '../support/limbs.ts';

const angle = evenly(-15, 15);
const anyAngles: fc.Arbitrary<PyramidAngles> = fc.record({
  flexionDeg: angle,
  adductionDeg: angle,
});
const square: Alignment = { ...NEUTRAL, flexionDeg: 0, adductionDeg: 0 };

describe('the tilt of a socket at its pyramid (C6)', () => {
  it.each([
    ['flexion leans forward', 6, 0, 6, 0],
    ['extension leans back', -6, 0, 6, 180],
    ['adduction leans laterally', 0, 6, 6, 90],
    ['abduction leans medially', 0, -6, 6, 270],
  ])('%s', (_what, flexionDeg, adductionDeg, tiltDeg, towardsDeg) => {
    const tilt = combinedTilt({ flexionDeg, adductionDeg });
    expect(tilt.tiltDeg).toBeCloseTo(tiltDeg, 9);
    expect(tilt.towardsDeg).toBeCloseTo(towardsDeg, 9);
  });

  it('of both is more than either, and lies between', () => {
    const tilt = combinedTilt({ flexionDeg: 5, adductionDeg: 5 });
    expect(tilt.tiltDeg).toBeCloseTo(7.0532, 4);
    expect(tilt.towardsDeg).toBeCloseTo(45, 9);
  });

  it.each([
    [0, 'anterior'],
    [22, 'anterior'],
    [23, 'anterior and lateral'],
    [90, 'lateral'],
    [135, 'posterior and lateral'],
    [180, 'posterior'],
    [225, 'posterior and medial'],
    [270, 'medial'],
    [315, 'anterior and medial'],
    [359.9, 'anterior'],
  ])('towards %s° is %s', (towardsDeg, words) => {
    expect(towardsWords(towardsDeg)).toBe(words);
  });

  it('that is none has no direction', () => {
    expect(combinedTilt({ flexionDeg: 0, adductionDeg: 0 })).toEqual({
      tiltDeg: 0,
      towardsDeg: null,
    });
  });

  it('the axis has length 1 and shows its angles in the two views', () => {
    fc.assert(
      fc.property(anyAngles, (angles) => {
        const [lateral, anterior, up] = socketAxis(angles);
        expect(Math.hypot(lateral, anterior, up)).toBeCloseTo(1, 12);
        expect((Math.atan2(anterior, up) * 180) / Math.PI).toBeCloseTo(angles.flexionDeg, 9);
        expect((Math.atan2(lateral, up) * 180) / Math.PI).toBeCloseTo(angles.adductionDeg, 9);
      }),
    );
  });
});

describe('what must be undone after a transfer (C6)', () => {
  it('two degrees of flexion too few: the anterior screw pushes', () => {
    const correction = correctionOf({ ...square, flexionDeg: 5 }, { ...square, flexionDeg: 3 });
    expect(correction.screws).toEqual([
      { plane: 'flexion', changeDeg: 2, loosen: 'posterior', tighten: 'anterior' },
    ]);
    expect(correction.tilt.tiltDeg).toBeCloseTo(2, 9);
    expect(correction.tilt.towardsDeg).toBeCloseTo(0, 9);
    expect(correction).toMatchObject({
      shiftMm: 0,
      shiftTowardsDeg: null,
      toeOutDeg: 0,
      heightMm: 0,
    });
  });

  it.each([
    ['flexionDeg', 2, { plane: 'flexion', loosen: 'anterior', tighten: 'posterior' }, 180],
    ['adductionDeg', -2, { plane: 'adduction', loosen: 'medial', tighten: 'lateral' }, 90],
    ['adductionDeg', 2, { plane: 'adduction', loosen: 'lateral', tighten: 'medial' }, 270],
  ] as const)('%s of %d too many', (key, measured, screw, towardsDeg) => {
    const correction = correctionOf(square, { ...square, [key]: measured });
    expect(correction.screws).toEqual([{ ...screw, changeDeg: -measured }]);
    expect(correction.tilt.towardsDeg).toBeCloseTo(towardsDeg, 6);
  });

  it('what set screws cannot do is told apart: shift, toe-out and height', () => {
    const correction = correctionOf(square, {
      ...square,
      anteriorOffsetMm: square.anteriorOffsetMm - 3,
      lateralOffsetMm: square.lateralOffsetMm + 4,
      toeOutDeg: square.toeOutDeg + 2,
      heightToFloorMm: square.heightToFloorMm - 5,
    });
    expect(correction).toMatchObject({ screws: [], toeOutDeg: -2, heightMm: 5, shiftMm: 5 });
    expect(correction.tilt).toEqual({ tiltDeg: 0, towardsDeg: null });
    // 3 mm forward and 4 mm medially.
    expect(correction.shiftTowardsDeg).toBeCloseTo(306.87, 2);
  });

  it('there and back are the same tilt the other way, and it is never more than both planes together', () => {
    fc.assert(
      fc.property(anyAngles, anyAngles, (a, b) => {
        const there = correctionOf({ ...square, ...a }, { ...square, ...b });
        const back = correctionOf({ ...square, ...b }, { ...square, ...a });
        expect(there.tilt.tiltDeg).toBeCloseTo(back.tilt.tiltDeg, 9);
        const planes =
          Math.abs(a.flexionDeg - b.flexionDeg) + Math.abs(a.adductionDeg - b.adductionDeg);
        expect(there.tilt.tiltDeg).toBeLessThanOrEqual(planes + 1e-9);
        for (const { plane, changeDeg } of there.screws) {
          const key = `${plane}Deg` as const;
          expect(b[key] + changeDeg).toBeCloseTo(a[key], 9);
        }
      }),
    );
  });
});

describe('the range that an adapter has left (C6)', () => {
  it('is even about the square pyramid', () => {
    const left = rangeLeft({ flexionDeg: 0, adductionDeg: 0 }, 10);
    expect(
      left.ok && Object.values<number>({ ...left.value }).map((value) => Number(value.toFixed(9))),
    ).toEqual([0, 10, 10, 10, 10, 10]);
  });

  it('is less one way and more the other, and a lean of one plane takes from the other', () => {
    const left = rangeLeft({ flexionDeg: 6, adductionDeg: 0 }, 10);
    expect(left).toMatchObject({ ok: true });
    if (!left.ok) return;
    expect(left.value.moreFlexionDeg).toBeCloseTo(4, 9);
    expect(left.value.moreExtensionDeg).toBeCloseTo(16, 9);
    expect(left.value.moreAdductionDeg).toBeCloseTo(8.0583, 4);
    expect(left.value.moreAbductionDeg).toBeCloseTo(left.value.moreAdductionDeg, 9);
  });

  it('is none at its end, and past it the alignment is not to be had', () => {
    const end = rangeLeft({ flexionDeg: 0, adductionDeg: 8 }, 8);
    expect(end.ok).toBe(true);
    if (!end.ok) return;
    expect(end.value.moreAdductionDeg).toBeCloseTo(0, 9);
    expect(end.value.moreFlexionDeg).toBeCloseTo(0, 3);
    // A tilt is not past the range by what binary fractions make of it.
    const { tiltDeg } = combinedTilt({ flexionDeg: 3, adductionDeg: 4 });
    expect(rangeLeft({ flexionDeg: 3, adductionDeg: 4 }, tiltDeg - 1e-12).ok).toBe(true);
    expect(rangeLeft({ flexionDeg: 6, adductionDeg: 6 }, 8)).toMatchObject({
      reasons: [{ code: 'adapter-range-exceeded', facts: { rangeDeg: 8 } }],
    });
  });

  it('is past for each piece that states one and is tilted further; a piece that states none is not judged', () => {
    const pieces = [
      { item: 'Pyramid serial 1', rangeDeg: 8 },
      { item: 'Adapter lot 4', rangeDeg: 10 },
      { item: 'Adapter lot 5', rangeDeg: null },
    ];
    const past = (flexionDeg: number) =>
      piecesPastRange({ flexionDeg, adductionDeg: 0 }, pieces).map(({ item }) => item);
    expect(past(8)).toEqual([]);
    expect(past(-8.1)).toEqual(['Pyramid serial 1']);
    expect(past(11)).toEqual(['Pyramid serial 1', 'Adapter lot 4']);
    expect(piecesPastRange({ flexionDeg: 9, adductionDeg: 0 }, pieces)[0]?.tiltDeg).toBeCloseTo(9);
  });

  it('angles and ranges that cannot be are told, each', () => {
    const verdict = rangeLeft({ flexionDeg: 50, adductionDeg: Number.NaN }, 0);
    expect(codes(verdict.ok ? [] : verdict.reasons)).toEqual(Array(3).fill('value-out-of-range'));
    expect(refusalCodes(rangeLeft({ flexionDeg: 0, adductionDeg: 0 }, 46))).toEqual([
      'value-out-of-range',
    ]);
  });

  it('going all that is left comes to the end of the range, and no further', () => {
    fc.assert(
      fc.property(anyAngles, fc.double({ min: 1, max: 30, noNaN: true }), (angles, rangeDeg) => {
        const left = rangeLeft(angles, rangeDeg);
        expect(left.ok).toBe(combinedTilt(angles).tiltDeg <= rangeDeg + 1e-9);
        fc.pre(left.ok);
        if (!left.ok) return;
        const { flexionDeg, adductionDeg } = angles;
        for (const end of [
          { flexionDeg: flexionDeg + left.value.moreFlexionDeg, adductionDeg },
          { flexionDeg: flexionDeg - left.value.moreExtensionDeg, adductionDeg },
          { flexionDeg, adductionDeg: adductionDeg + left.value.moreAdductionDeg },
          { flexionDeg, adductionDeg: adductionDeg - left.value.moreAbductionDeg },
        ]) {
          expect(combinedTilt(end).tiltDeg).toBeCloseTo(rangeDeg, 6);
        }
      }),
    );
  });
});

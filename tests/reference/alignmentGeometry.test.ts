import fc from 'fast-check';
import { cross, dot, multiply, norm, rotate, rotationMatrix, unit } from 'mathjs';
import { describe, expect, it } from 'vitest';
import {
  combinedTilt,
  correctionOf,
  rangeLeft,
  socketAxis,
  type PyramidAngles,
} from '../../src/domain/alignmentGeometry.ts';
import { evenly } from '../support/figures.ts';
import { NEUTRAL } from '../support/limbs.ts';

const radians = (degrees: number) => (degrees * Math.PI) / 180;
const degrees = (angle: number) => (angle * 180) / Math.PI;
const angle = evenly(-20, 20);
const anyAngles: fc.Arbitrary<PyramidAngles> = fc.record({
  flexionDeg: angle,
  adductionDeg: angle,
});
const UP = [0, 0, 1];

/** The axis after leaning the upright one: x lateral, y anterior, z up. */
function leant(first: PyramidAngles): number[] {
  // Flexion turns z towards y, that is about minus x; then the axis is turned within the plane
  // through x until its front view shows the adduction.
  const turn = rotationMatrix(radians(first.flexionDeg), [-1, 0, 0]) as unknown as number[][];
  const [, y = 0, z = 0] = multiply(turn, UP);
  const within = Math.atan2(Math.tan(radians(first.adductionDeg)) * z, Math.hypot(y, z));
  const pivot = cross([0, y, z], [1, 0, 0]) as number[];
  return rotate<number[]>([0, y, z], within, pivot);
}

const close = (ours: readonly number[], theirs: readonly number[]) => {
  ours.forEach((value, at) => {
    expect(value).toBeCloseTo(theirs[at] ?? Number.NaN, 10);
  });
};

describe('the geometry of alignments against the rotation matrices of mathjs (C6)', () => {
  it('flexion alone and adduction alone are plain rotations of the upright axis', () => {
    fc.assert(
      fc.property(angle, (one) => {
        close(
          socketAxis({ flexionDeg: one, adductionDeg: 0 }),
          rotate<number[]>(UP, radians(one), [-1, 0, 0]),
        );
        close(
          socketAxis({ flexionDeg: 0, adductionDeg: one }),
          rotate<number[]>(UP, radians(one), [0, 1, 0]),
        );
      }),
    );
  });

  it('both together are one rotation after the other', () => {
    fc.assert(
      fc.property(anyAngles, (angles) => {
        close(socketAxis(angles), leant(angles));
      }),
    );
  });

  it('the combined tilt, turned about the horizontal axis across its direction, gives the same axis', () => {
    fc.assert(
      fc.property(anyAngles, (angles) => {
        const { tiltDeg, towardsDeg } = combinedTilt(angles);
        fc.pre(towardsDeg !== null);
        const way = radians(towardsDeg ?? 0);
        // Seen from above the lean goes along (sin, cos); the axis to turn about lies across it.
        const about = [-Math.cos(way), Math.sin(way), 0];
        close(socketAxis(angles), rotate<number[]>(UP, radians(tiltDeg), about));
      }),
    );
  });

  it('the tilt to undo is the rotation that carries the measured axis into the accepted one', () => {
    fc.assert(
      fc.property(anyAngles, anyAngles, (accepted, measured) => {
        const { tilt } = correctionOf({ ...NEUTRAL, ...accepted }, { ...NEUTRAL, ...measured });
        const [to, from] = [[...socketAxis(accepted)], [...socketAxis(measured)]];
        fc.pre(tilt.tiltDeg > 1e-3);
        const about = cross(from, to) as number[];
        close(to, rotate<number[]>(from, radians(tilt.tiltDeg), about));
        expect(tilt.tiltDeg).toBeCloseTo(degrees(Math.acos(Math.min(1, dot(from, to)))), 4);
      }),
    );
  });

  it('5° of flexion with 5° of adduction tilt 7.05° (computed by hand from tan² 5° + tan² 5°)', () => {
    const both = { flexionDeg: 5, adductionDeg: 5 };
    expect(combinedTilt(both).tiltDeg).toBeCloseTo(7.0532, 4);
    expect(norm([...socketAxis(both)])).toBeCloseTo(1, 12);
    expect(unit(combinedTilt(both).tiltDeg, 'deg').toNumber('rad')).toBeCloseTo(0.123102, 6);
  });

  it('an adapter at the end of its range is tilted by just that range', () => {
    fc.assert(
      fc.property(anyAngles, fc.double({ min: 8, max: 30, noNaN: true }), (angles, rangeDeg) => {
        const left = rangeLeft(angles, rangeDeg);
        fc.pre(left.ok);
        if (!left.ok) return;
        const end = leant({ ...angles, flexionDeg: angles.flexionDeg + left.value.moreFlexionDeg });
        expect(degrees(Math.acos(Math.min(1, dot(UP, end))))).toBeCloseTo(rangeDeg, 6);
      }),
    );
  });
});

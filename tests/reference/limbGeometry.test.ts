import { evaluate, pi } from 'mathjs';
import { describe, expect, it } from 'vitest';
import {
  capAreaMm2,
  capArcMm,
  capMl,
  conesMl,
  lateralAreaMm2,
  limbGeometry,
} from '../../src/domain/limbGeometry.ts';

const of = (radiusMm: number): number => 2 * Math.PI * radiusMm;

/** Integrates `body` in x from `from` to `to` by Simpson's rule; the arithmetic is mathjs's. */
function integral(body: string, from: number, to: number, steps = 2_000): number {
  const h = (to - from) / steps;
  const scope = { a: from, h, n: steps };
  const f = evaluate(`f(x) = ${body}`, scope) as (x: number) => number;
  let total = f(from) + f(to);
  for (let k = 1; k < steps; k += 1) total += (k % 2 === 0 ? 2 : 4) * f(from + k * h);
  return (total * h) / 3;
}

describe('truncated cones as published (C1)', () => {
  it.each([
    [0, 4.5, 4.8, 4.1, 70.13213],
    [4.5, 9, 4.1, 3.9, 56.56045],
    [9, 20, 3.9, 3.2, 109.2306],
  ])(
    'from %d to %d, diameters %d and %d: %d (Native Tree Society, frustum worksheet; feet there, the arithmetic has no unit)',
    (fromMm, toMm, below, above, printed) => {
      const ml = conesMl([
        { heightMm: fromMm, circumferenceMm: Math.PI * below },
        { heightMm: toMm, circumferenceMm: Math.PI * above },
      ]);
      expect(Number((1_000 * ml).toPrecision(7))).toBe(printed);
    },
  );

  it('the four heights together: 235.9231 (the same worksheet)', () => {
    const stem = [
      [0, 4.8],
      [4.5, 4.1],
      [9, 3.9],
      [20, 3.2],
    ].map(([heightMm = 0, diameter = 0]) => ({ heightMm, circumferenceMm: Math.PI * diameter }));
    expect(Number((1_000 * conesMl(stem)).toPrecision(7))).toBe(235.9231);
  });

  it.each([
    [3, 8, 12, 1218.94, 449.247],
    [7, 10, 4, 917.345, 267.035],
  ])(
    'radii %d and %d, height %d: volume %d, lateral area %d (school example "volume and surface area of frustum")',
    (below, above, riseMm, volume, area) => {
      const frustum = [
        { heightMm: 0, circumferenceMm: of(below) },
        { heightMm: riseMm, circumferenceMm: of(above) },
      ];
      expect(Number((1_000 * conesMl(frustum)).toPrecision(6))).toBe(volume);
      // The print cuts off at the last digit (143π is 449.2477).
      expect(Math.floor(1_000 * lateralAreaMm2(frustum)) / 1_000).toBe(area);
    },
  );

  it('h·(C₁² + C₁C₂ + C₂²)/12π in cm gives mL (Medical Algorithms, swollen limb by truncated cones)', () => {
    const published = (10 / (12 * Math.PI)) * (25 ** 2 + 25 * 30 + 30 ** 2);
    const ours = conesMl([
      { heightMm: 0, circumferenceMm: 250 },
      { heightMm: 100, circumferenceMm: 300 },
    ]);
    expect(ours).toBeCloseTo(published, 9);
  });
});

describe('solids whose volume and area are exact (C1)', () => {
  it('a cylinder of radius 50 mm and 200 mm: 500π mL, 20 000π mm² (closed form)', () => {
    const cylinder = [0, 70, 200].map((heightMm) => ({ heightMm, circumferenceMm: of(50) }));
    expect(conesMl(cylinder)).toBeCloseTo(500 * Math.PI, 9);
    expect(lateralAreaMm2(cylinder)).toBeCloseTo(20_000 * Math.PI, 7);
  });

  it('a cone cut off just above its tip nears a third of the cylinder (closed form)', () => {
    const cone = [
      { heightMm: 0, circumferenceMm: of(1e-9) },
      { heightMm: 120, circumferenceMm: of(50) },
    ];
    expect(conesMl(cone)).toBeCloseTo((Math.PI * 50 ** 2 * 120) / 3 / 1_000, 6);
    expect(lateralAreaMm2(cone)).toBeCloseTo(Math.PI * 50 * 130, 5);
  });

  it('a half sphere: ⅔πr³ and 2πr²; its arc is a quarter of 2πr (closed form)', () => {
    expect(capMl(40, 40)).toBeCloseTo(((2 / 3) * Math.PI * 40 ** 3) / 1_000, 12);
    expect(capAreaMm2(40, 40)).toBe(2 * Math.PI * 40 ** 2);
    expect(capArcMm(40, 40)).toBeCloseTo((Math.PI * 40) / 2, 12);
  });

  it('a flat end has the area of its disc and an arc of its radius (closed form)', () => {
    expect(capAreaMm2(40, 0)).toBe(Math.PI * 1_600);
    expect(capAreaMm2(40, 1e-3)).toBeCloseTo(Math.PI * 1_600, 3);
    expect(Math.abs(capArcMm(40, 0) / 40 - 1)).toBeLessThan(5e-4);
  });
});

describe('closed forms against numerical integration by npm mathjs (C1)', () => {
  it.each([
    [36, 42, 55],
    [60, 48, 90],
  ])('a truncated cone of radii %d and %d mm over %d mm', (below, above, riseMm) => {
    const frustum = [
      { heightMm: 0, circumferenceMm: of(below) },
      { heightMm: riseMm, circumferenceMm: of(above) },
    ];
    const radius = `(${below} + ${above - below} * x / ${riseMm})`;
    const slope = (above - below) / riseMm;
    expect(1_000 * conesMl(frustum)).toBeCloseTo(integral(`pi * ${radius}^2`, 0, riseMm), 4);
    expect(lateralAreaMm2(frustum)).toBeCloseTo(
      integral(`2 * pi * ${radius} * sqrt(1 + (${slope})^2)`, 0, riseMm),
      6,
    );
  });

  it.each([
    ['flatter than a sphere', 40, 15],
    ['nearly a sphere', 40, 39.9],
    ['deeper than a sphere', 40, 70],
  ])('half an ellipsoid %s: radius %d mm, depth %d mm', (_shape, radiusMm, depthMm) => {
    // By the angle from the axis, which keeps the rim's slope finite.
    const [r, d] = [radiusMm, depthMm];
    const arc = `sqrt((${r} * cos(x))^2 + (${d} * sin(x))^2)`;
    expect(1_000 * capMl(r, d)).toBeCloseTo(
      integral(`pi * (${r} * sin(x))^2 * ${d} * sin(x)`, 0, pi / 2),
      4,
    );
    expect(capAreaMm2(r, d)).toBeCloseTo(integral(`2 * pi * ${r} * sin(x) * ${arc}`, 0, pi / 2), 5);
    const arcMm = integral(arc, 0, pi / 2);
    expect(Math.abs(capArcMm(r, d) / arcMm - 1)).toBeLessThan(1e-4);
  });

  it('a whole limb with its cap', () => {
    const limb = limbGeometry(
      [
        { heightMm: 0, circumferenceMm: of(36) },
        { heightMm: 100, circumferenceMm: of(46) },
      ],
      20,
    );
    const wall = integral('pi * (36 + x / 10)^2', 0, 100);
    const cap = integral('pi * (36 * sin(x))^2 * 20 * sin(x)', 0, pi / 2);
    expect(limb.ok && 1_000 * limb.value.volumeMl).toBeCloseTo(wall + cap, 3);
  });
});

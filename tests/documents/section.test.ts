/** The section of a layup: what is where, how thick it is drawn, and that it says so in words. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { hatchIn } from '../../src/documents/figures/hatch.ts';
import type { Figure, Point, Shape } from '../../src/documents/figures/figure.ts';
import { sectionFigure } from '../../src/documents/figures/section.ts';
import { placesOf } from '../../src/documents/figures/sectionPlaces.ts';
import { svgOf } from '../../src/documents/figures/svg.ts';
import { STARTING_FABRICS } from '../../src/domain/fabrics.ts';
import { proposeLayup, workOutLayup, type LayupFigures } from '../../src/domain/layup.ts';
import { STARTING_LAYUP_RULES, type LayupLine } from '../../src/domain/layupRules.ts';
import { basisOn, GLASS_CLOTH, limbShape } from '../support/layups.ts';

function workedOut(lines: readonly LayupLine[]): LayupFigures {
  const verdict = workOutLayup(lines, basisOn({ fabrics: [...STARTING_FABRICS, GLASS_CLOTH] }));
  if (!verdict.ok) throw new Error(verdict.reasons.map(({ detail }) => detail).join(' '));
  return verdict.value;
}
const proposed = (): readonly LayupLine[] => {
  const patient = { bodyMassKg: 82, functionalLevel: 'K3', level: 'trans_tibial' } as const;
  const verdict = proposeLayup(patient, limbShape(), STARTING_LAYUP_RULES, STARTING_FABRICS);
  if (!verdict.ok) throw new Error('the rules propose nothing');
  return verdict.value.lines;
};
const drawn = (lines: readonly LayupLine[], approved = true, mostHeightPt?: number): Figure =>
  sectionFigure(
    {
      socketNumber: 'KL-26-00001-X/D1',
      running: 2,
      approved,
      lines,
      figures: workedOut(lines),
    },
    mostHeightPt,
  );

const textsOf = ({ shapes }: Figure): string[] =>
  shapes.flatMap((shape) => (shape.kind === 'text' ? [shape.text] : []));
const isBand = (shape: Shape): shape is Extract<Shape, { kind: 'path' }> =>
  shape.kind === 'path' && shape.bare === true;
/** The drawn bodies of the layers, from the inside to the outside. */
const bandsOf = ({ shapes }: Figure) => shapes.filter(isBand);
const spanAt = (points: readonly Point[], x: number): number => {
  const ys = points.filter((point) => Math.abs(point.x - x) < 1e-6).map(({ y }) => y);
  return Math.max(...ys) - Math.min(...ys);
};
const rightmost = (points: readonly Point[]): number => Math.max(...points.map(({ x }) => x));

describe('the section of a layup', () => {
  test('the starting layup has four places, as thick as the figures say', () => {
    const figures = workedOut(proposed());
    const places = placesOf(figures.section);
    expect(places.map(({ name }) => name.join(' '))).toEqual([
      'wall',
      'medial, lateral',
      'anterior, posterior',
      'distal end',
    ]);
    expect(places[0]?.thicknessMm).toBeCloseTo(figures.wallThicknessMm, 12);
    expect(places[1]?.thicknessMm).toBeCloseTo(figures.stripThicknessMm, 12);
    expect(places[3]?.thicknessMm).toBeCloseTo(figures.distalEndThicknessMm, 12);
    expect(places.map(({ layers }) => layers)).toEqual([
      [0, 3, 4, 6],
      [0, 1, 3, 4, 6],
      [0, 2, 3, 4, 6],
      [0, 1, 2, 3, 4, 5, 6],
    ]);
    const texts = textsOf(drawn(proposed()));
    for (const { thicknessMm } of places) {
      expect(texts).toContain(`${thicknessMm.toFixed(2)} mm`);
    }
  });

  test('without strips there are two places, and one name less for each direction', () => {
    const braid = proposed().filter((line) => line.kind === 'fabric' && line.reflected);
    expect(placesOf(workedOut(braid).section).map(({ name }) => name)).toEqual([
      ['wall'],
      ['distal end'],
    ]);
    const medial = proposed().filter(
      (line) => line.kind === 'fabric' && line.direction !== 'anterior_posterior',
    );
    expect(placesOf(workedOut(medial).section)).toHaveLength(3);
  });

  test('layers are as thick as each other in the drawing as they will be in the wall', () => {
    const { section } = workedOut(proposed());
    const bands = bandsOf(drawn(proposed()));
    // The strips are each in two pieces: where they run, and at the distal end.
    const atEnd = bands.filter(({ points }) => rightmost(points) === rightmost(bands[0]!.points));
    expect(atEnd).toHaveLength(section.length);
    const scale = (at: number): number =>
      spanAt(atEnd[at]!.points, rightmost(atEnd[at]!.points)) / section[at]!.thicknessMm!;
    for (const at of [1, 2, 3, 4, 6]) expect(scale(at)).toBeCloseTo(scale(0), 6);
  });

  test('neighbouring strips of one fabric look alike, and other fabrics do not', () => {
    const fills = bandsOf(drawn(proposed())).map(({ fill }) => fill);
    // nylon, medial-lateral strip twice, anterior-posterior strip, braid, nylon, plate, stockinette.
    expect(fills).toEqual(['white', 'dark', 'dark', 'dark', 'light', 'white', 'black', 'grey']);
  });

  test('the legend names every layer from the outside inwards, and says what is not approved', () => {
    const figure = drawn(proposed(), false);
    const texts = textsOf(figure);
    expect(texts[0]).toBe('Layup 2 of KL-26-00001-X/D1, draft, not approved');
    expect(texts.filter((text) => /^\d {2}/.test(text))).toEqual([
      '1  Sheer nylon stockinette 150 mm',
      '2  Carbon strip 50 mm',
      '3  Carbon strip 50 mm',
      '4  Carbon braid 150 mm',
      '5  Sheer nylon stockinette 150 mm',
      '6  tooling plate',
      '7  Finishing stockinette 150 mm',
    ]);
    const heights = figure.shapes.flatMap((shape) =>
      shape.kind === 'text' && /^\d {2}/.test(shape.text) ? [shape.at.y] : [],
    );
    expect(heights).toEqual(heights.toSorted((a, b) => b - a));
    expect(texts.some((text) => /^2 layers, bias, reflected; 1\.00 mm$/.test(text))).toBe(true);
  });

  test('on a short page its rows come closer, and each has its name alone', () => {
    const names = (texts: readonly string[]) => texts.filter((text) => /^\d {2}/.test(text));
    const open = drawn(proposed());
    const close = drawn(proposed(), true, 300);
    expect(close.heightPt).toBeLessThanOrEqual(300);
    expect(open.heightPt).toBeGreaterThan(300);
    expect(names(textsOf(close))).toEqual(names(textsOf(open)));
    expect(textsOf(close).filter((text) => text.includes('; '))).toEqual([
      '1 mm of thickness; widths and plate are not to scale',
    ]);
    // Who hears it misses nothing.
    expect(close.description).toBe(open.description);
  });

  test('who cannot see it hears layers and thicknesses', () => {
    const { description } = drawn(proposed());
    expect(description).toContain('2 Carbon strip 50 mm: 1 layer, medial-lateral; 0.43 mm');
    expect(description).toContain('6 tooling plate: at the distal end');
    // Computed by hand, see tests/api/layup.test.ts; the bench's limb has no part in a thickness.
    expect(description).toContain(
      'wall 1.35 mm, medial, lateral 1.78 mm, anterior, posterior 1.78 mm, distal end 2.20 mm',
    );
    expect(svgOf(drawn(proposed()))).toContain(`<desc>${description}</desc>`);
  });

  test('whatever the layup, everything lies inside the figure', () => {
    const anyLine = fc.oneof(
      fc
        .record({
          layers: fc.integer({ min: 1, max: 12 }),
          fabric: fc.constantFrom('structural_braid_150', 'glass_cloth'),
        })
        .map(({ layers, fabric }): LayupLine => ({
          kind: 'fabric',
          fabric,
          layers,
          direction: 'bias',
          reflected: false,
        })),
      fc
        .record({
          layers: fc.integer({ min: 1, max: 12 }),
          direction: fc.constantFrom('medial_lateral' as const, 'anterior_posterior' as const),
        })
        .map((of): LayupLine => ({
          kind: 'fabric',
          fabric: 'carbon_strip_50',
          reflected: false,
          ...of,
        })),
      fc.constant<LayupLine>({ kind: 'tooling_plate' }),
    );
    fc.assert(
      fc.property(
        fc
          .array(anyLine, { minLength: 1, maxLength: 40 })
          .filter((lines) => lines.some(({ kind }) => kind === 'fabric')),
        (lines) => {
          const { shapes, widthPt, heightPt } = drawn(lines);
          for (const shape of shapes) {
            const points = shape.kind === 'path' ? shape.points : [shape.at];
            for (const { x, y } of points) {
              expect(x >= 0 && x <= widthPt && y >= 0 && y <= heightPt).toBe(true);
            }
          }
        },
      ),
      { numRuns: 60 },
    );
  });
});

describe('hatching', () => {
  const square = [
    { x: 0, y: 0 },
    { x: 10, y: 0 },
    { x: 10, y: 10 },
    { x: 0, y: 10 },
  ];
  const lengths = (shapes: readonly Shape[]): number[] =>
    shapes.map((shape) => {
      const [from, to] = shape.kind === 'path' ? shape.points : [];
      return Math.hypot(to!.x - from!.x, to!.y - from!.y);
    });

  test('level lines cross a square from side to side, slanted ones are longest in its middle', () => {
    const level = hatchIn(square, { angleDeg: 0, gapPt: 4, ink: 'black' });
    expect(lengths(level)).toEqual([10, 10, 10]);
    const slanted = lengths(hatchIn(square, { angleDeg: -45, gapPt: 1, ink: 'black' }));
    expect(Math.max(...slanted)).toBeCloseTo(10 * Math.SQRT2, 6);
    // Lines at a gap of 1 fill the square: lengths times gap are its area, but for the ends.
    expect(slanted.reduce((sum, each) => sum + each, 0)).toBeCloseTo(100, -1);
  });

  test('a notch in the outline is left out', () => {
    const notched = [
      { x: 0, y: 0 },
      { x: 4, y: 0 },
      { x: 4, y: 8 },
      { x: 6, y: 8 },
      { x: 6, y: 0 },
      { x: 10, y: 0 },
      { x: 10, y: 10 },
      { x: 0, y: 10 },
    ];
    const lines = hatchIn(notched, { angleDeg: 0, gapPt: 3, ink: 'black' });
    expect(lengths(lines)).toEqual([4, 4, 4, 4, 4, 4, 10]);
  });
});

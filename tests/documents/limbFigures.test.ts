/** The drawn limb and the drawn alignment: to scale, the right way round, inside their frame. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { alignmentFigure, type AlignmentDrawing } from '../../src/documents/figures/alignment.ts';
import type { Figure, Point, Shape } from '../../src/documents/figures/figure.ts';
import {
  limbProfileFigure,
  PROFILE_ON_PAGE,
  type DrawnLimb,
} from '../../src/documents/figures/limbProfile.ts';
import { svgOf } from '../../src/documents/figures/svg.ts';
import type { Alignment } from '../../src/domain/alignment.ts';
import { limbGeometry } from '../../src/domain/limbGeometry.ts';
import { SIDES, type Side } from '../../src/domain/words.ts';
import { NEUTRAL } from '../support/limbs.ts';

type Path = Extract<Shape, { kind: 'path' }>;
type Text = Extract<Shape, { kind: 'text' }>;
const paths = ({ shapes }: Figure): Path[] => shapes.filter((each) => each.kind === 'path');
const texts = ({ shapes }: Figure): Text[] => shapes.filter((each) => each.kind === 'text');
const words = (figure: Figure): string[] => texts(figure).map(({ text }) => text);
const ends = ({ points }: Path): [Point, Point] => {
  const [first, last] = [points[0], points.at(-1)];
  if (first === undefined || last === undefined) throw new Error('a path without points');
  return [first, last];
};
/** Every point of every line lies in the frame. */
const staysInside = (figure: Figure): void => {
  for (const { x, y } of paths(figure).flatMap(({ points }) => points)) {
    expect(x).toBeGreaterThanOrEqual(-0.01);
    expect(x).toBeLessThanOrEqual(figure.widthPt + 0.01);
    expect(y).toBeGreaterThanOrEqual(-0.01);
    expect(y).toBeLessThanOrEqual(figure.heightPt + 0.01);
  }
};

const TABLE: readonly (readonly [number, number])[] = [
  [0, 232],
  [40, 268],
  [80, 297],
  [120, 321],
  [160, 338],
];
function limb(label: string, girth = 1, table = TABLE): DrawnLimb {
  const measures = table.map(([heightMm, around]) => ({
    heightMm,
    circumferenceMm: around * girth,
  }));
  const verdict = limbGeometry(measures, null);
  if (!verdict.ok) throw new Error('no limb');
  return { label, measures, cap: verdict.value.cap, profile: verdict.value.profile };
}
const record = (drawn: DrawnLimb, over: DrawnLimb | null = null) => ({
  limb: 'left trans-tibial limb, order KL-26-00001-X',
  drawn,
  over,
});

describe('the drawn limb', () => {
  const outline = (figure: Figure, dashed: boolean): Path => {
    const found = paths(figure).find(
      (path) => path.points.length > 8 && (path.dashed ?? false) === dashed,
    );
    if (found === undefined) throw new Error('no outline');
    return found;
  };
  const widthOf = ({ points }: Path): number =>
    Math.max(...points.map(({ x }) => x)) - Math.min(...points.map(({ x }) => x));

  it('is as wide as its greatest section, by its own bar', () => {
    const figure = limbProfileFigure(record(limb('cast 1')), PROFILE_ON_PAGE);
    const [left, right] = ends(
      paths(figure).find(({ points, weightPt }) => points.length === 2 && weightPt === 1.2)!,
    );
    const pointsAMm = (right.x - left.x) / 50;
    expect(widthOf(outline(figure, false)) / pointsAMm).toBeCloseTo(338 / Math.PI, 6);
    expect(words(figure)).toContain('bar 50 mm, figures in mm');
    // A page is shown at any size: only paper says 1 : n.
    const onPaper = { widthPt: 300, mostHeightPt: 340, saysReduction: true };
    expect(words(limbProfileFigure(record(limb('cast 1')), onPaper))).toContain('1 : 2, bar 50 mm');
  });

  it('has the other set dashed over it, at the same scale and from the same height', () => {
    const figure = limbProfileFigure(record(limb('fitting', 0.9), limb('cast 1')), PROFILE_ON_PAGE);
    const [solid, dashed] = [outline(figure, false), outline(figure, true)];
    expect(widthOf(solid) / widthOf(dashed)).toBeCloseTo(0.9, 9);
    expect(ends(solid)[0].y).toBeCloseTo(ends(dashed)[0].y, 9);
    expect(words(figure)).toEqual(expect.arrayContaining(['fitting', 'cast 1', 'dashed', '338']));
  });

  it('says the same in words', () => {
    const { description } = limbProfileFigure(record(limb('cast 1'), limb('fitting', 0.5)), {
      ...PROFILE_ON_PAGE,
    });
    expect(description).toContain('cast 1: 232 mm around at 0 mm');
    expect(description).toContain('half the radius there, nobody measured it');
    expect(description).toContain('Dashed, fitting: 116 mm around');
  });

  it('of any size stays inside its frame, and no two heights run into one another', () => {
    const rows = fc
      .array(
        fc.tuple(fc.double({ min: 1, max: 28, noNaN: true }), fc.integer({ min: 100, max: 1000 })),
        {
          minLength: 3,
          maxLength: 40,
        },
      )
      .map((steps) => {
        let heightMm = 0;
        return steps.map(([rise, around]) => [(heightMm += rise), around] as const);
      });
    fc.assert(
      fc.property(rows, rows, (table, other) => {
        const figure = limbProfileFigure(
          record(limb('one', 1, table), limb('other', 1, other)),
          PROFILE_ON_PAGE,
        );
        staysInside(figure);
        expect(figure.heightPt).toBeLessThanOrEqual(PROFILE_ON_PAGE.mostHeightPt + 0.01);
        const heights = texts(figure)
          .filter(({ at, anchor }) => at.x === 0 && anchor === undefined && at.y > 12)
          .map(({ at }) => at.y)
          .sort((a, b) => a - b);
        heights.slice(1).forEach((y, at) => {
          expect(y - (heights[at] ?? 0)).toBeGreaterThanOrEqual(13.9);
        });
      }),
      { numRuns: 60 },
    );
  });
});

const drawing = (over: Partial<AlignmentDrawing> = {}): AlignmentDrawing => ({
  socket: 'KL-26-00001-X/D1',
  side: 'left',
  tolerance: { angleDeg: 1, lengthMm: 3 },
  accepted: null,
  measured: { label: 'KL-26-00001-X/D1, Tue 10 Mar 2026 15:05', values: NEUTRAL },
  note: null,
  ...over,
});
const measured = (values: Alignment, side: Side = 'left', over: Partial<AlignmentDrawing> = {}) =>
  alignmentFigure(drawing({ side, measured: { label: 'now', values }, ...over }));

describe('the drawn alignment', () => {
  /** The two socket axes, front view first: the heaviest lines that lean. */
  const axes = (figure: Figure): [Point, Point][] =>
    paths(figure)
      .filter(({ weightPt, points, ink }) => weightPt === 2.4 && points.length === 2 && !ink)
      .slice(0, 2)
      .map(ends);
  const lean = ([from, to]: [Point, Point]): number =>
    (Math.atan2(to.x - from.x, from.y - to.y) * 180) / Math.PI;
  /** Which words stand at the right end of each view. */
  const onTheRight = (figure: Figure): string[] =>
    texts(figure)
      .filter(({ text, anchor }) => anchor === 'end' && /\((outer|inner|front|back)\)/.test(text))
      .map(({ text }) => text);
  const straightUp = { ...NEUTRAL, flexionDeg: 0, adductionDeg: 0 };

  it('of a left leg has its outer side on the right from the front, and its front on the left from outside', () => {
    expect(onTheRight(measured(NEUTRAL, 'left'))).toEqual(['lateral (outer)', 'posterior (back)']);
    expect(onTheRight(measured(NEUTRAL, 'right'))).toEqual(['medial (inner)', 'anterior (front)']);
    expect(words(measured(NEUTRAL, 'left'))).toContain('LEFT');
    expect(words(measured(NEUTRAL, 'right'))).toContain('the patient’s right leg');
  });

  it.each([
    ['adduction leans a left socket’s upper end outwards, to the right', 'left', 0, 6, [6, 0]],
    ['and a right one’s to the left', 'right', 0, 6, [-6, 0]],
    ['flexion leans it forward: a left one’s to the left from outside', 'left', 8, 0, [0, -8]],
    ['a right one’s to the right', 'right', 8, 0, [0, 8]],
    ['extension leans it back', 'right', -8, 0, [0, -8]],
  ] as const)('%s, at its true angle', (_what, side, flexionDeg, adductionDeg, [front, outer]) => {
    const [first, second] = axes(measured({ ...straightUp, flexionDeg, adductionDeg }, side));
    expect(lean(first!)).toBeCloseTo(front, 9);
    expect(lean(second!)).toBeCloseTo(outer, 9);
  });

  it('has each pyramid at its offset, by its own bar and on its own side', () => {
    const figure = measured({ ...straightUp, anteriorOffsetMm: 20, lateralOffsetMm: -10 });
    const bar = paths(figure).find(({ weightPt, ink }) => weightPt === 2.4 && ink === 'grey');
    const pointsAMm = (ends(bar!)[1].x - ends(bar!)[0].x) / 20;
    const pyramids = paths(figure).filter(({ fill }) => fill === 'black');
    const reference = axes(figure).map(([from]) => from.x);
    const offsets = pyramids.map(({ points }, at) => {
      const middle = points.reduce((sum, { x }) => sum + x, 0) / points.length;
      return (middle - (reference[at] ?? 0)) / pointsAMm;
    });
    // A left leg: medial is on the left from the front, anterior on the left from outside.
    expect(offsets[0]).toBeCloseTo(-10, 9);
    expect(offsets[1]).toBeCloseTo(-20, 9);
    expect(words(figure)).toContain('pyramid 10 mm medial (inwards)');
    expect(words(figure)).toContain('pyramid 20 mm anterior (to the front)');
  });

  it('has the accepted one dashed, and says in its table what is outside the tolerance', () => {
    const accepted = { label: 'KL-26-00001-X/C1', values: NEUTRAL };
    const turned = { ...NEUTRAL, flexionDeg: 7, toeOutDeg: 5.5, heightToFloorMm: 456 };
    const figure = measured(turned, 'left', { accepted });
    expect(paths(figure).some(({ dashed }) => dashed)).toBe(true);
    expect(words(figure).filter((each) => each.startsWith('outside'))).toEqual([
      'outside ± 1°',
      'outside ± 3 mm',
    ]);
    expect(words(figure)).toEqual(expect.arrayContaining(['+2°', '−0.5°', '+4 mm', '456 mm']));
    // Alone, the accepted one is drawn out.
    const alone = alignmentFigure(drawing({ accepted, measured: null, note: 'Not measured yet.' }));
    expect(paths(alone).some(({ dashed }) => dashed)).toBe(false);
    expect(words(alone)).toContain('Not measured yet.');
    expect(words(alone)).toContain('flexion 5°');
  });

  it('says the same in words', () => {
    const { title, description } = measured(NEUTRAL);
    expect(title).toBe('Alignment of socket KL-26-00001-X/D1, left leg');
    expect(description).toContain('Flexion (extension −) +5°, Adduction (abduction −) +3°');
    expect(description).toContain('tilt 5.8° towards anterior and lateral');
  });

  it('of anything that can be typed stays inside its frame and is clean SVG', () => {
    const any: fc.Arbitrary<Alignment> = fc.record({
      flexionDeg: fc.double({ min: -45, max: 45, noNaN: true }),
      adductionDeg: fc.double({ min: -30, max: 30, noNaN: true }),
      anteriorOffsetMm: fc.double({ min: -120, max: 120, noNaN: true }),
      lateralOffsetMm: fc.double({ min: -120, max: 120, noNaN: true }),
      toeOutDeg: fc.double({ min: -45, max: 60, noNaN: true }),
      heightToFloorMm: fc.double({ min: 20, max: 1200, noNaN: true }),
    });
    fc.assert(
      fc.property(any, any, fc.constantFrom(...SIDES), (now, then, side) => {
        const figure = measured(now, side, { accepted: { label: 'then', values: then } });
        staysInside(figure);
        expect(svgOf(figure)).not.toMatch(/NaN|undefined|Infinity/);
      }),
      { numRuns: 60 },
    );
  });
});

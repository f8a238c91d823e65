/** A socket on its pyramid in two views, true in angles and offsets: what `alignment.ts` sets figures to. */
import type { Alignment } from '../../domain/alignment.ts';
import { figure } from '../../domain/reasons/figures.ts';
import type { Side } from '../../domain/words.ts';
import type { Point, Shape } from './figure.ts';
import { path, straight } from './lines.ts';

/** One plane: its angle and offset, and which way each counts. */
interface View {
  readonly title: string;
  readonly angle: 'flexionDeg' | 'adductionDeg';
  readonly offset: 'anteriorOffsetMm' | 'lateralOffsetMm';
  readonly angleWords: readonly [plus: string, minus: string];
  readonly offsetWords: readonly [plus: string, minus: string];
  readonly ends: readonly [plus: string, minus: string];
  /** Whether what counts as plus lies on the right of the drawing. */
  readonly plusIsRight: (side: Side) => boolean;
}

/**
 * Who faces the patient has the patient's left on the right: a left leg's outer
 * side. Who stands at the outer side of a left leg has its front on the left.
 */
export const VIEWS: readonly [front: View, side: View] = [
  {
    title: 'seen from the front',
    angle: 'adductionDeg',
    offset: 'lateralOffsetMm',
    angleWords: ['adduction', 'abduction'],
    offsetWords: ['lateral (outwards)', 'medial (inwards)'],
    ends: ['lateral (outer)', 'medial (inner)'],
    plusIsRight: (side) => side === 'left',
  },
  {
    title: 'seen from the outer side',
    angle: 'flexionDeg',
    offset: 'anteriorOffsetMm',
    angleWords: ['flexion', 'extension'],
    offsetWords: ['anterior (to the front)', 'posterior (to the back)'],
    ends: ['anterior (front)', 'posterior (back)'],
    plusIsRight: (side) => side === 'right',
  },
];

export const VIEW_PT = 245;
const AXIS_MM = 120;
const MOST_PT_A_MM = 1.5;
/** Half of a view, less a margin. */
const REACH_PT = 112;
/** Heights in the drawing, whose head is above the views. */
const Y = { title: 42, ends: 60, top: 78, pyramid: 264, floor: 338, figures: 356 } as const;
export const VIEWS_END_PT = 376;
/** Half of what the cup and the pyramid are drawn wide. */
const CUP_MM = 26;
const PYRAMID_MM = 12;

const radians = (degrees: number): number => (degrees * Math.PI) / 180;

/** Points a millimetre, at which every axis and every offset stays inside its view. */
export function scaleFor(alignments: readonly Alignment[]): number {
  const reachMm = alignments.flatMap((each) =>
    VIEWS.flatMap(({ angle, offset }) => [
      Math.abs(each[offset]) + PYRAMID_MM,
      Math.abs(Math.tan(radians(each[angle]))) * AXIS_MM + CUP_MM,
    ]),
  );
  return Math.min(MOST_PT_A_MM, REACH_PT / Math.max(...reachMm, 1));
}

/**
 * One view, `VIEW_PT` wide from `left` on.
 * @param scale points a millimetre
 */
export function drawView(
  view: View,
  left: number,
  side: Side,
  scale: number,
  solid: Alignment | null,
  dashed: Alignment | null,
): Shape[] {
  const middle = left + VIEW_PT / 2;
  const plusIsRight = view.plusIsRight(side);
  const [plusEnd, minusEnd] = view.ends;
  const [onLeft, onRight] = plusIsRight ? [minusEnd, plusEnd] : [plusEnd, minusEnd];
  const frame: Frame = { middle, plus: plusIsRight ? 1 : -1, scale };
  return [
    { kind: 'text', text: view.title, at: { x: middle, y: Y.title }, anchor: 'middle', bold: true },
    { kind: 'text', text: onLeft, at: { x: left, y: Y.ends } },
    { kind: 'text', text: onRight, at: { x: left + VIEW_PT, y: Y.ends }, anchor: 'end' },
    straight([middle, Y.top], [middle, Y.floor], { weightPt: 0.8, ink: 'grey' }),
    straight([left, Y.floor], [left + VIEW_PT, Y.floor], { weightPt: 1.6 }),
    { kind: 'text', text: 'floor', at: { x: left, y: Y.floor + 13 } },
    ...(dashed === null ? [] : drawDashed(view, dashed, frame)),
    ...(solid === null ? [] : drawSolid(view, solid, frame)),
  ];
}

interface Frame {
  readonly middle: number;
  /** 1 where plus lies on the right, else −1. */
  readonly plus: 1 | -1;
  readonly scale: number;
}

/**
 * Points by their way along the socket's axis and across it, in points; the axis
 * begins where the reference line meets the pyramid's level.
 */
function alongAxis(view: View, values: Alignment, { middle, plus }: Frame) {
  const lean = plus * Math.tan(radians(values[view.angle]));
  const length = Math.hypot(lean, 1);
  return (up: number, across: number): Point => ({
    x: middle + (up * lean + across) / length,
    y: Y.pyramid + (across * lean - up) / length,
  });
}

/** The pyramid, seen from the side, hanging at its offset from the reference line. */
function pyramidOf(view: View, values: Alignment, { middle, plus, scale }: Frame): Point[] {
  const x = middle + plus * values[view.offset] * scale;
  const corner = (across: number, down: number): Point => ({ x: x + across, y: Y.pyramid + down });
  return [corner(-9, 0), corner(9, 0), corner(5, 11), corner(-5, 11)];
}

function drawDashed(view: View, values: Alignment, frame: Frame): Shape[] {
  const at = alongAxis(view, values, frame);
  const over = { weightPt: 1.6, ink: 'dark', dashed: true } as const;
  return [
    path([at(0, 0), at(AXIS_MM * frame.scale, 0)], over),
    path(pyramidOf(view, values, frame), { ...over, closed: true }),
  ];
}

/** Axis, cup, pyramid, the tube to the floor with its break, and the figures beneath. */
function drawSolid(view: View, values: Alignment, frame: Frame): Shape[] {
  const { middle, scale } = frame;
  const at = alongAxis(view, values, frame);
  const [top, half] = [AXIS_MM * scale, CUP_MM * scale];
  const cup = [
    at(top * 0.94, -half),
    at(half * 1.1, -half),
    at(half * 0.45, -half * 0.82),
    at(4, -half * 0.4),
    at(4, half * 0.4),
    at(half * 0.45, half * 0.82),
    at(half * 1.1, half),
    at(top * 0.94, half),
  ];
  const pyramid = pyramidOf(view, values, frame);
  const x = ((pyramid[0]?.x ?? middle) + (pyramid[1]?.x ?? middle)) / 2;
  const tubeTop = Y.pyramid + 11;
  const breakAt = (tubeTop + Y.floor) / 2;
  const tube = [-4, 4].flatMap((across) => [
    straight([x + across, tubeTop], [x + across, breakAt - 4 - across / 2], { weightPt: 1.2 }),
    straight([x + across, breakAt + 4 - across / 2], [x + across, Y.floor], { weightPt: 1.2 }),
  ]);
  const breaks = [-4, 4].map((down) =>
    straight([x - 9, breakAt + down + 4.5], [x + 9, breakAt + down - 4.5], { weightPt: 1.2 }),
  );
  const words = (text: string, y: number): Shape => ({
    kind: 'text',
    text,
    at: { x: middle, y },
    anchor: 'middle',
    bold: true,
  });
  return [
    path(cup, { weightPt: 1.2, ink: 'grey' }),
    path([at(0, 0), at(top, 0)], { weightPt: 2.4 }),
    straight([middle, Y.pyramid], [x, Y.pyramid], { weightPt: 1.6 }),
    path(pyramid, { closed: true, fill: 'black' }),
    ...tube,
    ...breaks,
    words(wordsOf(values[view.angle], '°', view.angleWords), Y.figures),
    words(`pyramid ${wordsOf(values[view.offset], ' mm', view.offsetWords, true)}`, Y.figures + 16),
  ];
}

/** `extension 2°`, or with the word behind: `4 mm medial (inwards)`. */
function wordsOf(
  value: number,
  unit: string,
  [plus, minus]: readonly [string, string],
  behind = false,
): string {
  const size = figure(Math.abs(value), 1);
  const word = value < 0 && size !== '0' ? minus : plus;
  return behind ? `${size}${unit} ${word}` : `${word} ${size}${unit}`;
}

/**
 * The screws of a joint as they are seen from below, with the order of tightening
 * (C4): on the traveller, and in the drawing of the joint.
 */
import { lateralIsOnTheRight, screwPlaces, tighteningOrder } from '../../domain/fasteners.ts';
import type { Side } from '../../domain/words.ts';
import { ordinal } from '../torqueWords.ts';
import type { Figure, Point, Shape } from './figure.ts';

const WIDTH_PT = 230;
const HEIGHT_PT = 218;
const MIDDLE: Point = { x: WIDTH_PT / 2, y: HEIGHT_PT / 2 };
const RING_PT = 57;
const SCREW_PT = 15;
const NUMBER_PT = 18;
const ORDINAL_PT = 14;
/** Half the height of a figure, as a share of its type size: it is set from its baseline. */
const HALF_FIGURE = 0.35;

const placeOf = ({ x, y }: Point): Point => ({
  x: MIDDLE.x + x * RING_PT,
  y: MIDDLE.y + y * RING_PT,
});

function arrow(from: Point, to: Point): Shape[] {
  const length = Math.hypot(to.x - from.x, to.y - from.y);
  const along = { x: (to.x - from.x) / length, y: (to.y - from.y) / length };
  const on = (start: Point, by: number, across = 0): Point => ({
    x: start.x + along.x * by - along.y * across,
    y: start.y + along.y * by + along.x * across,
  });
  const gap = SCREW_PT + 3;
  return [
    { kind: 'path', weightPt: 1.2, points: [on(from, gap), on(to, -gap - 9)] },
    {
      kind: 'path',
      closed: true,
      bare: true,
      fill: 'black',
      points: [on(to, -gap), on(to, -gap - 9, 4), on(to, -gap - 9, -4)],
    },
  ];
}

function screw(offset: Point, number: number, step: number): Shape[] {
  const at = placeOf(offset);
  const alone = offset.x === 0 && offset.y === 0;
  const away = alone ? { x: 0, y: 1 } : offset;
  const reach = SCREW_PT + 20;
  return [
    { kind: 'circle', at, radiusPt: SCREW_PT, weightPt: 2.4, fill: 'white' },
    {
      kind: 'text',
      text: String(number),
      at: { x: at.x, y: at.y + HALF_FIGURE * NUMBER_PT },
      anchor: 'middle',
      sizePt: NUMBER_PT,
      bold: true,
    },
    {
      kind: 'text',
      text: ordinal(step),
      at: {
        x: at.x + away.x * (reach + 3),
        y: at.y + away.y * reach + HALF_FIGURE * ORDINAL_PT,
      },
      anchor: 'middle',
      sizePt: ORDINAL_PT,
      bold: true,
    },
  ];
}

function sides(side: Side): Shape[] {
  const words = ['medial (inner)', 'lateral (outer)'];
  const [left = '', right = ''] = lateralIsOnTheRight(side) ? words : words.reverse();
  const y = HEIGHT_PT - 4;
  return [
    { kind: 'text', text: left, at: { x: 0, y } },
    { kind: 'text', text: right, at: { x: WIDTH_PT, y }, anchor: 'end' },
  ];
}

/**
 * @param count screws of the joint, 1 to 8
 * @param side null where the drawing is for either
 */
export function screwFigure(count: number, side: Side | null): Figure {
  const places = screwPlaces(count);
  const order = tighteningOrder(count);
  const placeOfScrew = (number: number): Point => places[number - 1] ?? { x: 0, y: 0 };
  return {
    title: `Order of tightening, ${count === 1 ? 'one screw' : `${count} screws`}`,
    description:
      count === 1
        ? 'One screw, seen from below.'
        : `Seen from below, screws numbered clockwise from the front; tightened in the order ${order.join(', ')}.`,
    widthPt: WIDTH_PT,
    heightPt: HEIGHT_PT,
    shapes: [
      { kind: 'circle', at: MIDDLE, radiusPt: RING_PT + SCREW_PT + 6, weightPt: 1 },
      ...order
        .slice(1)
        .flatMap((number, at) =>
          arrow(placeOf(placeOfScrew(order[at] ?? 1)), placeOf(placeOfScrew(number))),
        ),
      ...order.flatMap((number, at) => screw(placeOfScrew(number), number, at + 1)),
      { kind: 'text', text: 'front', at: { x: MIDDLE.x, y: 11 }, anchor: 'middle', bold: true },
      ...(side === null ? [] : sides(side)),
    ],
  };
}

/** The same shapes elsewhere. */
export const shifted = (shapes: readonly Shape[], by: Point): Shape[] => {
  const to = ({ x, y }: Point): Point => ({ x: x + by.x, y: y + by.y });
  return shapes.map((shape) =>
    shape.kind === 'path'
      ? { ...shape, points: shape.points.map(to) }
      : { ...shape, at: to(shape.at) },
  );
};

/**
 * Hardware on its way from the old socket into the new one: both drawn beside one another,
 * cut open, with their positions from the inside of the limb's end downwards. A piece that
 * moves has its arrow; what stays has none; what is replaced comes fresh, drawn in black.
 */
import type { Position } from '../../domain/words.ts';
import type { Figure, Point, Shape } from './figure.ts';

/** What becomes of a piece in the old socket. */
export type LeftBehind = 'moves' | 'stays' | 'empty';
/** What the new socket's position gets: the old piece, a fresh one, nothing yet chosen, or what is there already. */
export type Arrives = 'comes' | 'fresh' | 'awaited' | 'there' | 'empty';

export interface TransferAt {
  readonly position: Position;
  /** The position in words. */
  readonly label: string;
  readonly old: LeftBehind;
  readonly oldWords: string;
  readonly new: Arrives;
  readonly newWords: string;
}

export interface TransferDrawing {
  readonly title: string;
  readonly description: string;
  readonly oldTitle: string;
  readonly oldNumber: string;
  readonly newTitle: string;
  readonly newNumber: string;
  readonly at: readonly TransferAt[];
}

/** Inside the socket's end, from the limb downwards; what is in no list here stands under it. */
const INSIDE: readonly Position[] = [
  'pin',
  'lock',
  'lock_spring',
  'release_valve',
  'lock_plate',
  'plate_screws',
];
const UNDER: readonly Position[] = ['pyramid', 'distal_screws', 'adapter'];

const WIDTH = 300;
const SOCKET = 132;
const NEW_X = WIDTH - SOCKET;
const BOX = 112;
const BOX_HIGH = 32;
const STEP = 38;
const BRIM_Y = 66;
const FIRST_Y = 92;
/** From the socket's end to what stands under it. */
const END = 20;

/** So large that it fits; a letter is taken as 0.57 of the type size (measured on this face's mean). */
const fitting = (text: string, widthPt: number, mostPt: number): number =>
  Math.min(mostPt, widthPt / (text.length * 0.57));

/** @param at what sits, or is to sit, in which position; in any order */
export function transferFigure(drawing: TransferDrawing): Figure {
  const rank = ({ position }: TransferAt): number => {
    const inside = INSIDE.indexOf(position);
    return inside >= 0 ? inside : INSIDE.length + UNDER.indexOf(position);
  };
  const at = drawing.at.toSorted((a, b) => rank(a) - rank(b));
  const insideCount = at.filter(({ position }) => INSIDE.includes(position)).length;
  const endY = FIRST_Y + Math.max(insideCount, 1) * STEP;
  const topOf = (row: number): number =>
    FIRST_Y + row * STEP + (row >= insideCount ? END + (insideCount === 0 ? STEP : 0) : 0);
  return {
    title: drawing.title,
    description: drawing.description,
    widthPt: WIDTH,
    heightPt: topOf(at.length) + 4,
    shapes: [
      ...heading(0, drawing.oldTitle, drawing.oldNumber),
      ...heading(NEW_X, drawing.newTitle, drawing.newNumber),
      shell(0, endY),
      shell(NEW_X, endY),
      ...at.flatMap((each, row) => [
        ...oldBox(each, topOf(row)),
        ...newBox(each, topOf(row)),
        ...(each.old === 'moves' && each.new === 'comes' ? arrow(topOf(row)) : []),
      ]),
    ],
  };
}

const heading = (x: number, title: string, number: string): Shape[] => [
  {
    kind: 'text',
    text: title,
    at: { x: x + SOCKET / 2, y: 15 },
    anchor: 'middle',
    sizePt: fitting(title, SOCKET, 16),
    bold: true,
  },
  {
    kind: 'text',
    text: number,
    at: { x: x + SOCKET / 2, y: 32 },
    anchor: 'middle',
    sizePt: fitting(number, SOCKET, 12),
  },
];

/** The wall from brim to brim, round the end. */
function shell(x: number, endY: number): Shape {
  const points: readonly (readonly [number, number])[] = [
    [2, BRIM_Y - 18],
    [8, BRIM_Y - 24],
    [8, endY - 6],
    [22, endY + 8],
    [SOCKET - 22, endY + 8],
    [SOCKET - 8, endY - 6],
    [SOCKET - 8, BRIM_Y - 12],
    [SOCKET - 2, BRIM_Y - 6],
  ];
  return { kind: 'path', points: points.map(([dx, y]): Point => ({ x: x + dx, y })), weightPt: 4 };
}

interface Look {
  readonly fill: 'white' | 'light' | 'black';
  readonly weightPt: number;
  readonly dashed: boolean;
}
const OLD_LOOKS: Record<LeftBehind, Look> = {
  moves: { fill: 'light', weightPt: 1.5, dashed: false },
  stays: { fill: 'white', weightPt: 3, dashed: false },
  empty: { fill: 'white', weightPt: 1, dashed: true },
};
const NEW_LOOKS: Record<Arrives, Look> = {
  comes: { fill: 'light', weightPt: 1.5, dashed: false },
  fresh: { fill: 'black', weightPt: 1.5, dashed: false },
  awaited: { fill: 'white', weightPt: 3, dashed: true },
  there: { fill: 'light', weightPt: 1.5, dashed: false },
  empty: { fill: 'white', weightPt: 1, dashed: true },
};

const oldBox = (each: TransferAt, y: number): Shape[] =>
  box(0, y, OLD_LOOKS[each.old], each.label, each.oldWords);
const newBox = (each: TransferAt, y: number): Shape[] =>
  box(NEW_X, y, NEW_LOOKS[each.new], each.label, each.newWords);

function box(socketX: number, y: number, look: Look, label: string, words: string): Shape[] {
  const x = socketX + (SOCKET - BOX) / 2;
  const right = x + BOX;
  const foot = y + BOX_HIGH;
  const ink = look.fill === 'black' ? 'white' : 'black';
  const middle = { anchor: 'middle', ink } as const;
  const room = BOX - 8;
  return [
    {
      kind: 'path',
      points: [
        { x, y },
        { x: right, y },
        { x: right, y: foot },
        { x, y: foot },
      ],
      closed: true,
      ...look,
    },
    {
      kind: 'text',
      text: label,
      at: { x: x + BOX / 2, y: y + 14 },
      sizePt: fitting(label, room, 13),
      bold: true,
      ...middle,
    },
    {
      kind: 'text',
      text: words,
      at: { x: x + BOX / 2, y: y + 27 },
      sizePt: fitting(words, room, 11.5),
      ...middle,
    },
  ];
}

function arrow(y: number): Shape[] {
  const from = (SOCKET + BOX) / 2 + 2;
  const to = NEW_X + (SOCKET - BOX) / 2 - 3;
  const at = y + BOX_HIGH / 2;
  return [
    {
      kind: 'path',
      points: [
        { x: from, y: at },
        { x: to - 8, y: at },
      ],
      weightPt: 3,
    },
    {
      kind: 'path',
      points: [
        { x: to - 10, y: at - 7 },
        { x: to, y: at },
        { x: to - 10, y: at + 7 },
      ],
      closed: true,
      fill: 'black',
    },
  ];
}

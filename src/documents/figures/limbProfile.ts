/**
 * The limb's outline, true to scale in both directions, from its circumferences:
 * every section round, the distal end down. Another set of the same limb may lie
 * dashed over it.
 */
import type { DistalCap, ProfilePoint } from '../../domain/limbGeometry.ts';
import type { LimbMeasure } from '../../domain/measures.ts';
import { figure } from '../../domain/reasons/figures.ts';
import type { Figure, Point, Shape } from './figure.ts';

/** A set of measures with the outline that the domain makes of it. */
export interface DrawnLimb {
  /** What it is called under the drawing: `fitting, Mon 9 Mar 2026`. */
  readonly label: string;
  /** Heights rising from the distal end. */
  readonly measures: readonly LimbMeasure[];
  readonly cap: DistalCap;
  /** From the tip upwards. */
  readonly profile: readonly ProfilePoint[];
}

export interface LimbProfileRecord {
  /** Whose: `left trans-tibial limb, order KL-26-00001-X`. */
  readonly limb: string;
  readonly drawn: DrawnLimb;
  readonly over: DrawnLimb | null;
}

/** The room that a drawing has. */
export interface Room {
  readonly widthPt: number;
  /** Greatest height of the whole figure; a short limb's is as high as it needs. */
  readonly mostHeightPt: number;
  /** On paper the reduction is said; on a page only the bar, for a page is shown at any size. */
  readonly saysReduction: boolean;
}
export const PROFILE_ON_PAGE: Room = { widthPt: 400, mostHeightPt: 540, saysReduction: false };

/** A length as it is written: to the tenth of a millimetre. */
const mm = (value: number): string => figure(value, 1);

const POINTS_PER_MM = 72 / 25.4;
/** A drawing is 1 : n of the limb. */
const REDUCTIONS = [1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 12] as const;
const LEAST_REDUCTION = REDUCTIONS[REDUCTIONS.length - 1] ?? 12;
/** Room for the figures beside the outline, and for a second column of them. */
const LABELS_PT = { side: 46, second: 46 } as const;
const HEAD_PT = 26;
const FOOT_PT = 46;
const LEGEND_PT = 16;
const LINE_PT = 14;
const BAR_MM = 50;

/** Height and width of an outline, in mm. */
function extentOf(profile: readonly ProfilePoint[]): { heightMm: number; widthMm: number } {
  const heights = profile.map(({ heightMm }) => heightMm);
  return {
    heightMm: Math.max(...heights) - Math.min(...heights),
    widthMm: 2 * Math.max(...profile.map(({ radiusMm }) => radiusMm)),
  };
}

/** The least reduction at which the outline fits, so that the drawing is as large as can be. */
export function reductionFor(
  profile: readonly ProfilePoint[],
  roomWidthPt: number,
  roomHeightPt: number,
): number {
  const { heightMm, widthMm } = extentOf(profile);
  const fits = REDUCTIONS.find(
    (n) =>
      (widthMm * POINTS_PER_MM) / n <= roomWidthPt &&
      (heightMm * POINTS_PER_MM) / n <= roomHeightPt,
  );
  return fits ?? LEAST_REDUCTION;
}

/** Where the outline lies: its axis, the tip's height, points a millimetre. */
interface Frame {
  readonly axis: number;
  readonly tipMm: number;
  readonly floor: number;
  readonly scale: number;
}

const yOf = (heightMm: number, { floor, tipMm, scale }: Frame): number =>
  floor - (heightMm - tipMm) * scale;

/** Down the left side, around the distal end, up the right side. */
function outlineOf({ profile }: DrawnLimb, frame: Frame): Point[] {
  const right = profile.map(({ heightMm, radiusMm }) => ({
    x: frame.axis + radiusMm * frame.scale,
    y: yOf(heightMm, frame),
  }));
  const left = right.slice(1).map(({ x, y }) => ({ x: 2 * frame.axis - x, y }));
  return [...left.reverse(), ...right];
}

export function limbProfileFigure(record: LimbProfileRecord, room: Room): Figure {
  const { drawn, over } = record;
  const second = over === null ? 0 : LABELS_PT.second;
  const legend = over === null ? 0 : 2 * LEGEND_PT;
  const profile = [...drawn.profile, ...(over?.profile ?? [])];
  const roomPt = room.widthPt - 2 * LABELS_PT.side - second;
  const reduction = reductionFor(profile, roomPt, room.mostHeightPt - HEAD_PT - FOOT_PT - legend);
  const scale = POINTS_PER_MM / reduction;
  const floor = HEAD_PT + extentOf(profile).heightMm * scale;
  const frame: Frame = {
    axis: LABELS_PT.side + roomPt / 2,
    tipMm: Math.min(...profile.map(({ heightMm }) => heightMm)),
    floor,
    scale,
  };
  return {
    title: `Profile of the ${record.limb}`,
    description: describe(record),
    widthPt: room.widthPt,
    heightPt: floor + FOOT_PT + legend,
    shapes: [
      ...labels(drawn, over, frame, room.widthPt),
      ...(over === null
        ? []
        : [
            {
              kind: 'path',
              points: outlineOf(over, frame),
              weightPt: 1.6,
              ink: 'dark',
              dashed: true,
            } as const,
          ]),
      { kind: 'path', points: outlineOf(drawn, frame), weightPt: 2 },
      ...bar(
        frame,
        room.saysReduction
          ? `1 : ${reduction}, bar ${BAR_MM} mm`
          : `bar ${BAR_MM} mm, figures in mm`,
      ),
      ...(over === null ? [] : legendOf(drawn, over, floor + FOOT_PT, room.widthPt)),
    ],
  };
}

const describe = ({ drawn, over }: LimbProfileRecord): string =>
  [
    `${drawn.label}: ${tableWords(drawn.measures)}.`,
    `The end is drawn ${mm(drawn.cap.depthMm)} mm deep (${CAP_SOURCE_WORDS[drawn.cap.source]}).`,
    ...(over === null ? [] : [`Dashed, ${over.label}: ${tableWords(over.measures)}.`]),
  ].join(' ');

/** How the depth of the cap came about, in words. */
export const CAP_SOURCE_WORDS = {
  given: 'measured',
  lowest_height: 'taken from the lowest height',
  assumed: 'half the radius there, nobody measured it',
} as const satisfies Record<DistalCap['source'], string>;

const tableWords = (measures: readonly LimbMeasure[]): string =>
  measures
    .map(
      ({ heightMm, circumferenceMm }) => `${mm(circumferenceMm)} mm around at ${mm(heightMm)} mm`,
    )
    .join(', ');

/**
 * Heights on the left and circumferences on the right, as many as do not run into
 * one another, each with its line across; those of the other set beside, where it
 * was measured at the same height.
 */
function labels(
  { measures }: DrawnLimb,
  over: DrawnLimb | null,
  frame: Frame,
  widthPt: number,
): Shape[] {
  const at = over === null ? widthPt : widthPt - LABELS_PT.second;
  const end = 'end' as const;
  const shapes: Shape[] = [
    { kind: 'text', text: 'height', at: { x: 0, y: 11 } },
    { kind: 'text', text: 'around', at: { x: at, y: 11 }, anchor: end },
  ];
  if (over !== null) {
    shapes.push({ kind: 'text', text: 'dashed', at: { x: widthPt, y: 11 }, anchor: end });
  }
  let labelled = Number.POSITIVE_INFINITY;
  for (const { heightMm, circumferenceMm } of measures) {
    const y = yOf(heightMm, frame);
    const fits = labelled - y >= LINE_PT;
    const half = (circumferenceMm / (2 * Math.PI)) * frame.scale;
    const [from, to] = fits
      ? [LABELS_PT.side - 12, at - LABELS_PT.side + 16]
      : [frame.axis - half, frame.axis + half];
    shapes.push({
      kind: 'path',
      points: [
        { x: from, y },
        { x: to, y },
      ],
      weightPt: 0.8,
      ink: 'grey',
    });
    if (!fits) continue;
    labelled = y;
    const base = y + 4;
    shapes.push(
      { kind: 'text', text: mm(heightMm), at: { x: 0, y: base } },
      { kind: 'text', text: mm(circumferenceMm), at: { x: at, y: base }, anchor: end, bold: true },
    );
    const same = over?.measures.find((each) => each.heightMm === heightMm);
    if (same !== undefined) {
      const text = mm(same.circumferenceMm);
      shapes.push({ kind: 'text', text, at: { x: widthPt, y: base }, anchor: end });
    }
  }
  return shapes;
}

function bar({ axis, floor, scale }: Frame, words: string): Shape[] {
  const [left, right, y] = [axis - (BAR_MM * scale) / 2, axis + (BAR_MM * scale) / 2, floor + 14];
  const line = (from: Point, to: Point): Shape => ({
    kind: 'path',
    points: [from, to],
    weightPt: 1.2,
  });
  return [
    line({ x: left, y }, { x: right, y }),
    line({ x: left, y: y - 4 }, { x: left, y: y + 4 }),
    line({ x: right, y: y - 4 }, { x: right, y: y + 4 }),
    { kind: 'text', text: words, at: { x: axis, y: y + 17 }, anchor: 'middle' },
  ];
}

function legendOf(drawn: DrawnLimb, over: DrawnLimb, topPt: number, widthPt: number): Shape[] {
  const row = (each: DrawnLimb, at: number, dashed: boolean): Shape[] => {
    const y = topPt + at * LEGEND_PT;
    return [
      {
        kind: 'path',
        points: [
          { x: widthPt / 2 - 130, y },
          { x: widthPt / 2 - 96, y },
        ],
        weightPt: dashed ? 1.6 : 2,
        ink: dashed ? 'dark' : 'black',
        dashed,
      },
      { kind: 'text', text: each.label, at: { x: widthPt / 2 - 88, y: y + 4 }, bold: !dashed },
    ];
  };
  return [...row(drawn, 0, false), ...row(over, 1, true)];
}

/**
 * The geometry of an alignment at the pyramid (C6): how far the socket's axis is
 * tilted and which way, what the set screws must undo, and how much range the
 * adapter has left.
 *
 * Flexion and adduction are what is seen in the side view and in the front view:
 * the angles of the axis projected on these planes. With x lateral, y anterior
 * and z up, the axis points along (tan adduction, tan flexion, 1): flexion leans
 * the socket's upper end forward, adduction leans it laterally. The formulas
 * follow from this by plain vector geometry.
 */
import type { Alignment, PastRange } from './alignment.ts';
import { questionFields, type Range } from './ranges.ts';
import { reason } from './reasons/index.ts';
import { refused, unless, type Verdict } from './verdict.ts';

/** The two angles that a pyramid's set screws change. */
export type PyramidAngles = Pick<Alignment, 'flexionDeg' | 'adductionDeg'>;

/** A direction in space, of length 1: lateral, anterior, up. */
export type Direction = readonly [lateral: number, anterior: number, up: number];

const radians = (degrees: number): number => (degrees * Math.PI) / 180;
const degrees = (angle: number): number => (angle * 180) / Math.PI;
const tan = (angleDeg: number): number => Math.tan(radians(angleDeg));

/** Past this an angle is a typing error. Common practice, no source. */
export const ANGLE_MOST_DEG = 45;

const ANGLE = {
  least: -ANGLE_MOST_DEG,
  greatest: ANGLE_MOST_DEG,
  unit: '°',
  usual: '0 to 10°',
};
/** The range that a pyramid or adapter states, either way. */
export const ADAPTER_RANGE: Range = {
  ...ANGLE,
  what: 'The range of the adapter',
  least: 0.1,
  usual: '8 to 12° either way',
};
const RANGES = {
  flexionDeg: { ...ANGLE, what: 'Flexion' },
  adductionDeg: { ...ANGLE, what: 'Adduction' },
  rangeDeg: ADAPTER_RANGE,
} as const satisfies Record<string, Range>;

/** The direction of the socket's axis. */
export function socketAxis({ flexionDeg, adductionDeg }: PyramidAngles): Direction {
  const [lateral, anterior] = [tan(adductionDeg), tan(flexionDeg)];
  const length = Math.hypot(lateral, anterior, 1);
  return [lateral / length, anterior / length, 1 / length];
}

/** A lean: how far, and which way seen from above. */
export interface Tilt {
  /** From 0 up. */
  readonly tiltDeg: number;
  /** 0 anterior, 90 lateral, 180 posterior, 270 medial; null where there is no tilt. */
  readonly towardsDeg: number | null;
}

/** Tilts smaller than this have no direction that could be told. */
const NO_TILT_DEG = 1e-9;

const towards = (lateral: number, anterior: number): number =>
  (degrees(Math.atan2(lateral, anterior)) + 360) % 360;

/** Seen from above, every 45° from anterior over lateral; at 0 and 360° it is anterior. */
const TOWARDS = [
  'anterior and lateral',
  'lateral',
  'posterior and lateral',
  'posterior',
  'posterior and medial',
  'medial',
  'anterior and medial',
] as const;

/** A direction in words, to the nearest 45°. @param towardsDeg as in `Tilt` */
export const towardsWords = (towardsDeg: number): (typeof TOWARDS)[number] | 'anterior' =>
  TOWARDS[Math.round(towardsDeg / 45) - 1] ?? 'anterior';

/** The combined tilt of the axis from the vertical, tan²τ = tan²flexion + tan²adduction, and its direction. */
export function combinedTilt({ flexionDeg, adductionDeg }: PyramidAngles): Tilt {
  const [lateral, anterior] = [tan(adductionDeg), tan(flexionDeg)];
  const tiltDeg = degrees(Math.atan(Math.hypot(lateral, anterior)));
  return { tiltDeg, towardsDeg: tiltDeg < NO_TILT_DEG ? null : towards(lateral, anterior) };
}

/** What the set screws do to lean the socket's upper end one way. */
export interface ScrewTurn {
  readonly plane: 'flexion' | 'adduction';
  /** What must be added to the angle, with its sign. */
  readonly changeDeg: number;
  readonly loosen: 'anterior' | 'posterior' | 'medial' | 'lateral';
  readonly tighten: 'anterior' | 'posterior' | 'medial' | 'lateral';
}

/** What stands between a measured alignment and the accepted one. */
export interface AlignmentCorrection {
  /** The one turn that carries the measured axis into the accepted one. */
  readonly tilt: Tilt;
  /** Plane by plane, for the opposite pairs of set screws; a plane without difference is left out. */
  readonly screws: readonly ScrewTurn[];
  /** How far, and which way seen from above, the pyramid must be shifted; set screws cannot do this. */
  readonly shiftMm: number;
  readonly shiftTowardsDeg: number | null;
  /** Turn at the tube clamp or a rotatable adapter; set screws cannot do this. */
  readonly toeOutDeg: number;
  /** What must be added to the height. */
  readonly heightMm: number;
}

/** Offsets smaller than this have no direction that could be told. */
const NO_SHIFT_MM = 1e-9;

/**
 * The pyramid sits in its receiver between opposite set screws, beyond the dome
 * on which it turns. To lean the socket's upper end forward, the anterior screw
 * pushes and the posterior one gives way, whether the pyramid or the receiver is
 * the socket's. From the geometry; common practice, no source.
 */
const SCREWS = {
  flexion: { more: ['posterior', 'anterior'], less: ['anterior', 'posterior'] },
  adduction: { more: ['medial', 'lateral'], less: ['lateral', 'medial'] },
} as const;

function screwTurn(plane: ScrewTurn['plane'], changeDeg: number): ScrewTurn[] {
  if (Math.abs(changeDeg) < NO_TILT_DEG) return [];
  const [loosen, tighten] = SCREWS[plane][changeDeg > 0 ? 'more' : 'less'];
  return [{ plane, changeDeg, loosen, tighten }];
}

/** The angle between two directions, exact also where it is small. */
function angleBetween(a: Direction, b: Direction): number {
  const cross = Math.hypot(
    a[1] * b[2] - a[2] * b[1],
    a[2] * b[0] - a[0] * b[2],
    a[0] * b[1] - a[1] * b[0],
  );
  return degrees(Math.atan2(cross, a[0] * b[0] + a[1] * b[1] + a[2] * b[2]));
}

/** What must be undone so that a measured alignment becomes the accepted one. */
export function correctionOf(accepted: Alignment, measured: Alignment): AlignmentCorrection {
  const [to, from] = [socketAxis(accepted), socketAxis(measured)];
  const tiltDeg = angleBetween(from, to);
  const lateralMm = accepted.lateralOffsetMm - measured.lateralOffsetMm;
  const anteriorMm = accepted.anteriorOffsetMm - measured.anteriorOffsetMm;
  const shiftMm = Math.hypot(lateralMm, anteriorMm);
  return {
    tilt: {
      tiltDeg,
      towardsDeg: tiltDeg < NO_TILT_DEG ? null : towards(to[0] - from[0], to[1] - from[1]),
    },
    screws: [
      ...screwTurn('flexion', accepted.flexionDeg - measured.flexionDeg),
      ...screwTurn('adduction', accepted.adductionDeg - measured.adductionDeg),
    ],
    shiftMm,
    shiftTowardsDeg: shiftMm < NO_SHIFT_MM ? null : towards(lateralMm, anteriorMm),
    toeOutDeg: accepted.toeOutDeg - measured.toeOutDeg,
    heightMm: accepted.heightToFloorMm - measured.heightToFloorMm,
  };
}

/** What the adapter has left, in each way, while the other plane stays as it is. */
export interface RangeLeft {
  readonly tiltDeg: number;
  readonly rangeDeg: number;
  readonly moreFlexionDeg: number;
  readonly moreExtensionDeg: number;
  readonly moreAdductionDeg: number;
  readonly moreAbductionDeg: number;
}

/** Round-off of angles; far below what any bench can measure. */
const ROUND_OFF_DEG = 1e-9;

/**
 * The pieces whose stated range the combined tilt is past; a piece that states none is left out.
 * @param pieces pyramid and adapter as they are named, with the range by their own document
 */
export function piecesPastRange(
  angles: PyramidAngles,
  pieces: readonly { readonly item: string; readonly rangeDeg: number | null }[],
): PastRange[] {
  const { tiltDeg } = combinedTilt(angles);
  return pieces.flatMap(({ item, rangeDeg }) =>
    rangeDeg !== null && isPast(tiltDeg, rangeDeg) ? [{ item, tiltDeg, rangeDeg }] : [],
  );
}

const isPast = (tiltDeg: number, rangeDeg: number): boolean => tiltDeg > rangeDeg + ROUND_OFF_DEG;

/**
 * The range that an adapter has left. Its stated range is taken for the combined
 * tilt, whichever way it leans: the cautious reading of a range stated as ±.
 * @param rangeDeg the range by the part's own document, 0.1 to `ANGLE_MOST_DEG`
 * @returns what is left, or 'value-out-of-range', or 'adapter-range-exceeded' where the tilt is past it
 */
export function rangeLeft(angles: PyramidAngles, rangeDeg: number): Verdict<RangeLeft> {
  const { flexionDeg, adductionDeg } = angles;
  const impossible = questionFields({ flexionDeg, adductionDeg, rangeDeg }, RANGES);
  if (impossible.length > 0) return refused(impossible);
  const { tiltDeg } = combinedTilt(angles);
  /** How far one plane can go to either side while the other stays. */
  const reachDeg = (otherDeg: number): number =>
    degrees(Math.atan(Math.sqrt(Math.max(0, tan(rangeDeg) ** 2 - tan(otherDeg) ** 2))));
  const flexionReachDeg = reachDeg(adductionDeg);
  const adductionReachDeg = reachDeg(flexionDeg);
  return unless(
    isPast(tiltDeg, rangeDeg)
      ? [reason('adapter-range-exceeded', { item: null, tiltDeg, rangeDeg })]
      : [],
    {
      tiltDeg,
      rangeDeg,
      moreFlexionDeg: Math.max(0, flexionReachDeg - flexionDeg),
      moreExtensionDeg: Math.max(0, flexionReachDeg + flexionDeg),
      moreAdductionDeg: Math.max(0, adductionReachDeg - adductionDeg),
      moreAbductionDeg: Math.max(0, adductionReachDeg + adductionDeg),
    },
  );
}

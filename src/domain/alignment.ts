/**
 * R14: the definitive socket reproduces the accepted alignment within the
 * clinic's tolerance, measured after the last move of pyramid or adapter.
 * Starting values 1 degree and 3 mm: common practice, no source.
 */
import { coversLastMoves } from './lastMoves.ts';
import { questionRange, type Range } from './ranges.ts';
import { reason, type Reason } from './reasons/index.ts';
import type { Position } from './words.ts';

/** The positions whose last moves an alignment covers. */
export const ALIGNMENT_POSITIONS: readonly Position[] = ['pyramid', 'adapter'];

/** When it was measured: at the accepted fit, once the hardware sat in its next socket, at a service visit. */
export const ALIGNMENT_OCCASIONS = ['fitting', 'after_transfer', 'service'] as const;
export type AlignmentOccasion = (typeof ALIGNMENT_OCCASIONS)[number];

/**
 * How the pyramid sits under the socket. Flexion and adduction are positive;
 * extension and abduction negative. Offsets are of the pyramid from the
 * socket's reference line, anterior and lateral positive. Toe-out positive.
 */
export interface Alignment {
  readonly flexionDeg: number;
  readonly adductionDeg: number;
  readonly anteriorOffsetMm: number;
  readonly lateralOffsetMm: number;
  readonly toeOutDeg: number;
  readonly heightToFloorMm: number;
}

export interface AlignmentTolerance {
  readonly angleDeg: number;
  readonly lengthMm: number;
}

const COMPONENTS = [
  { key: 'flexionDeg', words: 'flexion', unit: '°' },
  { key: 'adductionDeg', words: 'adduction', unit: '°' },
  { key: 'toeOutDeg', words: 'toe-out', unit: '°' },
  { key: 'anteriorOffsetMm', words: 'anterior offset', unit: 'mm' },
  { key: 'lateralOffsetMm', words: 'lateral offset', unit: 'mm' },
  { key: 'heightToFloorMm', words: 'height to the floor', unit: 'mm' },
] as const satisfies readonly { key: keyof Alignment; words: string; unit: '°' | 'mm' }[];

export interface AlignmentDifference {
  readonly component: keyof Alignment;
  readonly words: string;
  readonly unit: '°' | 'mm';
  /** Measured less accepted. */
  readonly difference: number;
  readonly within: boolean;
}

/** Round-off of decimal readings; far below what any bench can measure. */
const ROUND_OFF = 1e-9;

/** The difference of each component, measured less accepted, and whether it is within tolerance. */
export function compareAlignments(
  accepted: Alignment,
  measured: Alignment,
  tolerance: AlignmentTolerance,
): AlignmentDifference[] {
  return COMPONENTS.map(({ key, words, unit }) => {
    const difference = measured[key] - accepted[key];
    const limit = unit === '°' ? tolerance.angleDeg : tolerance.lengthMm;
    return {
      component: key,
      words,
      unit,
      difference,
      within: Math.abs(difference) <= limit + ROUND_OFF,
    };
  });
}

/**
 * How high pyramids sit, from the short foot of a disarticulated ankle to the long
 * thigh. Common practice, no source.
 */
const HEIGHT_TO_FLOOR: Range = {
  what: 'Height from the pyramid to the floor',
  least: 60,
  greatest: 900,
  unit: 'mm',
  usual: '120 to 550 mm; a tape in centimetres shows a tenth of it',
};

/**
 * 'value-out-of-range' where the height is none that a limb has, as centimetres typed for millimetres.
 * @param at JSON Pointer to the alignment
 */
export const questionAlignment = ({ heightToFloorMm }: Alignment, at = ''): Reason[] =>
  questionRange(heightToFloorMm, HEIGHT_TO_FLOOR, `${at}/heightToFloorMm`);

/** A piece whose stated range the measured tilt is past, degrees. */
export interface PastRange {
  readonly item: string;
  readonly tiltDeg: number;
  readonly rangeDeg: number;
}

/** 'adapter-range-exceeded' for each piece. */
export const tellPastRange = (pieces: readonly PastRange[]): Reason[] =>
  pieces.map(({ item, tiltDeg, rangeDeg }) =>
    reason('adapter-range-exceeded', { item, tiltDeg, rangeDeg }),
  );

/** What a prosthetist signed for: against which accepted alignment, past whose range. */
export interface SignedDifference {
  readonly accepted: Alignment | null;
  readonly pastRange: readonly Pick<PastRange, 'item' | 'rangeDeg'>[];
}

/**
 * Whether a signature on a measured alignment covers what stands against it now: the
 * accepted alignment is still the one that was seen, and no piece is past a narrower
 * range than was seen.
 */
export const coversDifference = (
  signed: SignedDifference,
  accepted: Alignment | null,
  pastRange: readonly PastRange[],
): boolean =>
  COMPONENTS.every(({ key }) => signed.accepted?.[key] === accepted?.[key]) &&
  pastRange.every(({ item, rangeDeg }) =>
    signed.pastRange.some((seen) => seen.item === item && seen.rangeDeg <= rangeDeg),
  );

/** What of an alignment stands between a socket and its delivery (R14). */
export function judgeAlignment(facts: {
  readonly socket: string;
  readonly accepted: Alignment | null;
  readonly measured: (Alignment & { readonly coversMoveIds: readonly string[] }) | null;
  readonly currentMoveIds: readonly string[];
  readonly tolerance: AlignmentTolerance;
  /** Pyramid and adapter that the measured tilt is too much for, by their own document (C6). */
  readonly pastRange: readonly PastRange[];
  /** A prosthetist signed for this very difference: `coversDifference`. */
  readonly differenceSigned: boolean;
}): Reason[] {
  const { socket, measured } = facts;
  if (measured === null) {
    return [reason('alignment-missing', { socket, why: 'it was never measured on this socket' })];
  }
  if (!coversLastMoves(measured.coversMoveIds, facts.currentMoveIds)) {
    return [
      reason('alignment-missing', {
        socket,
        why: 'pyramid or adapter moved after the last measurement',
      }),
    ];
  }
  if (facts.differenceSigned) return [];
  const pastRange = tellPastRange(facts.pastRange);
  if (facts.accepted === null) return pastRange;
  const outside = compareAlignments(facts.accepted, measured, facts.tolerance).filter(
    (line) => !line.within,
  );
  if (outside.length === 0) return pastRange;
  return [
    ...pastRange,
    reason('alignment-out-of-tolerance', {
      socket,
      differences: outside.map(
        (line) =>
          `${line.words} differs by ${line.difference > 0 ? '+' : ''}${Number(line.difference.toFixed(2))} ${line.unit}`,
      ),
    }),
  ];
}

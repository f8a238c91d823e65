/**
 * Measures of a residual limb: circumferences at heights above its distal end.
 * A table that no limb has is refused before a model is poured from it.
 */
import { reason, type Reason } from './reasons/index.ts';
import type { Level } from './words.ts';

/** Height above the distal end and circumference there, in mm. */
export interface LimbMeasure {
  readonly heightMm: number;
  readonly circumferenceMm: number;
}

export const CAST_METHODS = ['plaster', 'fibreglass', 'scan'] as const;

/** How many heights a table has. */
export const MEASURES_COUNT = { least: 3, most: 40 } as const;

interface Limits {
  readonly circumferenceMm: readonly [number, number];
  readonly limbLengthMm: readonly [number, number];
}

/** Widest limits, from a small child to a very large adult. Common practice, no source. */
export const LIMB_LIMITS = {
  trans_tibial: { circumferenceMm: [100, 700], limbLengthMm: [40, 500] },
  trans_femoral: { circumferenceMm: [130, 1000], limbLengthMm: [40, 600] },
  ankle_disarticulation: { circumferenceMm: [100, 700], limbLengthMm: [100, 600] },
  knee_disarticulation: { circumferenceMm: [130, 1000], limbLengthMm: [100, 700] },
} as const satisfies Record<Level, Limits>;

/** Neighbours closer than this do not differ by more than that share. Common practice, no source. */
const JUMP = { withinMm: 60, share: 0.4 } as const;

/** Below this no circumference of a whole limb lies in millimetres, but many do in centimetres. */
const CENTIMETRES_BELOW = 100;

/**
 * Everything against a table of measures of a limb at `level`.
 * @param limbLengthMm from the distal end to the landmark above, in mm
 * @returns 'limb-length-implausible' and 'measures-implausible', each with its field
 */
export function questionMeasures(
  level: Level,
  limbLengthMm: number,
  measures: readonly LimbMeasure[],
): Reason[] {
  const limits = LIMB_LIMITS[level];
  const reasons: Reason[] = [];
  const [shortest, longest] = limits.limbLengthMm;
  if (limbLengthMm < shortest || limbLengthMm > longest) {
    reasons.push(
      reason(
        'limb-length-implausible',
        { level, limbLengthMm, shortest, longest },
        '/limbLengthMm',
      ),
    );
  }
  const [first] = measures;
  if (first !== undefined && measures.every((m) => m.circumferenceMm < CENTIMETRES_BELOW)) {
    return [...reasons, implausible(first, 0, 'these look like centimetres')];
  }
  for (const [index, measure] of measures.entries()) {
    const [least, greatest] = limits.circumferenceMm;
    if (measure.circumferenceMm < least || measure.circumferenceMm > greatest) {
      const why = `${level.replaceAll('_', '-')} circumferences lie between ${least} and ${greatest} mm`;
      reasons.push(implausible(measure, index, why));
    }
    const before = measures[index - 1];
    if (before !== undefined) reasons.push(...questionStep(before, measure, index));
  }
  return reasons;
}

function questionStep(before: LimbMeasure, measure: LimbMeasure, index: number): Reason[] {
  const riseMm = measure.heightMm - before.heightMm;
  if (riseMm <= 0) return [implausible(measure, index, 'its height is not above the one before')];
  const share =
    Math.abs(measure.circumferenceMm - before.circumferenceMm) /
    Math.min(measure.circumferenceMm, before.circumferenceMm);
  if (riseMm >= JUMP.withinMm || share <= JUMP.share) return [];
  const why = `${Math.round(share * 100)} % off its neighbour only ${riseMm} mm below`;
  return [implausible(measure, index, why)];
}

const implausible = (measure: LimbMeasure, index: number, why: string): Reason =>
  reason('measures-implausible', { ...measure, why }, `/measures/${index}`);

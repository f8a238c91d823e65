/**
 * Measures of a residual limb: circumferences at heights above its distal end.
 * A table that no limb has is refused before a model is poured from it.
 */
import { isBefore, type Day } from './days.ts';
import { reason, type Reason } from './reasons/index.ts';
import { figure } from './reasons/figures.ts';
import type { Level } from './words.ts';

/** Height above the distal end and circumference there, in mm. */
export interface LimbMeasure {
  readonly heightMm: number;
  readonly circumferenceMm: number;
}

export const CAST_METHODS = ['plaster', 'fibreglass', 'scan'] as const;

/** When a table was taken: with a cast, at a fitting, at the delivery, at a visit afterwards. */
export const MEASURE_OCCASIONS = ['cast', 'fitting', 'delivery', 'follow_up'] as const;
export type MeasureOccasion = (typeof MEASURE_OCCASIONS)[number];

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

/**
 * Heights that span less than this share of the limb's length are taken for
 * centimetres, which span a tenth of what they should.
 */
const LEAST_SPAN_SHARE = 0.12;

const BELOW_THE_END = 'its height is below the distal end';
const DOES_NOT_RISE = 'its height is not above the one before';

/** So far above the landmark a table may reach, as trim lines and cuffs do. Common practice, no source. */
const PAST_LANDMARK_MM = 80;

/** Below this no circumference of a whole limb lies in millimetres, but many do in centimetres. */
const CENTIMETRES_BELOW = 100;

/**
 * Everything against a table of measures of a limb at `level`.
 * @param limbLengthMm from the distal end to the landmark above, in mm
 * @returns 'limb-length-implausible' and 'measures-implausible', each with its field: figures
 *   that no limb has, heights past the limb's length by more than `PAST_LANDMARK_MM`
 */
export function questionMeasures(
  level: Level,
  limbLengthMm: number,
  measures: readonly LimbMeasure[],
): Reason[] {
  const limits = LIMB_LIMITS[level];
  const reasons: Reason[] = [];
  const [shortest, longest] = limits.limbLengthMm;
  // Limits are asked the positive way round, so that what is not a number is refused too.
  const lengthIsPlausible = limbLengthMm >= shortest && limbLengthMm <= longest;
  if (!lengthIsPlausible) {
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
  if (lengthIsPlausible) {
    reasons.push(...questionSpan(limbLengthMm, measures), ...questionReach(limbLengthMm, measures));
  }
  if (first !== undefined && !(first.heightMm >= 0)) {
    reasons.push(implausible(first, 0, BELOW_THE_END));
  }
  for (const [index, measure] of measures.entries()) {
    const [least, greatest] = limits.circumferenceMm;
    if (!(measure.circumferenceMm >= least && measure.circumferenceMm <= greatest)) {
      const why = `${level.replaceAll('_', '-')} circumferences lie between ${least} and ${greatest} mm`;
      reasons.push(implausible(measure, index, why));
    }
    const before = measures[index - 1];
    if (before !== undefined) reasons.push(...questionStep(before, measure, index));
  }
  return reasons;
}

function questionSpan(limbLengthMm: number, measures: readonly LimbMeasure[]): Reason[] {
  const [first] = measures;
  const top = measures.at(-1);
  if (first === undefined || top === undefined) return [];
  const spanMm = top.heightMm - first.heightMm;
  if (!(spanMm > 0 && spanMm < LEAST_SPAN_SHARE * limbLengthMm)) return [];
  const why = `the heights span ${figure(spanMm)} mm of a limb of ${figure(limbLengthMm)} mm; these look like centimetres`;
  return [implausible(top, measures.length - 1, why)];
}

/** Heights that the limb does not have: the highest one is named. */
function questionReach(limbLengthMm: number, measures: readonly LimbMeasure[]): Reason[] {
  const top = measures.at(-1);
  if (top === undefined || !(top.heightMm > limbLengthMm + PAST_LANDMARK_MM)) return [];
  const why = `it lies ${figure(top.heightMm - limbLengthMm)} mm past the limb's length of ${figure(limbLengthMm)} mm, and at most ${PAST_LANDMARK_MM} mm above the landmark are measured`;
  return [implausible(top, measures.length - 1, why)];
}

function questionStep(before: LimbMeasure, measure: LimbMeasure, index: number): Reason[] {
  const riseMm = measure.heightMm - before.heightMm;
  if (!(riseMm > 0)) return [implausible(measure, index, DOES_NOT_RISE)];
  const share =
    Math.abs(measure.circumferenceMm - before.circumferenceMm) /
    Math.min(measure.circumferenceMm, before.circumferenceMm);
  if (riseMm >= JUMP.withinMm || !(share > JUMP.share)) return [];
  const why = `${Math.round(share * 100)} % off its neighbour only ${riseMm} mm below`;
  return [implausible(measure, index, why)];
}

/**
 * Whether measures can be of a day: it has come, and the patient was born.
 * @param what what was done on it, as the subject of a sentence
 */
export function questionDayTaken(
  what: string,
  day: Day,
  { today, birthDate }: { readonly today: Day; readonly birthDate: Day | null },
): Reason[] {
  if (isBefore(today, day)) return [reason('day-in-future', { what, day, today }, '/takenOn')];
  if (birthDate !== null && isBefore(day, birthDate))
    return [reason('day-before-birth', { what, day }, '/takenOn')];
  return [];
}

/**
 * What keeps a table from being a solid at all: fewer than two heights, heights
 * that do not rise from the distal end, circumferences that are none. Whether a
 * limb has such measures is `questionMeasures`.
 * @param at JSON Pointer to the table
 */
export function questionTable(measures: readonly LimbMeasure[], at = '/measures'): Reason[] {
  if (measures.length < 2) {
    return [reason('measures-too-few', { count: measures.length, least: 2 }, at)];
  }
  return measures.flatMap((measure, index) => {
    const { heightMm, circumferenceMm } = measure;
    const before = measures[index - 1];
    const against: Reason[] = [];
    if (before === undefined && !(heightMm >= 0)) {
      against.push(implausible(measure, index, BELOW_THE_END, at));
    }
    if (before !== undefined && !(heightMm > before.heightMm && heightMm < Infinity)) {
      against.push(implausible(measure, index, DOES_NOT_RISE, at));
    }
    if (!(circumferenceMm > 0 && circumferenceMm < Infinity)) {
      against.push(implausible(measure, index, 'a circumference is more than nothing', at));
    }
    return against;
  });
}

const implausible = (measure: LimbMeasure, index: number, why: string, at = '/measures'): Reason =>
  reason('measures-implausible', { ...measure, why }, `${at}/${index}`);

/**
 * C1: the same limb on two days (cast, each fitting, delivery): how much volume
 * it lost or gained, what that is in ply of sock by the clinic's own setting,
 * and whether a prosthetist is asked for a decision.
 */
import { conesMl, measuresBetween } from './limbGeometry.ts';
import { isBefore, type Day } from './days.ts';
import { questionTable, type LimbMeasure } from './measures.ts';
import { questionRange, type Range } from './ranges.ts';
import { reason, type Reason } from './reasons/index.ts';
import { granted, refused, type Verdict } from './verdict.ts';
import type { CastState, Level, Side, Stage } from './words.ts';

/** What a prosthetist decides where the limb has changed past the clinic's limit. */
export const VOLUME_DECISIONS = ['new_cast', 'socks', 'as_is'] as const;
export type VolumeDecision = (typeof VOLUME_DECISIONS)[number];

export const PLY_MEANS = ['mL', 'percent'] as const;

/** What one ply of sock makes up for in this clinic: so many mL, or per cent of the first volume. */
export interface PlySetting {
  readonly means: (typeof PLY_MEANS)[number];
  readonly perPly: number;
}

/** The clinic's settings for comparing limb volumes. */
export interface VolumeSettings {
  readonly ply: PlySetting;
  /** A change past this many per cent asks for a decision. */
  readonly limitPercent: number;
}

/** What a clinic starts with. Common practice, no source. */
export const STARTING_VOLUME_SETTINGS: VolumeSettings = {
  ply: { means: 'percent', perPly: 1.2 },
  limitPercent: 5,
};

export const VOLUME_LIMIT: Range = {
  what: 'Change of volume that asks for a decision',
  least: 0.5,
  greatest: 50,
  unit: '%',
  usual: '3 to 10 %',
};

export const PER_PLY = {
  mL: { what: 'One ply of sock', least: 1, greatest: 200, unit: 'mL', usual: '10 to 40 mL' },
  percent: { what: 'One ply of sock', least: 0.1, greatest: 10, unit: '%', usual: '0.5 to 2 %' },
} as const satisfies Record<PlySetting['means'], Range>;

/** Less than this in common tells nothing of a limb. Common practice, no source. */
export const LEAST_COMMON_MM = 40;

/** One limb on two days over the heights that both tables have; without the distal cap. */
export interface VolumeComparison {
  readonly fromMm: number;
  readonly toMm: number;
  readonly firstMl: number;
  readonly secondMl: number;
  /** Second less first: negative where the limb has shrunk. */
  readonly differenceMl: number;
  /** Difference in per cent of the first. */
  readonly percent: number;
  /** Whole ply of sock to add (positive, the limb has shrunk) or to take off. */
  readonly ply: number;
  /** 'limb-volume-changed' where the clinic asks for a decision, with the question; else null. */
  readonly asks: Reason | null;
}

/** Everything against settings as an administrator enters them. */
export const questionVolumeSettings = ({ ply, limitPercent }: VolumeSettings): Reason[] => [
  ...questionRange(ply.perPly, PER_PLY[ply.means], '/ply/perPly'),
  ...questionRange(limitPercent, VOLUME_LIMIT, '/limitPercent'),
];

/** To the nearest whole, halves away from zero, so that loss and gain are told alike. */
function wholePly(ply: number): number {
  const whole = Math.round(Math.abs(ply));
  return ply < 0 && whole > 0 ? -whole : whole;
}

/**
 * Compares two tables of one limb on the range of heights that both have; at
 * the cuts circumferences are interpolated linearly.
 * @returns the comparison, or 'measures-do-not-overlap' and what
 *   `questionTable` and `questionVolumeSettings` have against the input
 */
export function compareMeasureSets(
  first: readonly LimbMeasure[],
  second: readonly LimbMeasure[],
  settings: VolumeSettings,
): Verdict<VolumeComparison> {
  const against = [
    ...questionTable(first, '/first'),
    ...questionTable(second, '/second'),
    ...questionVolumeSettings(settings),
  ];
  const [firstFoot, secondFoot] = [first[0], second[0]];
  const [firstTop, secondTop] = [first.at(-1), second.at(-1)];
  if (
    firstFoot === undefined ||
    secondFoot === undefined ||
    firstTop === undefined ||
    secondTop === undefined ||
    against.length > 0
  ) {
    return refused(against);
  }
  const fromMm = Math.max(firstFoot.heightMm, secondFoot.heightMm);
  const toMm = Math.min(firstTop.heightMm, secondTop.heightMm);
  if (toMm - fromMm < LEAST_COMMON_MM) {
    return refused([
      reason('measures-do-not-overlap', {
        firstFromMm: firstFoot.heightMm,
        firstToMm: firstTop.heightMm,
        secondFromMm: secondFoot.heightMm,
        secondToMm: secondTop.heightMm,
        leastCommonMm: LEAST_COMMON_MM,
      }),
    ]);
  }
  const firstMl = conesMl(measuresBetween(first, fromMm, toMm));
  const secondMl = conesMl(measuresBetween(second, fromMm, toMm));
  const differenceMl = secondMl - firstMl;
  const percent = (100 * differenceMl) / firstMl;
  const { means, perPly } = settings.ply;
  const ply = wholePly(-(means === 'mL' ? differenceMl : percent) / perPly);
  const { limitPercent } = settings;
  const asks =
    Math.abs(percent) > limitPercent
      ? reason('limb-volume-changed', { differenceMl, percent, limitPercent, ply, fromMm, toMm })
      : null;
  return granted({ fromMm, toMm, firstMl, secondMl, differenceMl, percent, ply, asks });
}

/** A table of measures as far as it says whose limb it is, and when it was taken. */
export interface SetOfALimb {
  readonly id: string;
  readonly patientId: string;
  readonly side: Side;
  /** A limb that was revised to another level is another limb. */
  readonly level: Level;
  readonly orderNumber: string;
  readonly takenOn: Day;
}

export const isOneLimb = (a: Limb, b: Limb): boolean =>
  a.patientId === b.patientId && a.side === b.side && a.level === b.level;
type Limb = Pick<SetOfALimb, 'patientId' | 'side' | 'level'>;

/** A limb as a refusal names it: by its order, without the patient. */
const limbWords = ({ side, level, orderNumber }: SetOfALimb): string =>
  `the ${side} ${level.replaceAll('_', '-')} limb of ${orderNumber}`;

/** 'measure-set-with-itself' and 'measure-sets-of-two-limbs': what keeps two sets from being compared. */
export function questionPair(first: SetOfALimb, second: SetOfALimb): Reason[] {
  if (first.id === second.id) {
    return [reason('measure-set-with-itself', { takenOn: first.takenOn }, '/secondSetId')];
  }
  if (isOneLimb(first, second)) return [];
  const facts = { first: limbWords(first), second: limbWords(second) };
  return [reason('measure-sets-of-two-limbs', facts, '/secondSetId')];
}

/** The earlier set first; of one day the one that was recorded first. Ids are in the order of recording. */
export function earlierFirst<S extends Pick<SetOfALimb, 'id' | 'takenOn'>>(
  a: S,
  b: S,
): readonly [S, S] {
  const aIsEarlier = a.takenOn === b.takenOn ? a.id <= b.id : isBefore(a.takenOn, b.takenOn);
  return aIsEarlier ? [a, b] : [b, a];
}

/** The limb's newest measures beside those of the cast that a socket came from. */
export interface LimbSinceCast {
  readonly castNumber: number;
  readonly castMeasures: readonly LimbMeasure[];
  readonly newestTakenOn: Day;
  readonly newestMeasures: readonly LimbMeasure[];
  readonly settings: VolumeSettings;
  /** On this very pair; null where nobody has decided. */
  readonly decision: VolumeDecision | null;
  /** The day of the measures after which a new cast was decided, on whichever pair with the cast; else null. */
  readonly newCastDecidedAfter: Day | null;
  /** The newest accepted cast of the order, where it is a later one. */
  readonly laterCast: number | null;
}

/**
 * What the limb's change since its cast has against a socket from that cast (R8):
 * a change past the clinic's limit that nobody has decided on, a new cast that was
 * decided and is not in the socket, measures that cannot be compared. A new cast that
 * was decided binds for good, whatever is measured or decided afterwards.
 * @param limb null where the cast's own measures are the newest
 */
export function judgeLimbSinceCast(socket: string, limb: LimbSinceCast | null): Reason[] {
  if (limb === null) return [];
  const { castNumber: cast, newestTakenOn: takenOn, newCastDecidedAfter, laterCast } = limb;
  const bound = questionCast(socket, cast, newCastDecidedAfter);
  if (bound.length > 0) return bound;
  if (limb.decision !== null) return [];
  const compared = compareMeasureSets(limb.castMeasures, limb.newestMeasures, limb.settings);
  if (!compared.ok) return [...compared.reasons];
  const { asks, differenceMl, percent } = compared.value;
  if (asks === null) return [];
  const { limitPercent } = limb.settings;
  const facts = { socket, cast, takenOn, differenceMl, percent, limitPercent, laterCast };
  return [reason('limb-change-undecided', facts)];
}

/**
 * 'new-cast-decided' where no more may be made from a cast.
 * @param socket what was to be made or worked on; null where it is about the cast alone
 * @param decidedAfter the day of the measures after which a new cast was decided; null where none was
 */
export const questionCast = (
  socket: string | null,
  cast: number,
  decidedAfter: Day | null,
): Reason[] =>
  decidedAfter === null
    ? []
    : [reason('new-cast-decided', { socket, cast, takenOn: decidedAfter })];

/** A set of measures with the cast that it was taken with, if it was. */
export interface SetInOrder extends SetOfALimb {
  readonly orderId: string;
  readonly stage: Stage;
  readonly castState: CastState | null;
}

/**
 * A decision is on the limb as it is: on the newest accepted cast of an order, and on
 * the limb's newest measures. What was left behind is decided no more.
 * @param sets all of the limb's side, the oldest first
 * @returns 'not-the-newest-measures' where there are newer ones
 */
export function questionNewest(
  first: SetInOrder,
  second: SetInOrder,
  sets: readonly SetInOrder[],
): Reason[] {
  const ofLimb = sets.filter((set) => set.stage !== 'cancelled' && isOneLimb(set, second));
  const cast = ofLimb.findLast(
    (set) => set.castState === 'accepted' && set.orderId === first.orderId,
  );
  const newest = ofLimb.at(-1);
  if (cast?.id === first.id && newest?.id === second.id) return [];
  return [
    reason('not-the-newest-measures', {
      first: first.takenOn,
      second: second.takenOn,
      cast: cast?.takenOn ?? null,
      newest: newest?.takenOn ?? null,
    }),
  ];
}

/** @returns 'no-decision-asked' where the limb has not changed past the clinic's limit */
export const questionDecision = (
  { asks, percent }: VolumeComparison,
  limitPercent: number,
): Reason[] => (asks === null ? [reason('no-decision-asked', { percent, limitPercent })] : []);

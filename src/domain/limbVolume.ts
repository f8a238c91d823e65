/**
 * C1: the same limb on two days (cast, each fitting, delivery): how much volume
 * it lost or gained, what that is in ply of sock by the clinic's own setting,
 * and whether a prosthetist is asked for a decision.
 */
import { conesMl, measuresBetween } from './limbGeometry.ts';
import { questionTable, type LimbMeasure } from './measures.ts';
import { questionRange, type Range } from './ranges.ts';
import { reason, type Reason } from './reasons/index.ts';
import { granted, refused, type Verdict } from './verdict.ts';

/** What a prosthetist decides where the limb has changed past the clinic's limit. */
export const VOLUME_DECISIONS = ['new_cast', 'socks', 'as_is'] as const;

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

/**
 * What a clinic sets for itself of all that the bench works out (C1, C3, C5, C7):
 * each value with its range, so that a slip of the keys is answered. The starting
 * values stand beside the subjects: STARTING_VOLUME_SETTINGS, STARTING_RESIN_SETTINGS,
 * STARTING_SHELF_SETTINGS, STARTING_STAGE_DAYS and the chances in promise.ts.
 */
import { PER_PLY, VOLUME_LIMIT, type PLY_MEANS } from './limbVolume.ts';
import { questionFields, questionRange, type Range } from './ranges.ts';
import { reason, type Reason } from './reasons/index.ts';
import { RECIPE_RANGES } from './resin.ts';
import { SHELF_RANGES } from './stockUse.ts';

/** The settings as they are to be kept; the names are those of the clinic's record. */
export interface BenchSettings {
  readonly plyMeans: (typeof PLY_MEANS)[number];
  /** One ply of sock, in mL or per cent. */
  readonly perPly: number;
  readonly volumeLimitPercent: number;
  readonly bagLossG: number;
  readonly resinMarginPercent: number;
  readonly scaleResolutionG: number;
  /** Whole minor units of `currency`; null where the clinic counts no labour. */
  readonly labourRatePerHourMinor: number | null;
  /** ISO 4217; null where the clinic enters no prices. */
  readonly currency: string | null;
  readonly reorderWindowDays: number;
  readonly reorderLeadDays: number;
  readonly reorderCoverDays: number;
  readonly wantedChance: number;
  readonly atRiskBelow: number;
  readonly usualCastingDays: number;
  readonly usualCheckFittingDays: number;
  readonly usualLaminationDays: number;
  readonly usualDeliveryDays: number;
}

const USUAL_DAYS: Range = {
  what: 'Usual working days in a stage',
  least: 0,
  greatest: 250,
  unit: 'days',
  usual: '1 to 15 days',
};

const SETTING_RANGES = {
  volumeLimitPercent: VOLUME_LIMIT,
  bagLossG: RECIPE_RANGES.bagLossG,
  resinMarginPercent: RECIPE_RANGES.marginPercent,
  scaleResolutionG: RECIPE_RANGES.scaleResolutionG,
  reorderWindowDays: SHELF_RANGES.paceDays,
  reorderLeadDays: SHELF_RANGES.leadDays,
  reorderCoverDays: SHELF_RANGES.coverDays,
  wantedChance: {
    what: 'Chance at which a day is offered',
    least: 0.5,
    greatest: 0.99,
    unit: '',
    usual: '0.7 to 0.9, a fraction and not per cent',
  },
  atRiskBelow: {
    what: 'Chance below which a day is at risk',
    least: 0.05,
    greatest: 0.95,
    unit: '',
    usual: '0.3 to 0.7, a fraction and not per cent',
  },
  usualCastingDays: USUAL_DAYS,
  usualCheckFittingDays: USUAL_DAYS,
  usualLaminationDays: USUAL_DAYS,
  usualDeliveryDays: USUAL_DAYS,
} as const satisfies Partial<Record<keyof BenchSettings, Range>>;

const LABOUR_RATE: Range = {
  what: 'Labour for an hour',
  least: 0,
  greatest: 100_000_00,
  unit: 'minor units',
  usual: 'whole cents, such as 6500 for 65.00',
};

/**
 * Everything against settings as they would be after a change: 'value-out-of-range',
 * and 'prices-without-currency' where money is counted in none.
 */
export const questionBenchSettings = (settings: BenchSettings): Reason[] => [
  ...questionRange(settings.perPly, PER_PLY[settings.plyMeans], '/perPly'),
  ...questionFields(settings, SETTING_RANGES),
  ...(settings.labourRatePerHourMinor === null
    ? []
    : questionRange(settings.labourRatePerHourMinor, LABOUR_RATE, '/labourRatePerHourMinor')),
  ...(settings.labourRatePerHourMinor !== null && settings.currency === null
    ? [reason('prices-without-currency', {}, '/currency')]
    : []),
];

/**
 * C3: what was really weighed into a cup, against its recipe; how long the cup can
 * still be worked; and whether the laminate was left to cure for its time.
 */
import type { Answers, Check } from './operations.ts';
import { questionFields, questionRange, type Range } from './ranges.ts';
import { reason, type Reason } from './reasons/index.ts';
import { offRatioPercent, RESIN_RANGES, type ResinProduct, type ResinRecipe } from './resin.ts';
import { granted, refused, type Verdict } from './verdict.ts';

/** The scale's readings for one cup. */
export interface Weighed {
  readonly resinG: number;
  readonly hardenerG: number;
  readonly pigmentG: number;
}

export const WEIGHED_RANGES = {
  resinG: { what: 'Resin weighed', least: 0.1, greatest: 5_000, unit: 'g', usual: '50 to 500 g' },
  hardenerG: {
    what: 'Hardener weighed',
    least: 0.001,
    greatest: 5_000,
    unit: 'g',
    usual: '1 to 200 g',
  },
  pigmentG: { what: 'Pigment weighed', least: 0, greatest: 750, unit: 'g', usual: '0 to 20 g' },
} as const satisfies Record<keyof Weighed, Range>;

/** A weighing as it is to be stored. */
export interface Weighing extends Weighed {
  readonly totalG: number;
  readonly offRatioPercent: number;
  /** What stops the operation with a finding; none where the cup may be stirred. */
  readonly stops: readonly Reason[];
}

/** Round-off of decimal grams and per cents, far below any scale. */
const ROUND_OFF = 1e-9;

/** The component that is short, and how many grams of it put the mix on its ratio. */
function putRight(
  { resinG, hardenerG }: Weighed,
  { partsResin, partsHardener }: Pick<ResinProduct, 'partsResin' | 'partsHardener'>,
  offPercent: number,
): { readonly addTo: string; readonly addG: number } {
  return offPercent < 0
    ? { addTo: 'hardener', addG: (resinG * partsHardener) / partsResin - hardenerG }
    : { addTo: 'resin', addG: (hardenerG * partsResin) / partsHardener - resinG };
}

/** Pigment may be past the recipe's share by so many per cent of it. Common practice, no source. */
export const PIGMENT_TOLERANCE_PERCENT = 10;

/**
 * 'pigment-over-share': more than the recipe has (with more resin, its share of that) and
 * the tolerance, at least one step of the scale.
 */
function judgePigment(
  { pours }: Pick<ResinRecipe, 'pours'>,
  { resinG, pigmentG }: Weighed,
  stepG: number,
): Reason[] {
  // All pours of a recipe are alike.
  const shareG = Math.max(
    0,
    ...pours.map((pour) => pour.pigmentG * Math.max(1, resinG / pour.resinG)),
  );
  const toleranceG = Math.max(stepG, (shareG * PIGMENT_TOLERANCE_PERCENT) / 100);
  return pigmentG <= shareG + toleranceG + ROUND_OFF
    ? []
    : [reason('pigment-over-share', { pigmentG, resinG, shareG, toleranceG })];
}

/**
 * Judges one cup. Readings that were properly taken are kept, with what stops
 * the operation: off ratio past the product's tolerance, less than fabric and
 * losses ask of a cup, more than the cup limit, more pigment than its share.
 * @param stepG step of the scale that the recipe was rounded to
 * @returns what is to be stored, or 'value-out-of-range' where a reading is none
 */
export function judgeWeighing(
  product: Pick<
    ResinProduct,
    'partsResin' | 'partsHardener' | 'ratioTolerancePercent' | 'cupLimitG'
  >,
  recipe: Pick<ResinRecipe, 'neededG' | 'pours'>,
  weighed: Weighed,
  stepG: number,
): Verdict<Weighing> {
  const against = questionFields(weighed, WEIGHED_RANGES);
  if (against.length > 0) return refused(against);

  const { resinG, hardenerG, pigmentG } = weighed;
  const tolerancePercent = product.ratioTolerancePercent;
  const offPercent = offRatioPercent(weighed, product);
  const mixG = resinG + hardenerG;
  const neededG = recipe.neededG / recipe.pours.length;
  const totalG = mixG + pigmentG;
  const stops: Reason[] = [];
  if (Math.abs(offPercent) > tolerancePercent + ROUND_OFF) {
    stops.push(
      reason('resin-off-ratio', {
        resinG,
        hardenerG,
        offPercent,
        tolerancePercent,
        ...putRight(weighed, product, offPercent),
      }),
    );
  }
  if (mixG < neededG - ROUND_OFF) stops.push(reason('resin-too-little', { mixG, neededG }));
  if (totalG > product.cupLimitG + ROUND_OFF) {
    stops.push(reason('cup-over-limit', { mixG: totalG, cupLimitG: product.cupLimitG }));
  }
  stops.push(...judgePigment(recipe, weighed, stepG));
  return granted({ ...weighed, totalG, offRatioPercent: offPercent, stops });
}

/** The clock of a cup from the moment of mixing. */
export interface MixClock {
  readonly setsAt: Date;
  /** 0 when it is over. */
  readonly minutesLeft: number;
  readonly minutesOver: number;
}

const MS_PER_MINUTE = 60_000;
const MS_PER_HOUR = 60 * MS_PER_MINUTE;

/**
 * The work time of a cup that is put right: it runs on from its first mixing, and what
 * is added makes it no longer. Not known where it was not known at first.
 * @param now at the temperature of this reading
 */
export const workTimePutRight = (first: number | null, now: number | null): number | null =>
  first === null ? null : Math.min(first, now ?? Infinity);

/** Longest clock that is run: the longest pot life at the coldest bench. */
const WORK_MINUTES: Range = {
  what: 'Work time',
  least: 0.05,
  greatest: 7_680,
  unit: 'min',
  usual: '10 to 60 min',
};

/** A cup is recorded while it is worked, at the latest by the end of the shift. Common practice, no source. */
const MIXED_AT_MOST_AGO_MINUTES = 12 * 60;

/** 'mixed-in-future' or 'mixed-long-ago' where a moment of mixing cannot be that of the cup being recorded. */
export function questionMixedAt(mixedAt: Date, at: Date, field = '/mixedAt'): Reason[] {
  const minutesAgo = (at.getTime() - mixedAt.getTime()) / MS_PER_MINUTE;
  // Said the positive way round, so that a date that is none is refused too.
  if (!(minutesAgo >= 0)) return [reason('mixed-in-future', { minutesAhead: -minutesAgo }, field)];
  if (minutesAgo <= MIXED_AT_MOST_AGO_MINUTES) return [];
  const greatestMinutes = MIXED_AT_MOST_AGO_MINUTES;
  return [reason('mixed-long-ago', { minutesAgo, greatestMinutes }, field)];
}

/**
 * How long a cup can be worked, at an instant that the caller names.
 * @param workMinutes from the recipe's work time
 * @returns the clock, or 'mixed-in-future', 'value-out-of-range'
 */
export function minutesLeft(mixedAt: Date, at: Date, workMinutes: number): Verdict<MixClock> {
  const goneMinutes = (at.getTime() - mixedAt.getTime()) / MS_PER_MINUTE;
  const against = questionRange(workMinutes, WORK_MINUTES, '/workMinutes');
  // Said the positive way round, so that a date that is none is refused too.
  if (!(goneMinutes >= 0)) {
    against.push(reason('mixed-in-future', { minutesAhead: -goneMinutes }, '/mixedAt'));
  }
  if (against.length > 0) return refused(against);
  const left = workMinutes - goneMinutes;
  return granted({
    setsAt: new Date(mixedAt.getTime() + workMinutes * MS_PER_MINUTE),
    minutesLeft: Math.max(0, left),
    minutesOver: Math.max(0, -left),
  });
}

/**
 * The earliest moment at which a lamination counts as cured by its product's
 * sheet. Colder than the sheet's temperature it takes longer: the bench says when.
 * @returns the moment, or 'value-out-of-range'
 */
export function curedAt(laminatedAt: Date, product: ResinProduct): Verdict<Date> {
  const against = questionRange(product.cureHours, RESIN_RANGES.cureHours, '/product/cureHours');
  if (against.length > 0) return refused(against);
  return granted(new Date(laminatedAt.getTime() + product.cureHours * MS_PER_HOUR));
}

/** What is known of a laminate when its curing is said to be done. */
export interface CureFacts {
  readonly laminatedAt: Date;
  readonly at: Date;
  readonly product: Pick<ResinProduct, 'cureHours' | 'cureTemperatureC'>;
}

/**
 * 'cured-too-short' where curing is said to be done before the sheet's hours have passed
 * since the lamination, and the hours that were answered (the longest of the checks in
 * hours; none: those that passed) are fewer than the sheet's as well. Warmer it may well
 * take less; this sheet does not say so, and a prosthetist can accept it as it is.
 */
export function judgeCure(
  { laminatedAt, at, product }: CureFacts,
  checks: readonly Check[],
  answers: Answers,
): Reason[] {
  const sinceHours = (at.getTime() - laminatedAt.getTime()) / MS_PER_HOUR;
  const inHours = checks.flatMap((check) => {
    const answer = Object.hasOwn(answers, check.key) ? answers[check.key] : undefined;
    return check.kind === 'measured' && check.unit === 'h' && typeof answer === 'number'
      ? [answer]
      : [];
  });
  const answeredHours = inHours.length === 0 ? null : Math.max(...inHours);
  const { cureHours, cureTemperatureC } = product;
  const leastHours = cureHours - ROUND_OFF;
  if (sinceHours >= leastHours || (answeredHours ?? sinceHours) >= leastHours) return [];
  return [reason('cured-too-short', { sinceHours, answeredHours, cureHours, cureTemperatureC })];
}

/**
 * Quality figures (C8): shares with their counts and an honest interval, times
 * by median and 90th percentile, and a control chart. Never a bare per cent of three.
 */
import { isBefore, type Day } from './days.ts';
import { reason } from './reasons/index.ts';
import { granted, refused, type Verdict } from './verdict.ts';
import type { FitOutcome } from './words.ts';

/** The 97.5 % point of the standard normal distribution, for intervals of 95 %. */
export const Z_95 = 1.959963984540054;

/** A share of counted things, with the interval in which it may truly lie. */
export interface Proportion {
  readonly count: number;
  readonly of: number;
  /** count / of; null where there is nothing to count. */
  readonly share: number | null;
  /** Bounds of the Wilson interval, 95 %; 0 and 1 where there is nothing to count. */
  readonly from: number;
  readonly to: number;
}

/**
 * A share with its Wilson score interval, without continuity correction
 * (Wilson, JASA 1927;22:209-212; Newcombe, Statistics in Medicine 1998;17:857-872).
 * @param count 0 to `of`
 * @param z the normal quantile; 95 % where not given
 * @throws RangeError where the counts are none: a fault of the program
 */
export function proportion(count: number, of: number, z = Z_95): Proportion {
  if (!(Number.isInteger(count) && Number.isInteger(of) && count >= 0 && count <= of)) {
    throw new RangeError(`${count} of ${of} is no share`);
  }
  if (of === 0) return { count, of, share: null, from: 0, to: 1 };
  const share = count / of;
  const z2 = z * z;
  const middle = (share + z2 / (2 * of)) / (1 + z2 / of);
  const half = (z / (1 + z2 / of)) * Math.sqrt((share * (1 - share)) / of + z2 / (4 * of * of));
  // At the ends the bound is 0 or 1 exactly; binary fractions would miss it by a hair.
  return {
    count,
    of,
    share,
    from: count === 0 ? 0 : middle - half,
    to: count === of ? 1 : middle + half,
  };
}

/** An order as far as its fittings and its promise are counted. */
export interface OrderForQuality {
  readonly order: string;
  /** Outcomes of its fittings in the order in which they were held, of all its sockets. */
  readonly fittings: readonly FitOutcome[];
  /** Check sockets made under it. */
  readonly checkSockets: number;
  /** The day promised first; null where none was promised. */
  readonly promisedOn: Day | null;
  readonly deliveredOn: Day | null;
}

/** The share of orders whose very first fitting was accepted, of those that had one. */
export function firstFitRate(orders: readonly OrderForQuality[]): Proportion {
  const fitted = orders.filter(({ fittings }) => fittings.length > 0);
  return proportion(
    fitted.filter(({ fittings }) => fittings[0] === 'accepted').length,
    fitted.length,
  );
}

/** The share of delivered orders with a promise that came no later than the day first promised. */
export function onTimeRate(orders: readonly OrderForQuality[]): Proportion {
  let [kept, promised] = [0, 0];
  for (const { promisedOn, deliveredOn } of orders) {
    if (promisedOn === null || deliveredOn === null) continue;
    promised += 1;
    if (!isBefore(promisedOn, deliveredOn)) kept += 1;
  }
  return proportion(kept, promised);
}

/** Check sockets of delivered orders. */
export interface CheckSockets {
  readonly orders: number;
  readonly checkSockets: number;
  /** Null where no order was delivered. */
  readonly perOrder: number | null;
  /** How many orders had so many, rising by number. */
  readonly byNumber: readonly { readonly checkSockets: number; readonly orders: Proportion }[];
}

/** Counts check sockets over the delivered orders: those under way may still need another. */
export function checkSocketsPerOrder(orders: readonly OrderForQuality[]): CheckSockets {
  const delivered = orders.filter(({ deliveredOn }) => deliveredOn !== null);
  const numbers = delivered.map((order) => order.checkSockets);
  const total = numbers.reduce((sum, number) => sum + number, 0);
  return {
    orders: delivered.length,
    checkSockets: total,
    perOrder: delivered.length === 0 ? null : total / delivered.length,
    byNumber: [...new Set(numbers)]
      .sort((a, b) => a - b)
      .map((checkSockets) => ({
        checkSockets,
        orders: proportion(
          numbers.filter((number) => number === checkSockets).length,
          numbers.length,
        ),
      })),
  };
}

const byName = (a: string, b: string): number => Number(a > b) - Number(a < b);

/** How often a cause was behind something. */
export interface CauseCount<C extends string> {
  readonly cause: C;
  readonly share: Proportion;
}

/**
 * Counts remakes, findings or refused fits by cause, the most frequent first.
 * @param causes one for each event
 */
export function countByCause<C extends string>(causes: readonly C[]): CauseCount<C>[] {
  const counts = new Map<C, number>();
  for (const cause of causes) counts.set(cause, (counts.get(cause) ?? 0) + 1);
  return [...counts]
    .sort(([a, m], [b, n]) => n - m || byName(a, b))
    .map(([cause, count]) => ({ cause, share: proportion(count, causes.length) }));
}

/**
 * The quantile of a sample by linear interpolation between order statistics,
 * definition 7 of Hyndman and Fan (The American Statistician 1996;50:361-365).
 * @param values in any order
 * @param share 0 to 1
 * @returns null where there is no value
 */
export function quantile(values: readonly number[], share: number): number | null {
  const sorted = [...values].sort((a, b) => a - b);
  const at = share * (sorted.length - 1);
  const low = sorted[Math.floor(at)];
  const high = sorted[Math.ceil(at)];
  if (low === undefined || high === undefined) return null;
  return low + (high - low) * (at - Math.floor(at));
}

/** How long something takes. */
export interface Turnaround {
  readonly orders: number;
  readonly median: number | null;
  readonly percentile90: number | null;
}

/** Without the tails of binary fractions (24.799999999999997); to a millionth. */
function rounded(values: readonly number[], share: number): number | null {
  const value = quantile(values, share);
  return value === null ? null : Math.round(value * 1e6) / 1e6;
}

/** Median and 90th percentile (see `quantile`), in the unit of the values, to a millionth. */
export const turnaround = (values: readonly number[]): Turnaround => ({
  orders: values.length,
  median: rounded(values, 0.5),
  percentile90: rounded(values, 0.9),
});

/** By what the figures can be told apart. */
export const QUALITY_GROUPINGS = ['month', 'cause', 'technician'] as const;
export type QualityGrouping = (typeof QUALITY_GROUPINGS)[number];

/** The figures of a person are shown only where the clinic has decided that they are. */
export const judgeGrouping = (
  grouping: QualityGrouping,
  clinicAllowsByPerson: boolean,
): Verdict<QualityGrouping> =>
  grouping === 'technician' && !clinicAllowsByPerson
    ? refused([reason('quality-by-person-not-allowed', {})])
    : granted(grouping);

/** Puts rows together by a key, keys rising: months as `YYYY-MM` come in their order. */
export function groupBy<T>(rows: readonly T[], keyOf: (row: T) => string): Map<string, T[]> {
  const groups = new Map<string, T[]>();
  for (const row of rows) {
    const key = keyOf(row);
    groups.set(key, [...(groups.get(key) ?? []), row]);
  }
  return new Map([...groups].sort(([a], [b]) => byName(a, b)));
}

/** The month of a day, `YYYY-MM`. */
export const monthOf = (day: Day): string => day.slice(0, 7);

/**
 * Mean of the range of two normal values in standard deviations, as printed in
 * the tables (NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2). The exact
 * value is 2/√π = 1.128379…; the printed one is used, so that limits agree with
 * the handbook's. 3/d₂ rounded to 2.66 is not used.
 */
const D2_OF_TWO = 1.128;
/** The upper limit of moving ranges of two in mean ranges, D₄ as printed in the tables. */
const D4_OF_TWO = 3.267;

/** Below this many values the limits are still moving. Common practice, no source. */
export const CHART_VALUES_FIRM = 20;

/** An individuals (XmR) control chart. */
export interface ControlChart {
  readonly values: readonly { readonly value: number; readonly outside: boolean }[];
  readonly centre: number;
  readonly lower: number;
  readonly upper: number;
  readonly movingRanges: readonly { readonly range: number; readonly outside: boolean }[];
  readonly meanMovingRange: number;
  readonly upperRange: number;
  /** True while there are fewer than `CHART_VALUES_FIRM` values. */
  readonly provisional: boolean;
}

/**
 * The individuals chart of values in their order of time: mean ± 3·MR̄/d₂
 * (NIST/SEMATECH e-Handbook, 6.3.2.2). The lower limit of a time may come out
 * below zero; it is given as computed.
 * @returns null for fewer than two values
 */
export function individualsChart(values: readonly number[]): ControlChart | null {
  if (values.length < 2) return null;
  const ranges = values.slice(1).map((value, at) => Math.abs(value - Number(values[at])));
  const mean = (of: readonly number[]): number =>
    of.reduce((sum, value) => sum + value, 0) / of.length;
  const centre = mean(values);
  const meanMovingRange = mean(ranges);
  const [lower, upper] = [
    centre - (3 * meanMovingRange) / D2_OF_TWO,
    centre + (3 * meanMovingRange) / D2_OF_TWO,
  ];
  const upperRange = D4_OF_TWO * meanMovingRange;
  return {
    values: values.map((value) => ({ value, outside: value < lower || value > upper })),
    centre,
    lower,
    upper,
    movingRanges: ranges.map((range) => ({ range, outside: range > upperRange })),
    meanMovingRange,
    upperRange,
    provisional: values.length < CHART_VALUES_FIRM,
  };
}

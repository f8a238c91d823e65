/**
 * Back-test of promised dates (C5): had every past order been promised, at its
 * opening, the day with the wanted chance, from what was known that day: how
 * many of the promises would have been kept? What is under way past the day it would
 * have been promised for is missed already; until that day it counts neither way.
 */
import { isBefore, type Day } from './days.ts';
import {
  byStage,
  censusOf,
  deliveredOn as deliveryOf,
  finishedOrders,
  presentStay,
  type OrderTimeline,
} from './orderTimeline.ts';
import { forecast, historyOn, offerDates, stagesToCome, STARTING_STAGE_DAYS } from './promise.ts';
import { proportion, type Proportion } from './quality.ts';
import type { WorkCalendar } from './workCalendar.ts';

export interface BackTest {
  /** Kept of those promised, with the interval; what is overdue counts as missed. */
  readonly kept: Proportion;
  /** Those of them that are under way still. */
  readonly overdue: number;
  /**
   * The mean of the chances promised; null where nothing was. Working days are
   * whole, so the day offered has a little more than the wanted chance: this is
   * the figure to hold `kept` against.
   */
  readonly meanChance: number | null;
  /** Finished orders for which the history of their opening day was too short to promise anything. */
  readonly notPromised: number;
}

interface Judged {
  readonly openedOn: Day;
  /** Null while it is under way. */
  readonly deliveredOn: Day | null;
}

const underWay = (timelines: readonly OrderTimeline[]): Judged[] =>
  timelines.flatMap((timeline) =>
    deliveryOf(timeline) === null && presentStay(timeline) !== null
      ? timeline.changes.slice(0, 1).map(({ on }) => ({ openedOn: on, deliveredOn: null }))
      : [],
  );

/**
 * Runs the back-test over delivered orders, and over those that are overdue.
 * @param facts.today the day up to which the timelines go
 * @param facts.wantedChance the chance promised, above 0 to 1
 * @param facts.seed a whole number; each order draws with its own seed made from it
 */
export function backTestPromises(facts: {
  readonly calendar: WorkCalendar;
  readonly timelines: readonly OrderTimeline[];
  readonly today: Day;
  readonly wantedChance: number;
  readonly seed: number;
}): BackTest {
  const { calendar, timelines, today, wantedChance, seed } = facts;
  const finished = finishedOrders(calendar, timelines);
  const census = censusOf(timelines);
  let [promised, kept, missed, chances] = [0, 0, 0, 0];
  const judged: readonly Judged[] = [...finished, ...underWay(timelines)];
  for (const [at, { openedOn, deliveredOn }] of judged.entries()) {
    const inShop = byStage((stage) => census(stage, openedOn));
    const toCome = stagesToCome(
      { stage: 'casting', ordersAhead: inShop.casting, workingDaysSoFar: 0 },
      inShop,
    );
    const { withChance } = offerDates({
      calendar,
      today: openedOn,
      toCome,
      usualDays: STARTING_STAGE_DAYS,
      forecast: forecast({ history: historyOn(openedOn, finished), toCome, seed: seed + at }),
      wantedChance,
    });
    if (withChance?.chance == null) continue;
    if (deliveredOn === null) {
      if (!isBefore(withChance.promisedOn, today)) continue;
      missed += 1;
    } else {
      promised += 1;
      if (!isBefore(withChance.promisedOn, deliveredOn)) kept += 1;
    }
    chances += withChance.chance;
  }
  return {
    kept: proportion(kept, promised + missed),
    overdue: missed,
    meanChance: promised + missed === 0 ? null : chances / (promised + missed),
    notPromised: finished.length - promised,
  };
}

/**
 * Back-test of promised dates (C5): had every past order been promised, at its
 * opening, the day with the wanted chance, from what was known that day: how
 * many of the promises would have been kept?
 */
import { isBefore } from './days.ts';
import { byStage, censusOf, finishedOrders, type OrderTimeline } from './orderTimeline.ts';
import { forecast, historyOn, offerDates, stagesToCome, STARTING_STAGE_DAYS } from './promise.ts';
import { proportion, type Proportion } from './quality.ts';
import type { WorkCalendar } from './workCalendar.ts';

export interface BackTest {
  /** Kept of those promised, with the interval. */
  readonly kept: Proportion;
  /**
   * The mean of the chances promised; null where nothing was. Working days are
   * whole, so the day offered has a little more than the wanted chance: this is
   * the figure to hold `kept` against.
   */
  readonly meanChance: number | null;
  /** Finished orders for which the history of their opening day was too short to promise anything. */
  readonly notPromised: number;
}

/**
 * Runs the back-test over delivered orders.
 * @param facts.wantedChance the chance promised, above 0 to 1
 * @param facts.seed a whole number; each order draws with its own seed made from it
 */
export function backTestPromises(facts: {
  readonly calendar: WorkCalendar;
  readonly timelines: readonly OrderTimeline[];
  readonly wantedChance: number;
  readonly seed: number;
}): BackTest {
  const { calendar, timelines, wantedChance, seed } = facts;
  const finished = finishedOrders(calendar, timelines);
  const census = censusOf(timelines);
  let [promised, kept, chances] = [0, 0, 0];
  for (const [at, { openedOn, deliveredOn }] of finished.entries()) {
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
    promised += 1;
    chances += withChance.chance;
    if (!isBefore(withChance.promisedOn, deliveredOn)) kept += 1;
  }
  return {
    kept: proportion(kept, promised),
    meanChance: promised === 0 ? null : chances / promised,
    notPromised: finished.length - promised,
  };
}

/** The shop on the day of an act, as chances of dates are drawn from it (C5). */
import { createHash } from 'node:crypto';
import { addMonths, dayAt, type Day } from '../../domain/days.ts';
import {
  byStage,
  censusOf,
  finishedOrders,
  presentStay,
  type ByStage,
  type Census,
  type FinishedOrder,
  type OrderTimeline,
} from '../../domain/orderTimeline.ts';
import {
  chanceWithin,
  forecast,
  HISTORY_MONTHS,
  historyOn,
  offerDates,
  stagesToCome,
  type DateOffers,
  type Forecast,
  type StageToCome,
} from '../../domain/promise.ts';
import type { Verdict } from '../../domain/verdict.ts';
import { workingDaysBetween, type WorkCalendar } from '../../domain/workCalendar.ts';
import type { Act } from '../../store/act.ts';
import { loadClinic, usualStageDays } from '../../store/clinic.ts';
import { loadTimelines } from '../../store/timelines.ts';
import { currentWorkCalendar } from '../../store/workCalendar.ts';

/** What questions about dates are answered from, loaded once for an act. */
export interface Shop {
  readonly calendar: WorkCalendar;
  readonly today: Day;
  /** The clinic's usual working days by stage. */
  readonly usualDays: ByStage<number>;
  readonly wantedChance: number;
  readonly atRiskBelow: number;
  /** The seed of the day: whoever asks the same on one day hears the same. */
  readonly seed: number;
  readonly history: readonly FinishedOrder[];
  /** By the order's id: those under way, and those that were lately. */
  readonly timelines: ReadonlyMap<string, OrderTimeline>;
  readonly census: Census;
  /** Orders in each stage at the beginning of today. */
  readonly inShop: ByStage<number>;
}

/** The clinic's calendar, settings and history; one statement loads all timelines. */
export async function shopToday(act: Act): Promise<Shop> {
  const { tx, clinicId } = act;
  const clinic = await loadClinic(tx, clinicId);
  const { timeZone } = clinic;
  const today = dayAt(act.at, timeZone);
  const since = addMonths(today, -HISTORY_MONTHS);
  const calendar = await currentWorkCalendar(act);
  const timelines = await loadTimelines(tx, { clinicId, timeZone, since });
  const census = censusOf(timelines);
  return {
    calendar,
    today,
    usualDays: usualStageDays(clinic),
    wantedChance: clinic.wantedChance,
    atRiskBelow: clinic.atRiskBelow,
    seed: seedOf(clinic.numberPrefix, today),
    history: historyOn(today, finishedOrders(calendar, timelines)),
    timelines: new Map(timelines.map((timeline) => [timeline.order, timeline])),
    census,
    inShop: byStage((stage) => census(stage, today)),
  };
}

/** 0 to 2,147,483,647: what the column holds. */
const seedOf = (numberPrefix: string, day: Day): number =>
  createHash('sha256').update(`${numberPrefix} ${day}`).digest().readUInt32BE(0) >>> 1;

/** The way of an order that is opened today. */
export const wayFromOpening = ({ inShop }: Shop): StageToCome[] =>
  stagesToCome({ stage: 'casting', ordersAhead: inShop.casting, workingDaysSoFar: 0 }, inShop);

/** The way that an order still has, from where it is; null where it is delivered or cancelled. */
export function wayFromHere(shop: Shop, orderId: string): StageToCome[] | null {
  const timeline = shop.timelines.get(orderId);
  const stay = timeline === undefined ? null : presentStay(timeline);
  if (stay === null) return null;
  const { stage, from } = stay;
  return stagesToCome(
    {
      stage,
      ordersAhead: shop.census(stage, from),
      workingDaysSoFar: workingDaysBetween(shop.calendar, from, shop.today),
    },
    shop.inShop,
  );
}

/** Draws the courses for each way with one seed; the same way is drawn once. */
export function drawing(
  { history }: Shop,
  seed: number,
): (toCome: readonly StageToCome[]) => Verdict<Forecast> {
  const drawn = new Map<string, Verdict<Forecast>>();
  return (toCome) => {
    const way = JSON.stringify(toCome);
    const courses = drawn.get(way) ?? forecast({ history, toCome, seed });
    drawn.set(way, courses);
    return courses;
  };
}

/** The chance of a day for an order that is opened today; null where the history cannot say. */
export function chanceFromOpening(shop: Shop, promisedOn: Day, seed: number): number | null {
  const courses = drawing(shop, seed)(wayFromOpening(shop));
  if (!courses.ok) return null;
  return chanceWithin(courses.value, workingDaysBetween(shop.calendar, shop.today, promisedOn));
}

/** The days to offer for an order with such a way before it. */
export const offersOf = (
  shop: Shop,
  toCome: readonly StageToCome[],
  courses: Verdict<Forecast>,
): DateOffers => offerDates({ ...shop, toCome, forecast: courses });

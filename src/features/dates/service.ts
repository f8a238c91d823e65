import {
  chanceWithin,
  judgePromise,
  judgePromisedDate,
  type DateOffers,
} from '../../domain/promise.ts';
import { reason } from '../../domain/reasons/index.ts';
import { refused } from '../../domain/verdict.ts';
import { workingDaysBetween } from '../../domain/workCalendar.ts';
import type { Act } from '../../store/act.ts';
import { loadOrder } from '../../store/orders.ts';
import { refuseIfAny } from '../../store/refused.ts';
import type { OfferQuery, OfferView, OrderDateView } from './schemas.ts';
import { drawing, offersOf, shopToday, wayFromHere, wayFromOpening, type Shop } from './shop.ts';

/**
 * What could be promised for an order that is opened today. Nothing is written: the desk
 * sends the seed along with the order that it then opens.
 * @throws Refused 'promised-day-past', 'value-out-of-range' for a day that cannot be promised.
 */
export async function offerAtOpening(act: Act, query: OfferQuery): Promise<OfferView> {
  const shop = await shopToday(act);
  const { today, calendar } = shop;
  const { promisedOn, seed = shop.seed } = query;
  refuseIfAny(promisedOn === undefined ? [] : judgePromise(promisedOn, today));
  const toCome = wayFromOpening(shop);
  const courses = drawing(shop, seed)(toCome);
  const workingDays =
    promisedOn === undefined ? 0 : workingDaysBetween(calendar, today, promisedOn);
  return {
    today,
    ...offersView(shop, seed, offersOf(shop, toCome, courses)),
    asked:
      promisedOn === undefined
        ? null
        : {
            promisedOn,
            workingDays,
            chance: courses.ok ? chanceWithin(courses.value, workingDays) : null,
          },
  };
}

/** How an order stands with its promised day, and what could be promised anew. */
export async function readOrderDate(act: Act, orderId: string): Promise<OrderDateView> {
  const order = await loadOrder(act, orderId);
  const { number, stage, promisedOn, holdReason } = order;
  const told = {
    orderId,
    number,
    stage,
    promisedOn,
    firstPromisedOn: order.firstPromisedOn,
    offeredChance: order.offeredChance,
    offerSeed: order.offerSeed,
  };
  const shop = await shopToday(act);
  const toCome = wayFromHere(shop, orderId);
  const [present] = toCome ?? [];
  if (toCome === null || present === undefined) return { ...told, standing: null, offer: null };
  // Nobody knows how long a hold lasts, so nobody can offer a day with a chance.
  const courses =
    holdReason === null
      ? drawing(shop, shop.seed)(toCome)
      : refused([reason('no-chance-on-hold', { holdReason })]);
  const judged = judgePromisedDate({ ...shop, promisedOn, holdReason, toCome, forecast: courses });
  return {
    ...told,
    standing: {
      ...judged,
      because: [...judged.because],
      stage: present.stage,
      workingDaysSoFar: present.workingDaysSoFar ?? 0,
      ordersAhead: present.ordersAhead,
    },
    offer: offersView(shop, shop.seed, offersOf(shop, toCome, courses)),
  };
}

const offersView = (
  { history, wantedChance }: Shop,
  seed: number,
  { usual, withChance, because }: DateOffers,
) => ({
  seed,
  finishedOrders: history.length,
  wantedChance,
  usual,
  withChance,
  because: [...because],
});

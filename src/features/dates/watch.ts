/** The orders whose promised day is past, or will probably not be kept (C5). */
import { z } from 'zod';
import { sees } from '../../access/minimumNecessary.ts';
import { sightOf } from '../../access/sight.ts';
import { judgePromisedDate, type DateJudgement } from '../../domain/promise.ts';
import { workingDaysBetween } from '../../domain/workCalendar.ts';
import { pageFrom, readCursor } from '../../http/paging.ts';
import type { Act } from '../../store/act.ts';
import { listPromised } from '../../store/orderList.ts';
import { type ListedOrder } from '../../store/orders.ts';
import { phonesOf } from '../../store/patients.ts';
import { orderLine } from '../orders/view.ts';
import type { WatchedOrder, WatchPage, WatchQuery } from './schemas.ts';
import { drawing, shopToday, wayFromHere, type Shop } from './shop.ts';

/**
 * What the list is ordered by: late ones first, then the least likely, those without a chance
 * last; but one of them without a working day left stands with those of no chance.
 */
const WatchKey = z.object({
  late: z.boolean(),
  /** 0 to 1 a chance; 2 none. */
  rank: z.number(),
  promisedOn: z.iso.date(),
  id: z.uuid(),
});
type WatchKey = z.infer<typeof WatchKey>;

interface Watched {
  readonly key: WatchKey;
  readonly order: ListedOrder;
  readonly daysLeft: number;
  readonly state: WatchedOrder['state'];
  readonly judged: DateJudgement;
}

/**
 * Every order that is late or at risk today, the most pressing first. The history is
 * loaded once, and orders that ask the same are drawn once.
 */
export async function watchedOrders(
  act: Act,
): Promise<{ readonly shop: Shop; readonly watched: readonly Watched[] }> {
  const shop = await shopToday(act);
  const draw = drawing(shop, shop.seed);
  const watched = (await listPromised(act)).flatMap((order): Watched[] => {
    const { id, promisedOn, holdReason } = order;
    const toCome = wayFromHere(shop, id);
    if (toCome === null || promisedOn === null) return [];
    const judged = judgePromisedDate({
      ...shop,
      promisedOn,
      holdReason,
      toCome,
      forecast: draw(toCome),
    });
    const { state, chance } = judged;
    if (state !== 'late' && state !== 'at_risk') return [];
    const daysLeft = workingDaysBetween(shop.calendar, shop.today, promisedOn);
    const rank = chance ?? (daysLeft > 0 ? 2 : 0);
    const key = { late: state === 'late', rank, promisedOn, id };
    return [{ key, order, daysLeft, state, judged }];
  });
  return { shop, watched: watched.toSorted((a, b) => compare(a.key, b.key)) };
}

/**
 * Late orders, the longest past first; then those at risk by their chance.
 */
export async function datesToWatch(act: Act, query: WatchQuery): Promise<WatchPage> {
  const after = readCursor(WatchKey, query.after);
  const { shop, watched } = await watchedOrders(act);
  const rows = watched
    .filter(({ state }) => query.state === undefined || state === query.state)
    .filter(({ key }) => after === undefined || compare(key, after) > 0);
  const { items, next } = pageFrom(
    rows,
    query.limit,
    ({ key }) => key,
    (row) => row,
  );
  const sight = await sightOf(act);
  const patientIds = items
    .map(({ order }) => order.patientId)
    .filter((id) => sees(sight, 'phone', id));
  const phones =
    patientIds.length === 0 ? new Map<string, null>() : await phonesOf(act, patientIds);
  const late = watched.filter(({ state }) => state === 'late').length;
  return {
    items: items.map(({ order, daysLeft, state, judged }) => ({
      order: orderLine(order, sight, shop.today),
      state,
      chance: judged.chance,
      workingDaysLeft: daysLeft,
      ...(sees(sight, 'phone', order.patientId)
        ? { phone: phones.get(order.patientId) ?? null }
        : {}),
      because: [...judged.because],
    })),
    next,
    late,
    atRisk: watched.length - late,
  };
}

function compare(a: WatchKey, b: WatchKey): number {
  return (
    Number(b.late) - Number(a.late) ||
    a.rank - b.rank ||
    compareText(a.promisedOn, b.promisedOn) ||
    compareText(a.id, b.id)
  );
}

const compareText = (a: string, b: string): number => Number(a > b) - Number(a < b);

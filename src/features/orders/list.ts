/** The list of orders: what is asked of it, and how each line stands with its day. */
import { lookedUp } from '../../access/lookUp.ts';
import { seesIdentity, type Sight } from '../../access/minimumNecessary.ts';
import { sightOf } from '../../access/sight.ts';
import { dayAt } from '../../domain/days.ts';
import { parseOrderNumber } from '../../domain/orderNumber.ts';
import type { Stage } from '../../domain/words.ts';
import { pageFrom, readCursor, type Page } from '../../http/paging.ts';
import type { Act } from '../../store/act.ts';
import { loadClinic } from '../../store/clinic.ts';
import { listOrders, OrderCursor } from '../../store/orderList.ts';
import { type OrderRecord } from '../../store/orders.ts';
import { Refused } from '../../store/refused.ts';
import { watchedOrders } from '../dates/watch.ts';
import type { ListedOrder, OrderQuery } from './schemas.ts';
import { orderLine } from './view.ts';

/** A page of orders. */
export async function findOrders(act: Act, query: OrderQuery): Promise<Page<ListedOrder>> {
  const clinic = await loadClinic(act.tx, act.clinicId);
  const today = dayAt(act.at, clinic.timeZone);
  const cursor = readCursor(
    OrderCursor.refine((key) => key.sort === query.sort),
    query.after,
  );
  const asksStanding = query.sort === 'pressing' || query.atRisk !== undefined;
  const first = asksStanding ? (await watchedOrders(act)).watched : null;
  const pressing = (first ?? []).map(({ order }) => order.id);
  const atRisk = (first ?? []).flatMap(({ state, order }) =>
    state === 'at_risk' ? [order.id] : [],
  );
  const rows = await listOrders(act, {
    stage: query.stage ?? null,
    held: query.held === undefined ? null : query.held === 'true',
    lateOn: query.late === 'true' ? today : null,
    notLateOn: query.late === 'false' ? today : null,
    among: query.atRisk === 'true' ? atRisk : null,
    notAmong: query.atRisk === 'false' ? atRisk : null,
    pressing,
    ...numberOrChart(query.q, clinic.numberPrefix),
    patientId: query.patientId ?? null,
    prosthetistId: query.prosthetistId ?? null,
    sort: query.sort,
    after: cursor ?? null,
    take: query.limit + 1,
  });
  // Delivered ones, and those without a day, stand nowhere: nothing is drawn for them alone.
  const dated = rows.some(({ promisedOn, stage }) => promisedOn !== null && isOpen(stage));
  const watched = first ?? (dated ? (await watchedOrders(act)).watched : []);
  const standing = new Map(watched.map((each) => [each.order.id, each]));
  const sight = await sightOf(act);
  const page = pageFrom(
    rows,
    query.limit,
    (row) => cursorOf(query.sort, row, pressing),
    (row) => ({
      ...orderLine(row, sight, today),
      stageSince: row.stageSince,
      atRisk: standing.get(row.id)?.state === 'at_risk',
      chance: standing.get(row.id)?.judged.chance ?? null,
    }),
  );
  await noteAsked(act, sight, query, page.items);
  return page;
}

/** A list that was asked of one patient, or by a number, looks that patient up; the day's list does not. */
async function noteAsked(
  act: Act,
  sight: Sight,
  { patientId, q }: OrderQuery,
  items: readonly ListedOrder[],
): Promise<void> {
  if (patientId === undefined && q === undefined) return;
  const patientIds = items.map(({ patient }) => patient.id);
  if (!seesIdentity(sight, patientIds[0])) return;
  await lookedUp(act, { route: 'listOrders', shown: 'identity', patientIds });
}

const isOpen = (stage: Stage): boolean => stage !== 'delivered' && stage !== 'cancelled';

function cursorOf(
  sort: OrderCursor['sort'],
  { id, promisedOn, openedAt }: OrderRecord,
  pressing: readonly string[],
): OrderCursor {
  if (sort === 'opened') return { sort, openedAt: openedAt.toISOString(), id };
  if (sort === 'promised') return { sort, promisedOn, id };
  const rank = pressing.indexOf(id) + 1;
  return { sort, rank: rank === 0 ? null : rank, promisedOn, id };
}

/**
 * What was typed into the search. What begins like this clinic's order numbers
 * and has one wrong character is refused rather than searched as a chart number.
 */
function numberOrChart(
  typed: string | undefined,
  prefix: string,
): { number: string | null; chartNumber: string | null } {
  if (typed === undefined) return { number: null, chartNumber: null };
  const number = parseOrderNumber(typed);
  if (number.ok) return { number: number.value, chartNumber: null };
  const ours = typed.toUpperCase().startsWith(prefix);
  if (ours && number.reasons.some(({ facts }) => facts['problem'] === 'check_character')) {
    throw new Refused(number.reasons);
  }
  return { number: null, chartNumber: typed };
}

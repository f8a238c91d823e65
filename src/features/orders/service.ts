import { z } from 'zod';
import { v7 as uuidv7 } from 'uuid';
import { lookedUp } from '../../access/lookUp.ts';
import { seesEventField, seesIdentity, type Sight } from '../../access/minimumNecessary.ts';
import { sightOf } from '../../access/sight.ts';
import { dayAt, type Day } from '../../domain/days.ts';
import { makeOrderNumber, parseOrderNumber } from '../../domain/orderNumber.ts';
import { judgePromise } from '../../domain/promise.ts';
import { reason, type Reason } from '../../domain/reasons/index.ts';
import { isSeal } from '../../domain/seals.ts';
import { pageFrom, readCursor, type Page } from '../../http/paging.ts';
import type { Act } from '../../store/act.ts';
import { loadClinic, nextNumber, todayAtClinic } from '../../store/clinic.ts';
import { asStored } from '../../store/days.ts';
import {
  loadOrder,
  loadOrderPage,
  openOrdersFor,
  orderEvents,
  prosthetists,
  writeOrder,
} from '../../store/orders.ts';
import { holdPatient } from '../../store/patients.ts';
import { orRefuse, Refused, refuseIfAny } from '../../store/refused.ts';
import { changesOf, refuseStale } from '../../store/versions.ts';
import type { OrderChange, OrderEvent, OrderToOpen, OrderView, Prosthetists } from './schemas.ts';
import { chanceFromOpening, shopToday } from '../dates/shop.ts';
import { orderView } from './view.ts';

export const readOrder = async (act: Act, orderId: string): Promise<OrderView> =>
  orderView(
    await loadOrderPage(act, { id: orderId }),
    await sightOf(act),
    await todayAtClinic(act),
  );

/** An order's page as it is asked for: where it says who the patient is, that is a look at the patient. */
export async function lookAtOrder(act: Act, orderId: string): Promise<OrderView> {
  const order = await readOrder(act, orderId);
  await noteLook(act, order, 'readOrder');
  return order;
}

async function noteLook(
  act: Act,
  { id, patient }: OrderView,
  route: 'readOrder' | 'readOrderByNumber',
): Promise<void> {
  if (!seesIdentity(await sightOf(act), patient.id)) return;
  const patientIds = [patient.id];
  await lookedUp(act, { route, shown: 'identity', patientIds, orderId: id });
}

/** By its number, as printed, scanned or typed; a mistyped one is refused. */
export async function readOrderByNumber(act: Act, typed: string): Promise<OrderView> {
  const number = orRefuse(parseOrderNumber(typed));
  const found = await loadOrderPage(act, { number });
  const order = orderView(found, await sightOf(act), await todayAtClinic(act));
  await noteLook(act, order, 'readOrderByNumber');
  return order;
}

/**
 * Opens an order and gives it its number.
 * @throws Refused 'order-already-open' where the limb has an open one, unless
 *   another is meant; 'promised-day-past'; 'value-out-of-range'; 'not-a-prosthetist';
 *   'offer-of-another-day'.
 */
export async function openOrder(act: Act, input: OrderToOpen): Promise<OrderView> {
  const { clinicId } = act;
  await holdPatient(act, input.patientId);
  const clinic = await loadClinic(act.tx, clinicId);
  const today = dayAt(act.at, clinic.timeZone);
  const { patientId, side, level, suspension, functionalLevel } = input;
  const promisedOn = input.promisedOn ?? null;
  const prosthetistId = input.prosthetistId ?? null;
  const open = input.anotherOpenOrderIsMeant ? [] : await openOrdersFor(act, input);
  refuseIfAny([
    ...(open.length === 0
      ? []
      : [reason('order-already-open', { orders: open, side, level }, '/anotherOpenOrderIsMeant')]),
    ...(promisedOn === null ? [] : judgePromise(promisedOn, today)),
    ...(await judgeProsthetist(act, prosthetistId)),
  ]);
  const { offerSeed = null } = input;
  const offeredChance =
    offerSeed === null || promisedOn === null
      ? null
      : await chanceAsOffered(act, promisedOn, offerSeed);
  const year = Number(today.slice(0, 4));
  const number = makeOrderNumber({
    prefix: clinic.numberPrefix,
    year,
    running: await nextNumber(act, 'order', year),
  });
  const id = uuidv7();
  const told = {
    number,
    patientId,
    side,
    level,
    suspension,
    functionalLevel,
    promisedOn,
    offeredChance,
    offerSeed,
    liner: input.liner ?? null,
    note: input.note ?? null,
    prosthetistId,
  };
  await writeOrder(act, { id, stage: 'casting', ...told });
  act.record({
    kind: 'order.opened',
    subjectKind: 'order',
    subjectId: id,
    orderId: id,
    data: told,
  });
  return orderView(await loadOrderPage(act, { id }), await sightOf(act), today);
}

/** The chance of a day, drawn as today's offer drew it: a seed that is picked could be a flattering one. */
async function chanceAsOffered(
  act: Act,
  promisedOn: Day,
  offerSeed: number,
): Promise<number | null> {
  const shop = await shopToday(act);
  if (offerSeed !== shop.seed) {
    throw new Refused([
      reason('offer-of-another-day', { offerSeed, today: shop.today }, '/offerSeed'),
    ]);
  }
  return chanceFromOpening(shop, promisedOn, offerSeed);
}

/** Changes what the desk may change of an order, from the version that was read. */
export async function changeOrder(
  act: Act,
  orderId: string,
  change: OrderChange,
  expectedVersion: number,
): Promise<OrderView> {
  const before = await loadOrder(act, orderId);
  if (before.version !== expectedVersion) refuseStale(expectedVersion, before.version);
  if (before.stage === 'cancelled') {
    throw new Refused([reason('order-is-closed', { order: before.number, stage: before.stage })]);
  }
  const changes = changesOf(before, change);
  if (!changes.any) return readOrder(act, orderId);
  const { promisedOn, prosthetistId, ...rest } = changes.set;
  // What is promised after a delivery is for a remake; the first promise was for the limb itself.
  const isFirst = before.firstPromisedOn === null && before.deliveredAt === null;
  const firstPromise = isFirst ? promisedOn : null;
  refuseIfAny([
    ...(promisedOn == null ? [] : judgePromise(promisedOn, await todayAtClinic(act))),
    ...(await judgeProsthetist(act, prosthetistId ?? null)),
  ]);
  const { count } = await act.tx.fabricationOrder.updateMany({
    where: { clinicId: act.clinicId, id: orderId, version: expectedVersion },
    data: {
      ...rest,
      ...(prosthetistId === undefined ? {} : { prosthetistId }),
      ...(promisedOn === undefined
        ? {}
        : { promisedOn: promisedOn === null ? null : asStored(promisedOn) }),
      ...(firstPromise == null ? {} : { firstPromisedOn: asStored(firstPromise) }),
      version: { increment: 1 },
    },
  });
  if (count === 0) refuseStale(expectedVersion, (await loadOrder(act, orderId)).version);
  act.record({
    kind: 'order.changed',
    subjectKind: 'order',
    subjectId: orderId,
    orderId,
    data: changes.event,
  });
  return readOrder(act, orderId);
}

/** What happened to an order, the newest first. */
export async function readOrderHistory(
  act: Act,
  orderId: string,
  page: { readonly limit: number; readonly after?: string | undefined },
): Promise<Page<OrderEvent>> {
  await loadOrder(act, orderId);
  const before = readCursor(z.int().positive(), page.after);
  const rows = await orderEvents(act, orderId, before ?? null, page.limit + 1);
  const sight = await sightOf(act);
  return pageFrom(
    rows,
    page.limit,
    (row) => row.seq,
    (row) => ({ ...row, data: seenData(row, sight) }),
  );
}

/** What is seen of an event; what is sealed is told by `/history` alone. */
const seenData = (event: OrderEvent, sight: Sight): OrderEvent['data'] =>
  Object.fromEntries(
    Object.entries(event.data).filter(
      ([field, value]) => !isSeal(value) && seesEventField(sight, event, field),
    ),
  );

/** Who may be named as an order's prosthetist. */
export const listProsthetists = async (act: Act): Promise<Prosthetists> => ({
  items: await prosthetists(act),
});

async function judgeProsthetist(act: Act, personId: string | null): Promise<Reason[]> {
  if (personId === null) return [];
  const known = (await prosthetists(act)).some((person) => person.id === personId);
  return known ? [] : [reason('not-a-prosthetist', { personId }, '/prosthetistId')];
}

/** What sockets and orders cost, by what the record has (C7). */
import { costsBy, orderCost, socketCost, type SocketUses } from '../../domain/cost.ts';
import { daysBetween, isBefore } from '../../domain/days.ts';
import { groupBy, monthOf } from '../../domain/quality.ts';
import { questionRange } from '../../domain/ranges.ts';
import { reason } from '../../domain/reasons/index.ts';
import type { Act } from '../../store/act.ts';
import { loadClinic } from '../../store/clinic.ts';
import {
  usesOfDelivered,
  usesOfOrder,
  usesOfSocket,
  type SocketUsesRow,
} from '../../store/costs.ts';
import { loadOrder } from '../../store/orders.ts';
import { found, orRefuse, refuseIfAny } from '../../store/refused.ts';
import {
  WINDOW_MOST_DAYS,
  type CostsView,
  type CostWindow,
  type OrderCostView,
  type SocketCostView,
} from './schemas.ts';

/** @throws Refused 'not-found'. */
export async function costOfSocket(act: Act, socketId: string): Promise<SocketCostView> {
  const { currency, labourRatePerHourMinor } = await loadClinic(act.tx, act.clinicId);
  const row = found(await usesOfSocket(act, socketId), () =>
    reason('not-found', { what: 'socket', id: socketId }),
  );
  return { ...orRefuse(socketCost(usesOf(row, labourRatePerHourMinor))), currency };
}

/** Hardware that went from a check socket into the definitive one is counted once. @throws Refused 'not-found'. */
export async function costOfOrder(act: Act, orderId: string): Promise<OrderCostView> {
  const { currency, labourRatePerHourMinor } = await loadClinic(act.tx, act.clinicId);
  const order = await loadOrder(act, orderId);
  const rows = await usesOfOrder(act, orderId);
  const cost = orRefuse(orderCost(rows.map((row) => usesOf(row, labourRatePerHourMinor))));
  return { order: order.number, currency, ...cost };
}

/** Costs of delivered orders by month. @throws Refused 'value-out-of-range', 'day-order-wrong'. */
export async function costsOfMonths(act: Act, { from, to }: CostWindow): Promise<CostsView> {
  refuseIfAny(
    isBefore(to, from)
      ? [reason('day-order-wrong', { what: 'The last day', day: to, earliest: from }, '/to')]
      : questionRange(daysBetween(from, to) + 1, WINDOW, '/to'),
  );
  const { currency, labourRatePerHourMinor, timeZone } = await loadClinic(act.tx, act.clinicId);
  const rows = await usesOfDelivered(act, { from, to, timeZone });
  const orders = [...groupBy(rows, ({ orderId }) => orderId).values()].map((sockets) => ({
    month: monthOf(sockets[0]?.deliveredOn ?? from),
    cost: orRefuse(orderCost(sockets.map((row) => usesOf(row, labourRatePerHourMinor)))),
  }));
  const remakes = orders.flatMap(({ month, cost }) =>
    cost.sockets.filter(({ remake }) => remake).map((totals) => ({ key: month, totals })),
  );
  const inOrder = <T extends { readonly key: string }>(costs: readonly T[]): T[] =>
    costs.toSorted((a, b) => Number(a.key > b.key) - Number(a.key < b.key));
  return {
    currency,
    from,
    to,
    months: costsBy(inOrder(orders.map(({ month, cost }) => ({ key: month, totals: cost })))),
    remakes: costsBy(inOrder(remakes)),
  };
}

const WINDOW = {
  what: 'Days from the first to the last',
  least: 1,
  greatest: WINDOW_MOST_DAYS,
  unit: 'days',
  usual: 'a month, a quarter or a year',
};

/** An amount that nobody weighed has no cost that could be known. */
const usesOf = (row: SocketUsesRow, ratePerHourMinor: number | null): SocketUses => ({
  socket: row.number,
  remake: row.remake,
  materials: row.materials.map(({ name, lot, amount, quantity, priceMinor }) => ({
    what: `${name}, lot ${lot}`,
    amount: amount ?? 0,
    batchQuantity: quantity,
    batchPriceMinor: amount === null ? null : priceMinor,
  })),
  hardware: row.hardware,
  labour: row.labour.map(({ title, attempt, minutes }) => ({
    what: attempt === 1 ? title : `${title}, attempt ${attempt}`,
    minutes,
    ratePerHourMinor,
  })),
});

import { patientSeenBy, type Sight } from '../../access/minimumNecessary.ts';
import { isBefore, type Day } from '../../domain/days.ts';
import type { ListedOrder, OrderOnPage } from '../../store/orders.ts';
import type { OrderLine, OrderView } from './schemas.ts';

/** An order's line in a list, as it is seen on a day. */
export function orderLine(order: ListedOrder, sight: Sight, today: Day): OrderLine {
  const { prosthetistId, prosthetistName, promisedOn, stage } = order;
  return {
    id: order.id,
    number: order.number,
    patient: patientSeenBy(sight, { ...order, id: order.patientId }),
    side: order.side,
    level: order.level,
    suspension: order.suspension,
    functionalLevel: order.functionalLevel,
    stage,
    holdReason: order.holdReason,
    heldAt: order.heldAt,
    promisedOn,
    firstPromisedOn: order.firstPromisedOn,
    offeredChance: order.offeredChance,
    late:
      promisedOn !== null &&
      isBefore(promisedOn, today) &&
      stage !== 'delivered' &&
      stage !== 'cancelled',
    liner: order.liner,
    note: order.note,
    prosthetist:
      prosthetistId === null || prosthetistName === null
        ? null
        : { id: prosthetistId, printedName: prosthetistName },
    openedAt: order.openedAt,
    deliveredAt: order.deliveredAt,
    version: order.version,
  };
}

/** An order's own page. */
export const orderView = (order: OrderOnPage, sight: Sight, today: Day): OrderView => ({
  ...orderLine(order, sight, today),
  openedBy: order.openedByName,
  bodyMassKg: order.bodyMassKg,
  casts: order.casts,
  sockets: order.sockets,
  stages: order.stages,
});

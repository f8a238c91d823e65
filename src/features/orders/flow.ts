import { sign, type Signer } from '../../access/signatures.ts';
import { questionCast } from '../../domain/limbVolume.ts';
import { reason } from '../../domain/reasons/index.ts';
import type { Act } from '../../store/act.ts';
import { acceptedCast, newCastDecidedAfter } from '../../store/casts.ts';
import { holdOrder, writeHold, type OrderRecord } from '../../store/orders.ts';
import { orRefuse, Refused, refuseIfAny } from '../../store/refused.ts';
import { stepStage } from '../../domain/stages.ts';
import type { HoldGiven, OrderView } from './schemas.ts';
import { readOrder } from './service.ts';
import { changeStage } from './stage.ts';

const refuseClosed = (order: OrderRecord): void => {
  if (order.stage === 'delivered' || order.stage === 'cancelled') {
    throw new Refused([reason('order-is-closed', { order: order.number, stage: order.stage })]);
  }
};

/** Puts an order on hold beside its stage; no work goes on until it is resumed. */
export async function putOnHold(act: Act, orderId: string, input: HoldGiven): Promise<OrderView> {
  const order = await holdOrder(act, orderId);
  refuseClosed(order);
  if (order.holdReason !== null) {
    const { number, holdReason } = order;
    throw new Refused([reason('order-already-on-hold', { order: number, holdReason })]);
  }
  await writeHold(act, order, input.holdReason);
  act.record({
    kind: 'order.put_on_hold',
    subjectKind: 'order',
    subjectId: orderId,
    orderId,
    data: { before: null, after: input.holdReason, note: input.note ?? null },
  });
  return readOrder(act, orderId);
}

/** Takes an order off hold. */
export async function resume(act: Act, orderId: string): Promise<OrderView> {
  const order = await holdOrder(act, orderId);
  if (order.holdReason === null) {
    throw new Refused([reason('order-not-on-hold', { order: order.number })]);
  }
  await writeHold(act, order, null);
  act.record({
    kind: 'order.resumed',
    subjectKind: 'order',
    subjectId: orderId,
    orderId,
    data: { before: order.holdReason, after: null },
  });
  return readOrder(act, orderId);
}

/** Cancels an order that is not delivered; all that was recorded stays (R10). */
export async function cancelOrder(act: Act, orderId: string, why: string): Promise<OrderView> {
  const order = await holdOrder(act, orderId);
  await changeStage(act, order, 'cancelled', why);
  return readOrder(act, orderId);
}

/** A prosthetist sends an order to lamination without a fitting: signed, with the reason. */
export async function skipCheckFitting(
  act: Act,
  orderId: string,
  why: string,
  signer: Signer,
): Promise<OrderView> {
  const order = await holdOrder(act, orderId);
  orRefuse(stepStage(order, 'check_fitting_skipped'));
  const cast = await acceptedCast(act, order);
  refuseIfAny(questionCast(null, cast.number, await newCastDecidedAfter(act, cast.id)));
  const signature = await sign(act, {
    signer,
    meaning: 'check_fitting_skipped',
    subjectKind: 'order',
    subjectId: order.id,
    orderId: order.id,
    content: {
      order: order.number,
      side: order.side,
      level: order.level,
      cast: cast.number,
      why,
    },
  });
  await changeStage(act, order, 'check_fitting_skipped', why, signature.id);
  return readOrder(act, orderId);
}

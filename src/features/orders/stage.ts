import { stepStage, type StageStep } from '../../domain/stages.ts';
import { reason } from '../../domain/reasons/index.ts';
import type { Act } from '../../store/act.ts';
import { loadOrder, writeStageStep, type OrderRecord } from '../../store/orders.ts';
import { orRefuse, Refused } from '../../store/refused.ts';

/**
 * The one way an order's stage changes: asks the domain, writes the step with
 * who and why, and records 'order.stage_changed'.
 * @param order as just read; its version must still be the stored one.
 * @param why in words; null where the step says it all.
 * @param signatureId the signature that the step rests on, where it needs one.
 * @returns the order as it is afterwards.
 * @throws Refused 'stage-does-not-allow', 'order-on-hold', or 'version-is-stale'.
 */
export async function changeStage(
  act: Act,
  order: OrderRecord,
  step: StageStep,
  why: string | null,
  signatureId: string | null = null,
): Promise<OrderRecord> {
  const next = orRefuse(stepStage(order, step));
  if (!(await writeStageStep(act, order, next, why, signatureId))) {
    const { version } = await loadOrder(act, order.id);
    throw new Refused([reason('version-is-stale', { yours: order.version, current: version })]);
  }
  const remade = order.stage === 'delivered';
  act.record({
    kind: 'order.stage_changed',
    subjectKind: 'order',
    subjectId: order.id,
    orderId: order.id,
    data: {
      step,
      before: order.stage,
      after: next,
      why,
      signatureId,
      ...(remade ? { promisedOn: { before: order.promisedOn, after: null } } : {}),
      ...(next === 'cancelled' && order.holdReason !== null
        ? { holdReason: { before: order.holdReason, after: null } }
        : {}),
      ...(next === 'delivered' && order.deliveredAt !== null
        ? {
            deliveredAt: {
              before: order.deliveredAt.toISOString(),
              after: act.at.toISOString(),
            },
          }
        : {}),
    },
  });
  return {
    ...order,
    stage: next,
    version: order.version + 1,
    ...(remade ? { promisedOn: null } : {}),
    ...(next === 'cancelled' ? { holdReason: null, heldAt: null } : {}),
    ...(next === 'delivered' ? { deliveredAt: act.at } : {}),
  };
}

/** What a prosthetist decides where the limb has changed past the clinic's limit (C1). */
import { questionCast, questionDecision, questionNewest } from '../../domain/limbVolume.ts';
import { reason } from '../../domain/reasons/index.ts';
import type { Act } from '../../store/act.ts';
import { newCastDecidedAfter } from '../../store/casts.ts';
import {
  decisionOn,
  loadMeasureSet,
  measureSetsOf,
  writeDecision,
  type MeasureSetRecord,
} from '../../store/measureSets.ts';
import { holdOrder, type OrderRecord } from '../../store/orders.ts';
import { orRefuse, Refused, refuseIfAny } from '../../store/refused.ts';
import { changeStage } from '../orders/stage.ts';
import type { VolumeDecided, VolumeDecisionToMake } from './schemas.ts';
import { refuseCancelled } from './service.ts';
import { comparisonOf } from './view.ts';

/**
 * Decides on two sets of one limb, once. The figures are the server's own, kept
 * with the limit of that moment.
 * @throws Refused 'measure-sets-of-two-limbs', 'measures-do-not-overlap',
 *   'not-the-newest-measures', 'new-cast-decided', 'no-decision-asked',
 *   'volume-already-decided', and where a new cast sends the
 *   order back to casting what `changeStage` refuses.
 */
export async function decideOnVolume(
  act: Act,
  input: VolumeDecisionToMake,
): Promise<VolumeDecided> {
  const { decision, why = null } = input;
  const one = await loadMeasureSet(act, input.firstSetId, '/firstSetId');
  const other = await loadMeasureSet(act, input.secondSetId, '/secondSetId');
  const { first, second, compared, view } = orRefuse(await comparisonOf(act, one, other));
  const order = await orderToDecide(act, first, second);
  refuseCancelled(order, 'have a decision on the limb recorded');
  const { limitPercent } = view;
  if (view.decision === null) {
    const decidedAfter =
      first.castId === null ? null : await newCastDecidedAfter(act, first.castId);
    refuseIfAny([
      ...questionNewest(first, second, await measureSetsOf(act, second)),
      ...questionCast(null, first.castNumber ?? 0, decidedAfter),
      ...questionDecision(compared, limitPercent),
    ]);
  }
  const decided = {
    orderId: order.id,
    firstSetId: first.id,
    secondSetId: second.id,
    compared,
    limitPercent,
    decision,
    why,
  };
  const id = await writeDecision(act, decided);
  const made = await decisionOn(act, first.id, second.id);
  if (id === null || made === null) {
    const facts = {
      decision: made?.decision ?? decision,
      by: made?.decidedBy ?? '',
      at: made?.decidedAt.toISOString() ?? '',
    };
    throw new Refused([reason('volume-already-decided', facts)]);
  }
  act.record({
    kind: 'limb.change_decided',
    subjectKind: 'volume_decision',
    subjectId: id,
    orderId: order.id,
    data: {
      firstSetId: first.id,
      secondSetId: second.id,
      differenceMl: compared.differenceMl,
      percent: compared.percent,
      ply: compared.ply,
      limitPercent,
      decision,
      why,
    },
  });
  const next = decision === 'new_cast' ? await towardsNewCast(act, order, second) : null;
  return {
    comparison: { ...view, decision: made },
    orderStage: next?.stage ?? order.stage,
    whatNext: next?.whatNext ?? null,
  };
}

/** The order that the decision is about: that of the cast while it is open, else the one that measured. */
async function orderToDecide(
  act: Act,
  first: MeasureSetRecord,
  second: MeasureSetRecord,
): Promise<OrderRecord> {
  const ofCast = await holdOrder(act, first.orderId);
  const open = ofCast.stage !== 'delivered' && ofCast.stage !== 'cancelled';
  return open || first.orderId === second.orderId ? ofCast : holdOrder(act, second.orderId);
}

interface Towards {
  readonly stage: OrderRecord['stage'];
  readonly whatNext: NonNullable<VolumeDecided['whatNext']>;
}

/**
 * How the order comes to its new cast. At casting and check fitting one is simply
 * taken, or the fit is rejected with that next step; after delivery a remake is
 * opened. From lamination and delivery no other act leads back to casting: the
 * decision is the step.
 */
async function towardsNewCast(
  act: Act,
  order: OrderRecord,
  second: MeasureSetRecord,
): Promise<Towards> {
  const route = (words: string, url: string): Towards['whatNext'] => ({
    words,
    method: 'POST',
    url: `/api/v1/${url}`,
  });
  const { stage, id: orderId } = order;
  if (
    second.castState === 'taken' &&
    second.orderId === orderId &&
    (stage === 'casting' || stage === 'check_fitting')
  ) {
    const words = `Cast ${second.castNumber ?? ''} was taken with these measures: accept it.`;
    return { stage, whatNext: route(words, `casts/${second.castId ?? ''}/accept`) };
  }
  const takeCast = route('Take the new cast.', `orders/${orderId}/casts`);
  switch (stage) {
    case 'check_fitting': {
      const onTrial = await act.tx.socket.findFirst({
        where: { clinicId: act.clinicId, orderId, kind: 'check', state: 'in_work' },
        orderBy: { running: 'desc' },
        select: { id: true, number: true },
      });
      if (onTrial === null) return { stage, whatNext: takeCast };
      const words = `Refuse the fit of ${onTrial.number} with a new cast as the next step: the order goes back to casting.`;
      return { stage, whatNext: route(words, `sockets/${onTrial.id}/fit-rejection`) };
    }
    case 'lamination':
    case 'delivery': {
      const back = await changeStage(
        act,
        order,
        'new_cast_wanted',
        'the limb has changed since its cast',
      );
      const words = 'The order is back at casting: take the new cast.';
      return { stage: back.stage, whatNext: { ...takeCast, words } };
    }
    case 'delivered': {
      const words = 'Open a remake with a new cast: the order goes back to casting.';
      return { stage, whatNext: route(words, `orders/${orderId}/remake`) };
    }
    case 'casting':
    case 'cancelled':
      return { stage, whatNext: takeCast };
  }
}

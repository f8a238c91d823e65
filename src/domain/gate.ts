/**
 * R8, the delivery gate, and its sister at the end of a service visit (R15). It
 * answers with everything that is missing, each with its way, never with the
 * first only. Nobody passes it by calling in another order: it looks at the
 * facts, not at the way they came about.
 */
import {
  judgeAlignment,
  type Alignment,
  type AlignmentTolerance,
  type PastRange,
} from './alignment.ts';
import {
  judgeLock,
  missingHardware,
  openJoints,
  type Evidence,
  type HeldItem,
  type JointState,
} from './assembly.ts';
import { isBefore, type Day } from './days.ts';
import { dayInWords } from './dayWords.ts';
import { judgeFit, type Wearer } from './fit.ts';
import { judgeLimbSinceCast, type LimbSinceCast } from './limbVolume.ts';
import { reason, type Reason } from './reasons/index.ts';
import { stepStage, type OrderStage } from './stages.ts';
import type { OperationState, SocketKind, SocketState, Suspension } from './words.ts';

/** A batch that went into a socket. */
export interface UsedBatch {
  readonly lot: string;
  readonly usedOn: Day;
  readonly expiresOn: Day | null;
  readonly quarantined: boolean;
  /** A finding on this socket that names it was accepted as is, by signature. */
  readonly acceptedAsIs: boolean;
}

/** What is asked of hardware, whether at delivery or after a service visit. */
export interface WearableFacts {
  readonly socket: string;
  readonly suspension: Suspension;
  readonly wearer: Wearer;
  readonly held: readonly HeldItem[];
  /** For each part, up to which body mass its use near the rating is acknowledged. */
  readonly acknowledgedUpToKg: Readonly<Record<string, number>>;
  readonly joints: readonly JointState[];
  readonly lockCheck: Evidence | null;
  readonly shopToolsIn: readonly string[];
  readonly openFindings: readonly string[];
  readonly acceptedAlignment: Alignment | null;
  readonly measuredAlignment: (Alignment & { readonly coversMoveIds: readonly string[] }) | null;
  readonly alignmentMoveIds: readonly string[];
  readonly alignmentTolerance: AlignmentTolerance;
  /** Pyramid and adapter that the measured tilt is too much for (C6). */
  readonly alignmentPastRange: readonly PastRange[];
  readonly alignmentDifferenceSigned: boolean;
}

export interface DeliveryFacts extends WearableFacts {
  readonly order: OrderStage;
  readonly socketKind: SocketKind;
  readonly socketState: SocketState;
  readonly operations: readonly { readonly title: string; readonly state: OperationState }[];
  readonly batches: readonly UsedBatch[];
  /** A prosthetist accepted a fit of this order, or signed that check fitting is skipped. */
  readonly fitAccepted: boolean;
  /** The limb since the cast that the socket came from; null where the cast's measures are the newest. */
  readonly limb: LimbSinceCast | null;
  /** Everybody who did bench work on the socket. */
  readonly workers: readonly string[];
  readonly releaser: { readonly personId: string; readonly printedName: string } | null;
  readonly releaserMayBeSoleWorker: boolean;
}

/** What of the hardware does not fit (R3): each pair of neighbours and each fact is named once. */
function misfits({ held, wearer, acknowledgedUpToKg }: WearableFacts): Reason[] {
  const all = held.flatMap((item, at) =>
    judgeFit({
      candidate: item,
      neighbours: held.slice(at + 1),
      wearer,
      acknowledgedUpToKg: acknowledgedUpToKg[item.part.id] ?? null,
    }),
  );
  return all.filter((one, at) => all.findIndex((other) => sameWords(one, other)) === at);
}

const sameWords = (a: Reason, b: Reason): boolean => a.code === b.code && a.detail === b.detail;

/** Everything against a limb being worn as it is now: hardware, joints, lock, findings, alignment. */
export function judgeWearable(facts: WearableFacts): Reason[] {
  const { socket } = facts;
  return [
    ...missingHardware(socket, facts.suspension, facts.held),
    ...misfits(facts),
    ...(facts.shopToolsIn.length > 0 ? [reason('shop-tool-stays-here', { socket })] : []),
    ...openJoints(socket, facts.joints),
    ...judgeLock({
      socket,
      suspension: facts.suspension,
      held: facts.held,
      newest: facts.lockCheck,
    }),
    ...facts.openFindings.map((finding) => reason('finding-open', { socket, finding })),
    ...judgeAlignment({
      socket,
      accepted: facts.acceptedAlignment,
      measured: facts.measuredAlignment,
      currentMoveIds: facts.alignmentMoveIds,
      tolerance: facts.alignmentTolerance,
      pastRange: facts.alignmentPastRange,
      differenceSigned: facts.alignmentDifferenceSigned,
    }),
  ];
}

/** What is missing where no definitive socket is in work: there is nothing else to look at yet. */
export function judgeWithoutSocket(facts: Pick<DeliveryFacts, 'order' | 'fitAccepted'>): Reason[] {
  const order = facts.order.number;
  return [reason('no-definitive-socket', { order }), ...judgeOrder(facts)];
}

/** The order's stage, and the fit that must have been accepted on it. */
function judgeOrder({
  order,
  fitAccepted,
}: Pick<DeliveryFacts, 'order' | 'fitAccepted'>): Reason[] {
  const stage = stepStage(order, 'delivered');
  return [
    ...(stage.ok ? [] : stage.reasons),
    ...(fitAccepted ? [] : [reason('fit-not-accepted', { order: order.number })]),
  ];
}

/**
 * The delivery gate: all that is missing before a prosthetist may release the
 * socket; empty where nothing is. A releaser of null asks for the list alone.
 */
export function judgeDelivery(facts: DeliveryFacts): Reason[] {
  const { socket } = facts;
  const reasons: Reason[] = [];
  if (
    facts.socketKind !== 'definitive' ||
    (facts.socketState !== 'in_work' && facts.socketState !== 'accepted')
  ) {
    reasons.push(
      reason('not-the-socket-to-deliver', {
        socket,
        state: facts.socketState,
        kind: facts.socketKind,
      }),
    );
  }
  reasons.push(...judgeOrder(facts), ...judgeLimbSinceCast(socket, facts.limb));
  for (const operation of facts.operations) {
    if (operation.state === 'done' || operation.state === 'left_out') continue;
    reasons.push(
      reason('operation-not-done', { operation: operation.title, state: operation.state, socket }),
    );
  }
  reasons.push(...judgeWearable(facts), ...facts.batches.flatMap((b) => judgeBatch(socket, b)));
  const { releaser } = facts;
  if (
    releaser !== null &&
    !facts.releaserMayBeSoleWorker &&
    facts.workers.length > 0 &&
    facts.workers.every((worker) => worker === releaser.personId)
  ) {
    reasons.push(reason('releaser-did-the-work', { person: releaser.printedName }));
  }
  return reasons;
}

function judgeBatch(socket: string, batch: UsedBatch): Reason[] {
  if (batch.acceptedAsIs) return [];
  const { lot, expiresOn } = batch;
  const against: Reason[] = [];
  if (batch.quarantined) {
    against.push(reason('batch-not-good', { socket, lot, why: 'is in quarantine' }));
  }
  if (expiresOn !== null && isBefore(expiresOn, batch.usedOn)) {
    const why = `expired on ${dayInWords(expiresOn)}, before it was used`;
    against.push(reason('batch-not-good', { socket, lot, why }));
  }
  return against;
}

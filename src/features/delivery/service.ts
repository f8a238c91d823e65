/** The delivery gate, the signed delivery, and what a prosthetist acknowledges on the way (R3, R8, R9). */
import { v7 as uuidv7 } from 'uuid';
import { judgeDelivery, judgeWithoutSocket, type DeliveryFacts } from '../../domain/gate.ts';
import { judgeRatedMass } from '../../domain/ratedMass.ts';
import { reason, type Reason } from '../../domain/reasons/index.ts';
import { sign, type Signer } from '../../access/signatures.ts';
import type { Act } from '../../store/act.ts';
import { loadClinic } from '../../store/clinic.ts';
import { limbSinceCast } from '../../store/measureSets.ts';
import { loadOperations } from '../../store/operations.ts';
import { loadOrder } from '../../store/orders.ts';
import { found, Refused, refuseIfAny } from '../../store/refused.ts';
import { usedBatches, wearableFacts, workersOf } from '../../store/socketFacts.ts';
import { loadSocket, orderStageOf, wearerOf, type SocketFacts } from '../../store/sockets.ts';
import { changeStage } from '../orders/stage.ts';
import { retireSocket } from '../sockets/retire.ts';

/** The definitive socket that an order would deliver: the newest that was not given up. */
export async function socketToDeliver(act: Act, orderId: string): Promise<string | null> {
  const socket = await act.tx.socket.findFirst({
    where: {
      clinicId: act.clinicId,
      orderId,
      kind: 'definitive',
      state: { in: ['in_work', 'accepted'] },
    },
    orderBy: { running: 'desc' },
    select: { id: true },
  });
  return socket?.id ?? null;
}

/** Everything that the delivery gate asks about a socket. */
export async function deliveryFacts(
  act: Act,
  socket: SocketFacts,
  releaser: DeliveryFacts['releaser'],
): Promise<DeliveryFacts> {
  const { tx, clinicId } = act;
  const clinic = await loadClinic(tx, clinicId);
  return {
    ...(await wearableFacts(tx, clinicId, socket)),
    order: orderStageOf(socket),
    socketKind: socket.kind,
    socketState: socket.state,
    operations: await loadOperations(tx, clinicId, socket.id),
    batches: await usedBatches(tx, clinicId, socket.id, clinic.timeZone),
    fitAccepted: await isFitAccepted(act, socket.orderId),
    limb: await limbSinceCast(act, socket),
    workers: await workersOf(tx, clinicId, socket.id),
    releaser,
    releaserMayBeSoleWorker: clinic.releaserMayBeSoleWorker,
  };
}

/** A prosthetist accepted a fit of the order, or signed that check fitting is skipped. */
const isFitAccepted = async ({ tx, clinicId }: Act, orderId: string): Promise<boolean> =>
  (await tx.fitting.count({ where: { clinicId, outcome: 'accepted', socket: { orderId } } })) > 0 ||
  (await tx.signature.count({
    where: { clinicId, subjectId: orderId, meaning: 'check_fitting_skipped' },
  })) > 0;

export interface GateAnswer {
  readonly socketId: string | null;
  readonly socketNumber: string | null;
  readonly open: boolean;
  readonly missing: readonly Reason[];
}

/** What is missing before the order's definitive socket may be delivered; the whole list (R8). */
export async function readGate(act: Act, orderId: string): Promise<GateAnswer> {
  const order = await loadOrder(act, orderId);
  const socketId = await socketToDeliver(act, orderId);
  if (socketId === null) {
    return {
      socketId: null,
      socketNumber: null,
      open: false,
      missing: judgeWithoutSocket({ order, fitAccepted: await isFitAccepted(act, orderId) }),
    };
  }
  const socket = await loadSocket(act.tx, act.clinicId, socketId);
  const releaser = act.by.roles.includes('prosthetist')
    ? { personId: act.by.personId, printedName: act.by.printedName }
    : null;
  const missing = judgeDelivery(await deliveryFacts(act, socket, releaser));
  return { socketId, socketNumber: socket.number, open: missing.length === 0, missing };
}

export interface DeliverInput {
  readonly socketId: string;
  /** The patient, or the designee who received the limb. */
  readonly receivedByName: string;
  /** "patient", or the designee's relation to the patient. */
  readonly receivedByRelation: string;
}

export interface Delivered {
  readonly deliveryId: string;
  readonly signatureId: string;
  /** Check sockets retired because their hardware moved on (R9). */
  readonly retired: readonly string[];
  /** Said on the record where the clinic lets the releaser be the only worker. */
  readonly releaserWasSoleWorker: boolean;
}

/** Releases and delivers a definitive socket: the gate must be open, the prosthetist signs (R8). */
export async function deliver(
  act: Act,
  orderId: string,
  input: DeliverInput,
  signer: Signer,
): Promise<Delivered> {
  const { tx, clinicId } = act;
  const socket = await loadSocket(tx, clinicId, input.socketId, true);
  if (socket.orderId !== orderId) {
    throw new Refused([reason('not-found', { what: 'socket of this order', id: input.socketId })]);
  }
  await refuseStaffAsReceiver(act, input.receivedByName);
  const facts = await deliveryFacts(act, socket, {
    personId: act.by.personId,
    printedName: act.by.printedName,
  });
  refuseIfAny(judgeDelivery(facts));
  const releaserWasSoleWorker =
    facts.workers.length > 0 && facts.workers.every((worker) => worker === act.by.personId);

  const deliveryId = uuidv7();
  const gate = {
    socket: socket.number,
    order: socket.orderNumber,
    bodyMassKg: socket.bodyMassKg,
    hardware: facts.held.map((item) => ({ position: item.position, item: item.label })),
    joints: facts.joints.map((joint) => ({ kind: joint.kind, confirmed: joint.confirmed })),
    lockCheck: facts.lockCheck?.id ?? null,
    limbChangeDecided: facts.limb?.decision ?? null,
    operations: facts.operations.map((row) => ({ title: row.title, state: row.state })),
    releaserWasSoleWorker,
    receivedByName: input.receivedByName,
    receivedByRelation: input.receivedByRelation,
  };
  const signature = await sign(act, {
    signer,
    meaning: 'delivery_released',
    subjectKind: 'delivery',
    subjectId: deliveryId,
    orderId,
    content: gate,
  });
  await tx.delivery.create({
    data: {
      clinicId,
      id: deliveryId,
      orderId,
      socketId: socket.id,
      signatureId: signature.id,
      gate,
      receivedByName: input.receivedByName,
      receivedByRelation: input.receivedByRelation,
      deliveredAt: act.at,
      releasedById: act.by.personId,
    },
  });
  await tx.socket.update({
    where: { clinicId_id: { clinicId, id: socket.id } },
    data: { state: 'delivered', deliveredAt: act.at, version: { increment: 1 } },
  });
  act.record({
    kind: 'socket.delivered',
    subjectKind: 'socket',
    subjectId: socket.id,
    orderId,
    data: {
      number: socket.number,
      before: socket.state,
      after: 'delivered',
      deliveryId,
      releaserWasSoleWorker,
    },
  });
  const order = await loadOrder(act, orderId);
  await changeStage(act, order, 'delivered', `${socket.number} delivered`, signature.id);
  return {
    deliveryId,
    signatureId: signature.id,
    retired: await retireEmptied(act, orderId, socket.id),
    releaserWasSoleWorker,
  };
}

/** R9: after delivery, sockets of the order that hold nothing any more are retired. */
async function retireEmptied(act: Act, orderId: string, deliveredId: string): Promise<string[]> {
  const { tx, clinicId } = act;
  const emptied = await tx.$queryRaw<{ id: string; number: string; state: string }[]>`
    select s.id, s.number, s.state from socket s
    where s.clinic_id = ${clinicId}::uuid and s.order_id = ${orderId}::uuid and s.id <> ${deliveredId}::uuid
      and s.state in ('accepted', 'rejected', 'delivered')
      and not exists (
        select 1 from place p join custody c on c.clinic_id = p.clinic_id and c.place_id = p.id
          join item i on i.clinic_id = c.clinic_id and i.id = c.item_id
          join part pt on pt.clinic_id = i.clinic_id and pt.id = i.part_id and not pt.single_use
        where p.clinic_id = s.clinic_id and p.socket_id = s.id)
    order by s.number`;
  for (const socket of emptied) await retireSocket(act, { ...socket, orderId });
  return emptied.map((socket) => socket.number);
}

/** Supplier staff may not receive for the patient (CMS Program Integrity Manual ch. 4 § 4.7.3). */
async function refuseStaffAsReceiver(act: Act, name: string): Promise<void> {
  const staff = await act.tx.person.findFirst({
    where: { clinicId: act.clinicId, printedName: { equals: name, mode: 'insensitive' } },
    select: { id: true },
  });
  if (staff !== null) {
    throw new Refused([reason('receiver-works-here', { name }, '/receivedByName')]);
  }
}

/** A prosthetist signs that a part may be used although the body mass is near its rating (R3). */
export async function acknowledgeMass(
  act: Act,
  socketId: string,
  partId: string,
  signer: Signer,
): Promise<{ acknowledgementId: string; upToKg: number; signatureId: string }> {
  const { tx, clinicId } = act;
  const socket = await loadSocket(tx, clinicId, socketId);
  const part = found(
    await tx.part.findUnique({ where: { clinicId_id: { clinicId, id: partId } } }),
    () => reason('not-found', { what: 'part', id: partId }, '/partId'),
  );
  const { bodyMassKg, chartNumber } = wearerOf(socket);
  if (bodyMassKg === null) {
    throw new Refused([reason('body-mass-missing', { patient: chartNumber })]);
  }
  if (part.ratedBodyMassKg !== null) {
    // Past the rating no signature helps: judged as if this very mass were already acknowledged.
    const verdict = judgeRatedMass({
      partName: part.name,
      ratedBodyMassKg: part.ratedBodyMassKg,
      bodyMassKg,
      acknowledgedUpToKg: bodyMassKg,
    });
    if (!verdict.ok) throw new Refused(verdict.reasons);
  }
  const acknowledgementId = uuidv7();
  const signature = await sign(act, {
    signer,
    meaning: 'mass_near_rating_acknowledged',
    subjectKind: 'mass_acknowledgement',
    subjectId: acknowledgementId,
    orderId: socket.orderId,
    content: {
      order: socket.orderNumber,
      part: part.name,
      ratedBodyMassKg: part.ratedBodyMassKg,
      bodyMassKg,
    },
  });
  await tx.massAcknowledgement.create({
    data: {
      clinicId,
      id: acknowledgementId,
      orderId: socket.orderId,
      partId,
      upToKg: bodyMassKg,
      signatureId: signature.id,
      recordedAt: act.at,
      recordedById: act.by.personId,
    },
  });
  return { acknowledgementId, upToKg: bodyMassKg, signatureId: signature.id };
}

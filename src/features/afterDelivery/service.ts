/** After delivery: visits under the same rules, and what is due (R15). */
import { v7 as uuidv7 } from 'uuid';
import { addDays, dayAt, type Day } from '../../domain/days.ts';
import { judgeWearable } from '../../domain/gate.ts';
import { questionCast } from '../../domain/limbVolume.ts';
import { reason } from '../../domain/reasons/index.ts';
import type { ServiceKind } from '../../domain/words.ts';
import { sign, type Signer } from '../../access/signatures.ts';
import type { Act } from '../../store/act.ts';
import { heldItems } from '../../store/assembly.ts';
import { acceptedCast, newCastDecidedAfter } from '../../store/casts.ts';
import { dueJoints, type DueRow } from '../../store/due.ts';
import { loadOrder } from '../../store/orders.ts';
import { found, Refused, refuseIfAny } from '../../store/refused.ts';
import { wearableFacts } from '../../store/socketFacts.ts';
import { loadSocket } from '../../store/sockets.ts';
import { retireSocket } from '../sockets/retire.ts';
import { openVisitOf } from '../../store/visits.ts';
import { changeStage } from '../orders/stage.ts';

export interface OpenVisitInput {
  readonly socketId: string;
  readonly kind: ServiceKind;
  readonly note: string;
}

/** Opens a service visit for a delivered socket; hardware may then be moved under the same rules. */
export async function openVisit(
  act: Act,
  orderId: string,
  input: OpenVisitInput,
): Promise<{ serviceVisitId: string }> {
  const { tx, clinicId } = act;
  const socket = await loadSocket(tx, clinicId, input.socketId, true);
  if (socket.orderId !== orderId) {
    throw new Refused([reason('not-found', { what: 'socket of this order', id: input.socketId })]);
  }
  if (socket.state !== 'delivered') {
    throw new Refused([
      reason('socket-state-does-not-allow', {
        socket: socket.number,
        state: socket.state,
        attempt: 'have a service visit',
      }),
    ]);
  }
  if ((await openVisitOf(tx, clinicId, socket.id)) !== null) {
    throw new Refused([reason('visit-already-open', { socket: socket.number })]);
  }
  const serviceVisitId = uuidv7();
  await tx.serviceVisit.create({
    data: {
      clinicId,
      id: serviceVisitId,
      orderId,
      socketId: socket.id,
      kind: input.kind,
      note: input.note,
      openedAt: act.at,
      openedById: act.by.personId,
    },
  });
  act.record({
    kind: 'service.opened',
    subjectKind: 'service_visit',
    subjectId: serviceVisitId,
    orderId,
    data: { socket: socket.number, kind: input.kind, note: input.note },
  });
  return { serviceVisitId };
}

/** Ends a visit: the limb must be fit to be worn again, and the prosthetist signs it. */
export async function closeVisit(
  act: Act,
  serviceVisitId: string,
  outcome: string,
  signer: Signer,
): Promise<{ serviceVisitId: string; signatureId: string }> {
  const { tx, clinicId } = act;
  const visit = found(
    await tx.serviceVisit.findUnique({
      where: { clinicId_id: { clinicId, id: serviceVisitId } },
    }),
    () => reason('not-found', { what: 'service visit', id: serviceVisitId }),
  );
  const socket = await loadSocket(tx, clinicId, visit.socketId, true);
  if (visit.closedAt !== null) {
    throw new Refused([reason('visit-closed', { socket: socket.number })]);
  }
  const facts = await wearableFacts(tx, clinicId, socket);
  // A socket whose hardware all moved on (into its remake) is worn no more: it is retired (R9).
  const emptied = (await heldItems(tx, clinicId, socket.id)).every((item) => item.part.singleUse);
  if (!emptied) refuseIfAny(judgeWearable(facts));
  const signature = await sign(act, {
    signer,
    meaning: 'service_released',
    subjectKind: 'service_visit',
    subjectId: serviceVisitId,
    orderId: visit.orderId,
    content: {
      socket: socket.number,
      kind: visit.kind,
      note: visit.note,
      outcome,
      hardware: facts.held.map((item) => ({ position: item.position, item: item.label })),
    },
  });
  const closed = await tx.serviceVisit.updateMany({
    where: { clinicId, id: serviceVisitId, closedAt: null },
    data: {
      closedAt: act.at,
      closedById: act.by.personId,
      outcome,
      signatureId: signature.id,
    },
  });
  if (closed.count === 0) {
    throw new Refused([reason('visit-closed', { socket: socket.number })]);
  }
  act.record({
    kind: 'service.closed',
    subjectKind: 'service_visit',
    subjectId: serviceVisitId,
    orderId: visit.orderId,
    data: { socket: socket.number, outcome, signatureId: signature.id },
  });
  if (emptied) await retireSocket(act, socket);
  return { serviceVisitId, signatureId: signature.id };
}

/** What is due by `withinDays` days from today, the longest overdue first. */
export async function listDue(
  act: Act,
  withinDays: number,
): Promise<{ today: Day; items: DueRow[] }> {
  const clinic = await act.tx.clinic.findUniqueOrThrow({ where: { id: act.clinicId } });
  const today = dayAt(act.at, clinic.timeZone);
  const items = await dueJoints(act.tx, act.clinicId, {
    by: addDays(today, withinDays),
    timeZone: clinic.timeZone,
    firstRecheckDays: clinic.firstRecheckDays,
  });
  return { today, items };
}

/** After delivery a prosthetist asks for a new socket under the same order: from a new cast, or from the same. */
export async function openRemake(
  act: Act,
  orderId: string,
  input: { readonly why: string; readonly newCast: boolean },
): Promise<{ orderId: string }> {
  const order = await loadOrder(act, orderId);
  if (!input.newCast) {
    const cast = await acceptedCast(act, order);
    refuseIfAny(questionCast(null, cast.number, await newCastDecidedAfter(act, cast.id)));
  }
  await changeStage(
    act,
    order,
    input.newCast ? 'remake_wanted' : 'another_definitive_wanted',
    input.why,
  );
  return { orderId };
}

/** A prosthetist's judgement of a check socket on the limb. */
import { v7 as uuidv7 } from 'uuid';
import { tellPastRange, type Alignment } from '../../domain/alignment.ts';
import { judgeLock, missingHardware, openJoints } from '../../domain/assembly.ts';
import { judgeWeight } from '../../domain/fit.ts';
import { judgeLimbSinceCast } from '../../domain/limbVolume.ts';
import { reason, type Reason } from '../../domain/reasons/index.ts';
import { mayWork } from '../../domain/stages.ts';
import type { FitNextStep, FitReason, LimbArea } from '../../domain/words.ts';
import { sign, type Signer } from '../../access/signatures.ts';
import type { Act } from '../../store/act.ts';
import { limbSinceCast } from '../../store/measureSets.ts';
import { loadOperations } from '../../store/operations.ts';
import { loadOrder } from '../../store/orders.ts';
import { orRefuse, Refused, refuseIfAny } from '../../store/refused.ts';
import { loadAssembly } from '../../store/socketFacts.ts';
import {
  acknowledgedMasses,
  loadSocket,
  orderStageOf,
  wearerOf,
  type SocketFacts,
} from '../../store/sockets.ts';
import { changeStage } from '../orders/stage.ts';
import { writeAlignment } from './alignment.ts';
import type { FitAccepted } from './schemas.ts';

/**
 * Accepts the fit of a check socket, signed, with its alignment. The patient
 * stood on it, so it must have been safe to stand on: hardware in and rated,
 * joints torqued, lock checked, operations done; and the limb must still be the
 * one that was cast, or what became of it decided.
 */
export async function acceptFit(
  act: Act,
  socketId: string,
  input: { readonly alignment: Alignment; readonly note?: string | undefined },
  signer: Signer,
): Promise<FitAccepted> {
  const { tx, clinicId } = act;
  const socket = await loadCheckSocket(act, socketId);
  const { held, joints, evidence } = await loadAssembly(tx, clinicId, socket.id);
  const operations = await loadOperations(tx, clinicId, socket.id);
  const acknowledged = await acknowledgedMasses(tx, clinicId, socket.orderId);
  const reasons: Reason[] = [
    ...judgeLimbSinceCast(socket.number, await limbSinceCast(act, socket)),
    ...operations
      .filter((row) => row.state !== 'done' && row.state !== 'left_out')
      .map((row) =>
        reason('operation-not-done', {
          operation: row.title,
          state: row.state,
          socket: socket.number,
        }),
      ),
    ...missingHardware(socket.number, socket.suspension, held),
    ...held.flatMap((item) =>
      judgeWeight(item.part, wearerOf(socket), acknowledged[item.part.id] ?? null),
    ),
    ...openJoints(socket.number, joints),
    ...judgeLock({
      socket: socket.number,
      suspension: socket.suspension,
      held,
      newest: evidence.lockCheck,
    }),
  ];
  refuseIfAny(reasons);

  const { alignmentId, pastRange } = await writeAlignment(
    act,
    socket,
    'fitting',
    input.alignment,
    '/alignment',
  );
  const fittingId = uuidv7();
  const signature = await sign(act, {
    signer,
    meaning: 'fit_accepted',
    subjectKind: 'fitting',
    subjectId: fittingId,
    orderId: socket.orderId,
    content: {
      socket: socket.number,
      alignment: { ...input.alignment },
      pastRange: pastRange.map((each) => ({ ...each })),
      hardware: held.map((item) => ({ position: item.position, item: item.label })),
      note: input.note ?? null,
    },
  });
  await tx.fitting.create({
    data: {
      clinicId,
      id: fittingId,
      socketId: socket.id,
      outcome: 'accepted',
      reasons: [],
      areas: [],
      changes: input.note ?? null,
      alignmentId,
      signatureId: signature.id,
      judgedAt: act.at,
      judgedById: act.by.personId,
    },
  });
  await setSocketState(act, socket, 'accepted', 'fit accepted');
  await changeStage(
    act,
    await loadOrder(act, socket.orderId),
    'fit_accepted',
    `${socket.number} accepted`,
    signature.id,
  );
  return {
    fittingId,
    alignmentId,
    signatureId: signature.id,
    warnings: tellPastRange(pastRange),
  };
}

export interface RejectFitInput {
  readonly reasons: readonly FitReason[];
  readonly areas: readonly LimbArea[];
  readonly changes?: string | undefined;
  readonly nextStep: FitNextStep;
}

/** Refuses the fit of a check socket: why, where on the limb, and what is done next. */
export async function rejectFit(
  act: Act,
  socketId: string,
  input: RejectFitInput,
): Promise<{ fittingId: string }> {
  const socket = await loadCheckSocket(act, socketId);
  const fittingId = uuidv7();
  await act.tx.fitting.create({
    data: {
      clinicId: act.clinicId,
      id: fittingId,
      socketId: socket.id,
      outcome: 'rejected',
      reasons: [...input.reasons],
      areas: [...input.areas],
      changes: input.changes ?? null,
      nextStep: input.nextStep,
      judgedAt: act.at,
      judgedById: act.by.personId,
    },
  });
  act.record({
    kind: 'fit.rejected',
    subjectKind: 'fitting',
    subjectId: fittingId,
    orderId: socket.orderId,
    data: {
      socket: socket.number,
      reasons: [...input.reasons],
      areas: [...input.areas],
      changes: input.changes ?? null,
      nextStep: input.nextStep,
    },
  });
  if (input.nextStep !== 'same_socket_changed') {
    await setSocketState(act, socket, 'rejected', input.reasons.join(', '));
  }
  if (input.nextStep === 'new_cast') {
    const order = await loadOrder(act, socket.orderId);
    await changeStage(act, order, 'new_cast_wanted', `${socket.number} rejected`);
  }
  return { fittingId };
}

async function loadCheckSocket(act: Act, socketId: string): Promise<SocketFacts> {
  const socket = await loadSocket(act.tx, act.clinicId, socketId, true);
  orRefuse(mayWork(orderStageOf(socket), ['check_fitting'], 'have a fit judged'));
  if (socket.kind !== 'check' || socket.state !== 'in_work') {
    throw new Refused([
      reason('socket-state-does-not-allow', {
        socket: socket.number,
        state: socket.state,
        attempt: 'have its fit judged',
      }),
    ]);
  }
  return socket;
}

async function setSocketState(
  act: Act,
  socket: SocketFacts,
  state: 'accepted' | 'rejected',
  why: string,
): Promise<void> {
  await act.tx.socket.update({
    where: { clinicId_id: { clinicId: act.clinicId, id: socket.id } },
    data: { state, version: { increment: 1 } },
  });
  act.record({
    kind: `socket.${state}`,
    subjectKind: 'socket',
    subjectId: socket.id,
    orderId: socket.orderId,
    data: { number: socket.number, before: socket.state, after: state, why },
  });
}

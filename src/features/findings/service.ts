/** Findings: something wrong, and how it was closed. */
import { reason } from '../../domain/reasons/index.ts';
import type { Disposition, FindingKind, OperationState } from '../../domain/words.ts';
import {
  OPERATION_KIND_NAMES,
  OPERATION_KINDS,
  type FactNeeded,
  type OperationKind,
} from '../../domain/operations.ts';
import { sign, type Signer } from '../../access/signatures.ts';
import type { Act } from '../../store/act.ts';
import { newestLayup } from '../../store/layups.ts';
import { loadOrder } from '../../store/orders.ts';
import { shaOfPhotos } from '../../store/photos.ts';
import { found, Refused } from '../../store/refused.ts';
import { loadSocket, type SocketFacts } from '../../store/sockets.ts';
import { changeStage } from '../orders/stage.ts';
import type { PictureGiven } from '../photos/schemas.ts';
import { picturesToKeep } from '../photos/service.ts';
import { applyEffect } from '../sockets/effects.ts';
import { missingFacts } from '../sockets/facts.ts';
import { setState } from '../sockets/operations.ts';
import { openFinding } from './open.ts';

export interface ReportFindingInput {
  readonly kind: FindingKind;
  readonly note: string;
  readonly operationId?: string | undefined;
  readonly batchId?: string | undefined;
  readonly photos?: readonly PictureGiven[] | undefined;
}

/** Anybody at the bench or in the fitting room reports what is wrong. */
export async function reportFinding(
  act: Act,
  socketId: string,
  input: ReportFindingInput,
): Promise<{ findingId: string }> {
  const photos = picturesToKeep(input.photos ?? [], '/photos');
  const socket = await loadSocket(act.tx, act.clinicId, socketId);
  if (input.operationId !== undefined) {
    const operation = found(
      await act.tx.operation.findFirst({
        where: { clinicId: act.clinicId, socketId, id: input.operationId },
      }),
      () => reason('not-found', { what: 'operation', id: input.operationId ?? '' }),
    );
    if (operation.state === 'waiting') {
      await setState(
        act,
        { id: operation.id, title: operation.title, state: 'waiting' },
        'stopped',
      );
      noteState(act, socket, operation, 'stopped');
    }
  }
  if (input.batchId !== undefined) {
    const used = await act.tx.batchUse.findFirst({
      where: { clinicId: act.clinicId, socketId, batchId: input.batchId },
      select: { id: true },
    });
    found(used, () =>
      reason(
        'not-found',
        { what: `batch used in ${socket.number}`, id: input.batchId ?? '' },
        '/batchId',
      ),
    );
  }
  return { findingId: await openFinding(act, socket, { ...input, photos }) };
}

/**
 * Closes a finding by rework, remake or scrap. Rework is the bench's; to remake
 * or to scrap is a prosthetist's decision.
 */
export async function disposeOfFinding(
  act: Act,
  findingId: string,
  input: { readonly disposition: Exclude<Disposition, 'accept_as_is'>; readonly why: string },
): Promise<{ findingId: string }> {
  if (input.disposition !== 'rework' && !act.by.roles.includes('prosthetist')) {
    throw new Refused([reason('prosthetist-decides', { attempt: input.disposition })]);
  }
  const { finding, socket } = await loadOpenFinding(act, findingId);
  await close(act, finding, socket, input.disposition, input.why, null);
  switch (input.disposition) {
    case 'rework':
      await releaseOperation(act, socket, finding.operation, 'again');
      break;
    case 'remake':
      await endSocket(act, socket, 'rejected', input.why);
      break;
    case 'scrap':
      await endSocket(act, socket, 'scrapped', input.why);
  }
  return { findingId };
}

/** A prosthetist accepts the finding as it is, by signature and with a reason. */
export async function acceptFinding(
  act: Act,
  findingId: string,
  why: string,
  signer: Signer,
): Promise<{ findingId: string; signatureId: string }> {
  const { finding, socket } = await loadOpenFinding(act, findingId);
  const photos = await shaOfPhotos(act, findingId);
  const signature = await sign(act, {
    signer,
    meaning: 'finding_accepted_as_is',
    subjectKind: 'finding',
    subjectId: findingId,
    orderId: socket.orderId,
    content: {
      socket: socket.number,
      kind: finding.kind,
      note: finding.note,
      batchId: finding.batchId,
      why,
      ...(photos.length === 0 ? {} : { photos }),
    },
  });
  await close(act, finding, socket, 'accept_as_is', why, signature.id);
  await releaseOperation(act, socket, finding.operation, 'as_it_is');
  return { findingId, signatureId: signature.id };
}

interface FoundAt {
  readonly id: string;
  readonly title: string;
  readonly kind: string;
  readonly state: string;
}

/**
 * What becomes of the operation that a finding stopped, once the finding is closed: it
 * stays stopped while another is open on it. Accepted as it is, it is done where it was
 * itself recorded and the facts still bear it out; a cup that may be poured is still to
 * be poured. Else it is done, or done again: an earlier attempt stays on record.
 */
async function releaseOperation(
  act: Act,
  socket: SocketFacts,
  operation: FoundAt | null,
  how: 'again' | 'as_it_is',
): Promise<void> {
  if (operation?.state !== 'stopped') return;
  const others = await act.tx.finding.count({
    where: { clinicId: act.clinicId, operationId: operation.id, disposition: null },
  });
  if (others > 0) return;
  const kind = OPERATION_KIND_NAMES.find((name) => name === operation.kind);
  const done =
    how === 'as_it_is' && kind !== undefined && (await attemptStands(act, socket, operation, kind));
  const state = done ? 'done' : 'waiting';
  await setState(act, { ...operation, state: 'stopped' }, state);
  noteState(act, socket, operation, state);
  if (done) await applyEffect(act, socket, kind);
}

/** Notes what a finding made of an operation, which has no record of its own. */
function noteState(
  act: Act,
  socket: Pick<SocketFacts, 'number' | 'orderId'>,
  operation: { readonly id: string; readonly title: string; readonly state: string },
  after: OperationState,
): void {
  act.record({
    kind: after === 'stopped' ? 'operation.held_up' : 'operation.released',
    subjectKind: 'operation',
    subjectId: operation.id,
    orderId: socket.orderId,
    data: { socket: socket.number, operation: operation.title, before: operation.state, after },
  });
}

/** Whether the newest attempt was recorded, not given up for rework since, and is still borne out. */
async function attemptStands(
  act: Act,
  socket: SocketFacts,
  operation: FoundAt,
  kind: OperationKind,
): Promise<boolean> {
  const { tx, clinicId } = act;
  const attempt = await tx.operationRecord.findFirst({
    where: { clinicId, operationId: operation.id },
    orderBy: { attempt: 'desc' },
  });
  if (attempt?.outcome !== 'stopped') return false;
  // Ids are in the order of recording: these were opened by the attempt or after it.
  const reworked = await tx.finding.count({
    where: {
      clinicId,
      operationId: operation.id,
      disposition: 'rework',
      id: { gt: attempt.id },
    },
  });
  if (reworked > 0) return false;
  if (kind === 'lay_up') {
    const layup = await newestLayup(act, socket.id);
    if (layup !== null && layup.id > attempt.id) return false;
  }
  const missing = await missingFacts(act, socket, kind);
  const needs: readonly FactNeeded[] = OPERATION_KINDS[kind].needs;
  return needs.every((need) => need === USED_UP || missing[need] === undefined);
}

/** The attempt, which could not be recorded without it, has used it up. */
const USED_UP: FactNeeded = 'resin_weighed';

async function loadOpenFinding(act: Act, findingId: string) {
  const finding = found(
    await act.tx.finding.findUnique({
      where: { clinicId_id: { clinicId: act.clinicId, id: findingId } },
      include: { operation: true },
    }),
    () => reason('not-found', { what: 'finding', id: findingId }),
  );
  if (finding.disposition !== null) {
    throw new Refused([reason('finding-already-closed', { disposition: finding.disposition })]);
  }
  return { finding, socket: await loadSocket(act.tx, act.clinicId, finding.socketId, true) };
}

async function close(
  act: Act,
  finding: { readonly id: string; readonly kind: string },
  socket: SocketFacts,
  disposition: Disposition,
  why: string,
  signatureId: string | null,
): Promise<void> {
  const closed = await act.tx.finding.updateMany({
    where: { clinicId: act.clinicId, id: finding.id, disposition: null },
    data: {
      disposition,
      dispositionReason: why,
      disposedAt: act.at,
      disposedById: act.by.personId,
      signatureId,
    },
  });
  if (closed.count === 0) {
    throw new Refused([reason('finding-already-closed', { disposition: 'another disposition' })]);
  }
  act.record({
    kind: 'finding.closed',
    subjectKind: 'finding',
    subjectId: finding.id,
    orderId: socket.orderId,
    data: { socket: socket.number, kind: finding.kind, disposition, why, signatureId },
  });
}

/** The socket is given up; where it was the definitive one, the order is laminated again. */
async function endSocket(
  act: Act,
  socket: SocketFacts,
  state: 'rejected' | 'scrapped',
  why: string,
): Promise<void> {
  if (socket.state === 'delivered' || socket.state === 'retired') {
    throw new Refused([
      reason('socket-state-does-not-allow', {
        socket: socket.number,
        state: socket.state,
        attempt: 'be given up; open a remake on its order',
      }),
    ]);
  }
  // An earlier finding has given it up already; what was scrapped stays scrap.
  if (socket.state === 'scrapped' || socket.state === state) return;
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
  if (socket.kind === 'definitive' && socket.stage === 'delivery') {
    await changeStage(
      act,
      await loadOrder(act, socket.orderId),
      'another_definitive_wanted',
      `${socket.number} ${state}`,
    );
  }
}

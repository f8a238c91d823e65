/** Operations as they are done: judged, kept, and what they change. */
import { v7 as uuidv7 } from 'uuid';
import { questionCast } from '../../domain/limbVolume.ts';
import { earlierOpen, judgeOperation, OPERATION_KINDS } from '../../domain/operations.ts';
import { reason, type Reason } from '../../domain/reasons/index.ts';
import { mayWork } from '../../domain/stages.ts';
import type { OperationState, SocketKind, Stage } from '../../domain/words.ts';
import type { Act } from '../../store/act.ts';
import { writeBatchUses } from '../../store/batches.ts';
import {
  loadOperations,
  lockSocketOf,
  writeRecord,
  type OperationRow,
} from '../../store/operations.ts';
import { found, orRefuse, Refused, refuseIfAny } from '../../store/refused.ts';
import { batchesWeighed } from '../../store/resin.ts';
import { loadSocket, orderStageOf, type SocketFacts } from '../../store/sockets.ts';
import { openFinding } from '../findings/open.ts';
import {
  keepPhotosOfRecord,
  photosInEvent,
  withPictureIds,
  type AnswerSent,
} from '../photos/service.ts';
import { applyEffect } from './effects.ts';
import { missingFacts } from './facts.ts';
import { stopsOfCure } from './lamination.ts';
import { judgeNamed } from './named.ts';
import { refuseIfRecordedSince } from './since.ts';

const STAGES_FOR: Record<SocketKind, readonly Stage[]> = {
  check: ['check_fitting'],
  definitive: ['lamination', 'delivery'],
};

/** Stops by a figure; any other is a no. */
const OUT_OF_LIMITS: readonly string[] = ['check-out-of-limits', 'cured-too-short'];

export interface RecordOperationInput {
  readonly answers: Readonly<Record<string, AnswerSent>>;
  readonly minutes?: number | undefined;
  /** What was on record for whoever recorded it. */
  readonly basedOn?: { readonly attempts: number } | undefined;
}

export interface RecordedOperation {
  readonly recordId: string;
  readonly outcome: 'done' | 'stopped';
  readonly because: readonly Reason[];
  readonly findingId: string | null;
  readonly next: { readonly id: string; readonly title: string } | null;
}

/**
 * Records one attempt at an operation. In order, with every check answered and
 * the facts on record; a no or a value outside its limits is kept, stops the
 * operation and opens a finding.
 */
export async function recordOperation(
  act: Act,
  operationId: string,
  input: RecordOperationInput,
): Promise<RecordedOperation> {
  const { tx, clinicId } = act;
  const { answers, photos } = withPictureIds(input.answers);
  const socketId = found(await lockSocketOf(tx, clinicId, operationId), () =>
    reason('not-found', { what: 'operation', id: operationId }),
  );
  const socket = await loadSocket(tx, clinicId, socketId);
  refuseUnlessInWork(socket);
  const operations = await loadOperations(tx, clinicId, socket.id);
  const operation = found(
    operations.find((row) => row.id === operationId),
    () => reason('not-found', { what: 'operation', id: operationId }),
  );
  await refuseIfRecordedSince(act, socket.id, operation, input.basedOn?.attempts);
  const outcome = orRefuse(
    judgeOperation(
      {
        title: operation.title,
        orderNumber: socket.orderNumber,
        kind: operation.kind,
        state: operation.state,
        checks: operation.checks,
        earlierOpen: earlierOpen(operations, operation.seq),
        missingFacts: await missingFacts(act, socket, operation.kind, input.minutes),
        stops: await stopsOfCure(act, socket.id, operations, operation, answers),
      },
      answers,
      act.by.personId,
    ),
  );
  // What the cups were weighed from is drawn already; a route that asks for it still may.
  const drawn: ReadonlySet<string> =
    operation.kind === 'laminate' ? await batchesWeighed(act, socket.id) : new Set();
  const uses = await judgeNamed(act, socket.id, operation, answers, drawn);

  const recordId = uuidv7();
  const written = await writeRecord(act, operation, {
    id: recordId,
    outcome: outcome.outcome,
    results: answers,
    minutes: input.minutes ?? null,
    secondPersonId: uses.secondPersonId,
  });
  if (!written) {
    throw new Refused([reason('operation-already-done', { operation: operation.title })]);
  }
  await keepPhotosOfRecord(act, recordId, photos);
  await writeBatchUses(act, socket.id, { operationRecordId: recordId }, uses.batches);
  act.record({
    kind: `operation.${outcome.outcome}`,
    subjectKind: 'operation',
    subjectId: operationId,
    orderId: socket.orderId,
    data: {
      socket: socket.number,
      operation: operation.title,
      attempt: operation.attempts + 1,
      recordId,
      before: operation.state,
      after: outcome.outcome,
      ...photosInEvent([...photos.values()].flat()),
    },
  });
  const findingId =
    outcome.outcome === 'stopped'
      ? await openFinding(act, socket, {
          kind: outcome.because.some((why) => OUT_OF_LIMITS.includes(why.code))
            ? 'out_of_limits'
            : 'other',
          note: outcome.because.map((why) => why.detail).join(' '),
          operationId,
        })
      : null;
  if (outcome.outcome === 'done') await applyEffect(act, socket, operation.kind);
  const next = operations.find((row) => row.seq > operation.seq && row.state === 'waiting');
  return {
    recordId,
    outcome: outcome.outcome,
    because: outcome.because,
    findingId,
    next:
      outcome.outcome === 'done' && next !== undefined ? { id: next.id, title: next.title } : null,
  };
}

/** A prosthetist leaves an operation out, with the reason; never one whose effect a rule asks for. */
export async function leaveOutOperation(
  act: Act,
  operationId: string,
  why: string,
): Promise<{ operationId: string }> {
  const { tx, clinicId } = act;
  const row = found(
    await tx.operation.findUnique({ where: { clinicId_id: { clinicId, id: operationId } } }),
    () => reason('not-found', { what: 'operation', id: operationId }),
  );
  const socket = await loadSocket(tx, clinicId, row.socketId, true);
  refuseUnlessInWork(socket);
  const operation = found(
    (await loadOperations(tx, clinicId, socket.id)).find((each) => each.id === operationId),
    () => reason('not-found', { what: 'operation', id: operationId }),
  );
  if (operation.state !== 'waiting') {
    throw new Refused([
      operation.state === 'stopped'
        ? reason('operation-stopped', { operation: operation.title })
        : reason('operation-already-done', { operation: operation.title }),
    ]);
  }
  const { effect, needs } = OPERATION_KINDS[operation.kind];
  if (operation.kind !== 'break_out_model' && (effect !== null || needs.length > 0)) {
    throw new Refused([reason('operation-is-needed', { operation: operation.title })]);
  }
  await setState(act, operation, 'left_out');
  act.record({
    kind: 'operation.left_out',
    subjectKind: 'operation',
    subjectId: operationId,
    orderId: socket.orderId,
    data: {
      socket: socket.number,
      operation: operation.title,
      before: operation.state,
      after: 'left_out',
      why,
    },
  });
  return { operationId };
}

/** Sets an operation's state; another request that did so first wins. */
export async function setState(
  act: Act,
  operation: Pick<OperationRow, 'id' | 'title' | 'state'>,
  state: OperationState,
): Promise<void> {
  const changed = await act.tx.operation.updateMany({
    where: { clinicId: act.clinicId, id: operation.id, state: operation.state },
    data: { state },
  });
  if (changed.count === 0) {
    throw new Refused([reason('operation-already-done', { operation: operation.title })]);
  }
}

/** Ends the act where a socket is not on the bench: by its order's stage, its own state, or because a new cast was decided. */
export function refuseUnlessInWork(socket: SocketFacts): void {
  orRefuse(mayWork(orderStageOf(socket), STAGES_FOR[socket.kind], `work on ${socket.number}`));
  if (socket.state !== 'in_work') {
    throw new Refused([
      reason('socket-state-does-not-allow', {
        socket: socket.number,
        state: socket.state,
        attempt: 'be worked on',
      }),
    ]);
  }
  refuseIfAny(questionCast(socket.number, socket.castNumber, socket.newCastDecidedAfter));
}

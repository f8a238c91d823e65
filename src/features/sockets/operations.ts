/** Operations as they are done: judged, kept, and what they change. */
import { v7 as uuidv7 } from 'uuid';
import { ALIGNMENT_POSITIONS } from '../../domain/alignment.ts';
import { judgeLock, missingHardware, moveIdsAt } from '../../domain/assembly.ts';
import { judgeBatchUse } from '../../domain/batches.ts';
import { laminationBegan, resinLacking } from '../../domain/cups.ts';
import { coversLastMoves } from '../../domain/lastMoves.ts';
import { questionCast } from '../../domain/limbVolume.ts';
import {
  earlierOpen,
  judgeOperation,
  OPERATION_KINDS,
  type Answers,
  type FactNeeded,
  type OperationKind,
} from '../../domain/operations.ts';
import { reason, type Reason } from '../../domain/reasons/index.ts';
import { mayWork } from '../../domain/stages.ts';
import type { OperationState, SocketKind, Stage } from '../../domain/words.ts';
import { workedAt, type Act } from '../../store/act.ts';
import { shopToolsIn } from '../../store/assembly.ts';
import { loadBatches, writeBatchUses } from '../../store/batches.ts';
import { todayAtClinic } from '../../store/clinic.ts';
import {
  loadOperations,
  lockSocketOf,
  writeRecord,
  type OperationRow,
} from '../../store/operations.ts';
import { loadOrder } from '../../store/orders.ts';
import { found, orRefuse, Refused, refuseIfAny } from '../../store/refused.ts';
import { batchesWeighed, cupsOf } from '../../store/resin.ts';
import { loadAssembly, newestAlignment } from '../../store/socketFacts.ts';
import { loadSocket, orderStageOf, type SocketFacts } from '../../store/sockets.ts';
import { openFinding } from '../findings/open.ts';
import { layupLacking } from '../layup/standing.ts';
import { changeStage } from '../orders/stage.ts';
import {
  keepPhotosOfRecord,
  photosInEvent,
  withPictureIds,
  type AnswerSent,
} from '../photos/service.ts';
import { notOfLayup, stopsOfCure } from './lamination.ts';
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

/** What saying done, or accepting as is, changes: cured, inspected, model broken out (R6). */
export async function applyEffect(
  act: Act,
  socket: SocketFacts,
  kind: OperationKind,
): Promise<void> {
  const { tx, clinicId } = act;
  const where = { clinicId_id: { clinicId, id: socket.id } };
  const { effect } = OPERATION_KINDS[kind];
  if (effect === null) return;
  noteEffect(act, socket, effect);
  switch (effect) {
    case 'cured':
      await tx.socket.update({
        where,
        data: { curedAt: workedAt(act), version: { increment: 1 } },
      });
      return;
    case 'chamber_inspected': {
      await tx.socket.update({
        where,
        data: { chamberInspectedAt: workedAt(act), version: { increment: 1 } },
      });
      const order = await loadOrder(act, socket.orderId);
      if (order.stage === 'lamination') {
        await changeStage(act, order, 'lamination_inspected', `${socket.number} inspected`);
      }
      return;
    }
    case 'model_broken_out':
      await tx.cast.update({
        where: { clinicId_id: { clinicId, id: socket.castId } },
        data: { modelBrokenOutAt: workedAt(act) },
      });
  }
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

/** Notes what became so, with the time at which it had become so before. */
function noteEffect(
  act: Act,
  socket: SocketFacts,
  effect: Exclude<(typeof OPERATION_KINDS)[OperationKind]['effect'], null>,
): void {
  const told = {
    cured: ['socket.cured', 'socket', socket.id, 'curedAt'],
    chamber_inspected: ['socket.chamber_inspected', 'socket', socket.id, 'chamberInspectedAt'],
    model_broken_out: ['cast.model_broken_out', 'cast', socket.castId, 'modelBrokenOutAt'],
  } as const;
  const [eventKind, subjectKind, subjectId, field] = told[effect];
  act.record({
    kind: eventKind,
    subjectKind,
    subjectId,
    orderId: socket.orderId,
    data: {
      socket: socket.number,
      before: { [field]: socket[field]?.toISOString() ?? null },
      after: { [field]: act.at.toISOString() },
    },
  });
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

/** Facts that are read off the hardware in the socket. */
const HARDWARE_FACTS: readonly FactNeeded[] = [
  'hardware_in',
  'joints_confirmed',
  'lock_checked',
  'alignment_measured',
];

/**
 * For each fact that this kind of operation asks of the record, what is missing.
 * @param minutes of bench time up to now
 */
export async function missingFacts(
  act: Act,
  socket: SocketFacts,
  kind: OperationKind,
  minutes = 0,
): Promise<Partial<Record<FactNeeded, string>>> {
  const { tx, clinicId } = act;
  const needs: readonly FactNeeded[] = OPERATION_KINDS[kind].needs;
  if (needs.length === 0) return {};
  const missing: Partial<Record<FactNeeded, string>> = {};
  if (needs.includes('dummy_in') || needs.includes('dummy_out')) {
    const dummy = (await shopToolsIn(tx, clinicId, socket.id)).find(
      (tool) => tool.position === 'dummy',
    );
    if (dummy === undefined) missing.dummy_in = 'no dummy is recorded as mounted in the socket';
    else missing.dummy_out = `${dummy.name} is still in the socket`;
  }
  if (needs.includes('model_not_needed')) {
    const waiting = await socketsWaitingForModel(act, socket);
    if (waiting.length > 0) {
      throw new Refused([
        reason('model-still-needed', { cast: socket.castNumber, sockets: waiting }),
      ]);
    }
  }
  if (needs.includes('layup_approved')) {
    const lacking = await layupLacking(act, socket);
    if (lacking !== null) missing.layup_approved = lacking;
  }
  if (needs.includes('resin_weighed')) {
    // What is recorded when it is over was poured when it began.
    const began = laminationBegan(workedAt(act), minutes);
    const lacking = resinLacking(await cupsOf(act, socket.id, began));
    if (lacking !== null) missing.resin_weighed = lacking;
  }
  if (!needs.some((need) => HARDWARE_FACTS.includes(need))) return missing;
  const { held, joints, evidence } = await loadAssembly(tx, clinicId, socket.id);
  const words = (reasons: readonly Reason[]): string => reasons.map((r) => r.detail).join(' ');
  const lacking = missingHardware(socket.number, socket.suspension, held);
  if (lacking.length > 0) missing.hardware_in = words(lacking);
  const open = joints.filter((joint) => joint.openBecause !== null);
  if (joints.length === 0) missing.joints_confirmed = 'the socket holds no joint yet';
  else if (open.length > 0) {
    missing.joints_confirmed = open
      .map((joint) => `joint ${joint.kind}: ${joint.openBecause ?? ''}`)
      .join('; ');
  }
  const lock = judgeLock({
    socket: socket.number,
    suspension: socket.suspension,
    held,
    newest: evidence.lockCheck,
  });
  if (lock.length > 0) missing.lock_checked = words(lock);
  if (needs.includes('alignment_measured')) {
    const measured = await newestAlignment(tx, clinicId, socket.id);
    const now = moveIdsAt(held, ALIGNMENT_POSITIONS);
    if (measured === null || !coversLastMoves(measured.coversMoveIds, now)) {
      missing.alignment_measured = 'no alignment is recorded with the hardware as it now sits';
    }
  }
  return missing;
}

/** Sockets that still have to be formed over the model of this socket's cast (R6). */
async function socketsWaitingForModel(act: Act, socket: SocketFacts): Promise<string[]> {
  const others = await act.tx.socket.findMany({
    where: {
      clinicId: act.clinicId,
      castId: socket.castId,
      state: 'in_work',
      id: { not: socket.id },
      operationSocket: { some: { kind: { in: ['thermoform', 'cure'] }, state: { not: 'done' } } },
    },
    select: { number: true },
  });
  const waiting = others.map((other) => other.number);
  // While the check socket is being tried the order has yet to be laminated over this model.
  if (socket.stage === 'check_fitting') waiting.push('the definitive socket to come');
  return waiting;
}

interface NamedInAnswers {
  readonly batches: readonly { batchId: string; amount: number | null }[];
  readonly secondPersonId: string | null;
}

/**
 * The batches and the second person named in the answers: each must exist here and be usable today.
 * @param drawn batches whose amounts are on record already
 */
async function judgeNamed(
  act: Act,
  socketId: string,
  { kind, checks }: Pick<OperationRow, 'kind' | 'checks'>,
  answers: Answers,
  drawn: ReadonlySet<string>,
): Promise<NamedInAnswers> {
  const { tx, clinicId } = act;
  const named = checks.flatMap((check) => {
    const answer = answers[check.key];
    return check.kind === 'batch' && typeof answer === 'object' && 'batchId' in answer
      ? [
          {
            check,
            batchId: answer.batchId,
            amount: drawn.has(answer.batchId) ? null : (answer.amount ?? null),
          },
        ]
      : [];
  });
  const reasons: Reason[] = [];
  if (named.length > 0) {
    const on = await todayAtClinic(act);
    const ids = named.map((use) => use.batchId);
    const batches = await loadBatches(tx, clinicId, ids, true);
    for (const { check, batchId, amount } of named) {
      const field = `/answers/${check.key}`;
      const batch = batches.find((row) => row.id === batchId);
      reasons.push(
        ...(batch === undefined
          ? [reason('not-found', { what: 'batch', id: batchId }, field)]
          : judgeBatchUse(batch, { kind: check.batchKind, amount, on }, field)),
      );
    }
    if (kind === 'lay_up') {
      const found = named.flatMap(({ check, batchId }) =>
        batches.filter(({ id }) => id === batchId).map((batch) => ({ check, batch })),
      );
      reasons.push(...(await notOfLayup(act, socketId, found)));
    }
  }
  let secondPersonId: string | null = null;
  for (const check of checks) {
    const answer = answers[check.key];
    if (check.kind !== 'second_person' || typeof answer !== 'object' || !('personId' in answer)) {
      continue;
    }
    secondPersonId = answer.personId;
    const person = await tx.person.findUnique({
      where: { clinicId_id: { clinicId, id: answer.personId } },
    });
    if (!person?.active) {
      reasons.push(
        reason('not-found', { what: 'person', id: answer.personId }, `/answers/${check.key}`),
      );
    }
  }
  refuseIfAny(reasons);
  return { batches: named.filter(({ batchId }) => !drawn.has(batchId)), secondPersonId };
}

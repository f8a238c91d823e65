/** Torque confirmations and lock checks: judged by the domain, kept whatever they say. */
import { v7 as uuidv7 } from 'uuid';
import {
  leastClicksOf,
  LOCK_POSITIONS,
  moveIdsAt,
  missingHardware,
} from '../../domain/assembly.ts';
import { judgeUntouched } from '../../domain/benchTime.ts';
import {
  judgeLockCheck,
  LOCK_CHECK_CYCLES_LEAST,
  type LockCheckCycle,
} from '../../domain/lockCheck.ts';
import { reason, type Reason } from '../../domain/reasons/index.ts';
import { mayWork } from '../../domain/stages.ts';
import {
  judgeTorqueConfirmation,
  type JudgedTorqueReading,
  type TorqueReading,
} from '../../domain/torque.ts';
import type { TorqueBand } from '../../domain/torqueTools.ts';
import type { JointKind } from '../../domain/words.ts';
import type { Act } from '../../store/act.ts';
import { loadBatches, writeBatchUses } from '../../store/batches.ts';
import {
  daysOfWork,
  instantAtClinic,
  movesKnown,
  touchesOf,
  type BasedOn,
  type EvidenceKind,
} from '../../store/benchTime.ts';
import { found, orRefuse, Refused, refuseIfAny } from '../../store/refused.ts';
import { loadAssembly } from '../../store/socketFacts.ts';
import { loadSocket, orderStageOf, type SocketFacts } from '../../store/sockets.ts';
import { jointOf, loadTorqueTool, writeConfirmation } from '../../store/torque.ts';
import { openVisitOf } from '../../store/visits.ts';

export interface ConfirmTorqueInput {
  readonly basedOn?: BasedOn | undefined;
  readonly toolId: string;
  readonly threadlockerBatchId?: string | undefined;
  readonly readings: readonly TorqueReading[];
}

export interface ConfirmedTorque {
  readonly confirmationId: string;
  readonly confirms: boolean;
  readonly because: readonly Reason[];
  readonly acceptedBandNm: TorqueBand;
  readonly readings: readonly JudgedTorqueReading[];
}

/**
 * Records the readings of one joint (R4). An unfit tool or threadlocker is
 * refused; readings out of band are kept and do not confirm.
 */
export async function confirmTorque(
  act: Act,
  socketId: string,
  kind: JointKind,
  input: ConfirmTorqueInput,
): Promise<ConfirmedTorque> {
  const { tx, clinicId } = act;
  const socket = await loadSocket(tx, clinicId, socketId, true);
  await refuseUnlessAtBench(act, socket, `torque ${socket.number}`);
  const { joints } = await loadAssembly(tx, clinicId, socketId);
  const joint = found(
    joints.find((each) => each.kind === kind),
    () => reason('hardware-missing', { socket: socket.number, position: kind }),
  );
  if (joint.setting === null) {
    throw new Refused([
      reason('joint-without-setting', {
        socket: socket.number,
        joint: kind,
        part: joint.items.map((item) => item.part.name).join(', '),
      }),
    ]);
  }
  const known = await refuseUnlessUntouched(act, socketId, kind, input.basedOn);
  const [batch] =
    input.threadlockerBatchId === undefined
      ? []
      : await loadBatches(tx, clinicId, [input.threadlockerBatchId]);
  if (input.threadlockerBatchId !== undefined && batch === undefined) {
    throw new Refused([
      reason('not-found', { what: 'batch', id: input.threadlockerBatchId }, '/threadlockerBatchId'),
    ]);
  }
  const { setting } = joint;
  const byDay = [];
  for (const on of await daysOfWork(act)) {
    const inUse = await loadTorqueTool(tx, clinicId, input.toolId, on);
    const { tool, calibration, usesSinceCalibration } = inUse;
    const facts = { setting, tool, calibration, usesSinceCalibration, on };
    const verdict = judgeTorqueConfirmation(
      { ...facts, threadlocker: batch ?? null },
      input.readings,
    );
    byDay.push({ inUse, verdict });
  }
  // By the day of the work, and by nothing milder on that of arrival.
  refuseIfAny(distinct(byDay.flatMap(({ verdict }) => (verdict.ok ? [] : verdict.reasons))));
  const [{ inUse, verdict }] = byDay as [(typeof byDay)[number]];
  const judged = orRefuse(verdict);
  // judgeTorqueConfirmation refuses a tool without calibration; the type does not know.
  const calibration = found(inUse.calibration, () =>
    reason('not-found', { what: 'calibration of', id: inUse.tool.name }),
  );

  const confirmationId = uuidv7();
  await writeConfirmation(act, {
    id: confirmationId,
    jointId: await jointOf(tx, clinicId, socketId, kind),
    torqueSettingId: joint.setting.id,
    toolId: inUse.id,
    calibrationId: calibration.id,
    threadlockerBatchId: batch?.id ?? null,
    judged,
    coversMoveIds: joint.moveIds,
    basedOnMoveIds: known,
  });
  if (batch !== undefined) {
    const uses = [{ batchId: batch.id, amount: null }];
    await writeBatchUses(act, socketId, { torqueConfirmationId: confirmationId }, uses);
  }
  act.record({
    kind: judged.confirms ? 'torque.confirmed' : 'torque.recorded_without_confirming',
    subjectKind: 'torque_confirmation',
    subjectId: confirmationId,
    orderId: socket.orderId,
    data: {
      socket: socket.number,
      joint: kind,
      tool: inUse.tool.name,
      threadlockerLot: batch?.lot ?? null,
      readings: judged.readings.map((reading) => ({
        fastener: reading.fastener,
        pass: reading.pass,
        torqueNm: reading.torqueNm,
        inBand: reading.inBand,
      })),
    },
  });
  return {
    confirmationId,
    confirms: judged.confirms,
    because: judged.notConfirmedBecause,
    acceptedBandNm: judged.acceptedBandNm,
    readings: judged.readings,
  };
}

export interface CheckLockInput {
  readonly cycles: readonly LockCheckCycle[];
  readonly basedOn?: BasedOn | undefined;
}

/** Records a functional check of the lock (R7); a failed one is kept and does not count. */
export async function checkLock(
  act: Act,
  socketId: string,
  { cycles, basedOn }: CheckLockInput,
): Promise<{
  lockCheckId: string;
  passes: boolean;
  leastClicks: number;
  because: readonly Reason[];
}> {
  const { tx, clinicId } = act;
  const socket = await loadSocket(tx, clinicId, socketId, true);
  await refuseUnlessAtBench(act, socket, `check the lock of ${socket.number}`);
  const { held } = await loadAssembly(tx, clinicId, socketId);
  const lacking = missingHardware(socket.number, 'pin_lock', held).filter(
    (why) => why.facts['position'] === 'lock' || why.facts['position'] === 'pin',
  );
  if (lacking.length > 0) throw new Refused(lacking);
  const known = await refuseUnlessUntouched(act, socketId, 'lock_check', basedOn);
  const leastClicks = leastClicksOf(held);
  const judged = orRefuse(
    judgeLockCheck({ minClicks: leastClicks, cyclesRequired: LOCK_CHECK_CYCLES_LEAST }, cycles),
  );
  const lockCheckId = uuidv7();
  await tx.lockCheck.create({
    data: {
      clinicId,
      id: lockCheckId,
      socketId,
      cycles: cycles.map((cycle) => ({ ...cycle })),
      leastClicks,
      passes: judged.passes,
      because: judged.because.map((why) => ({ code: why.code, detail: why.detail })),
      coversMoveIds: [...moveIdsAt(held, LOCK_POSITIONS)],
      basedOnMoveIds: [...known],
      benchAt: act.benchAt,
      recordedAt: act.at,
      recordedById: act.by.personId,
    },
  });
  act.record({
    kind: judged.passes ? 'lock.checked' : 'lock.failed_check',
    subjectKind: 'lock_check',
    subjectId: lockCheckId,
    orderId: socket.orderId,
    data: {
      socket: socket.number,
      leastClicks,
      passes: judged.passes,
      clicks: cycles.map((cycle) => cycle.clicks),
    },
  });
  return { lockCheckId, passes: judged.passes, leastClicks, because: judged.because };
}

/**
 * Evidence that was taken earlier than it arrives: nothing else may have touched its
 * positions since. That a newer one is on record the database says.
 * @returns the moves it was made upon
 */
async function refuseUnlessUntouched(
  act: Act,
  socketId: string,
  kind: EvidenceKind,
  basedOn: BasedOn | undefined,
): Promise<readonly string[]> {
  if (act.benchAt === null) return [];
  const known = await movesKnown(act, basedOn);
  const touches = await touchesOf(act, socketId, kind);
  const recordedAt = await instantAtClinic(act, act.benchAt);
  refuseIfAny(judgeUntouched(touches, new Set(known), recordedAt));
  return known;
}

const distinct = (reasons: readonly Reason[]): Reason[] =>
  reasons.filter((why, at) => reasons.findIndex(({ detail }) => detail === why.detail) === at);

/** Bench work on hardware: on a socket in work or accepted, or on a worn one in a service visit. */
async function refuseUnlessAtBench(act: Act, socket: SocketFacts, attempt: string): Promise<void> {
  if (socket.state === 'delivered') {
    if ((await openVisitOf(act.tx, act.clinicId, socket.id)) === null) {
      throw new Refused([reason('worn-moves-in-service-only', { socket: socket.number })]);
    }
    return;
  }
  orRefuse(mayWork(orderStageOf(socket), ['check_fitting', 'lamination', 'delivery'], attempt));
  if (socket.state !== 'in_work' && socket.state !== 'accepted') {
    throw new Refused([
      reason('socket-state-does-not-allow', {
        socket: socket.number,
        state: socket.state,
        attempt: 'be worked on',
      }),
    ]);
  }
}

/** Facts that an operation asks of the record before it may be said to be done. */
import { ALIGNMENT_POSITIONS } from '../../domain/alignment.ts';
import { judgeLock, missingHardware, moveIdsAt } from '../../domain/assembly.ts';
import { laminationBegan, resinLacking } from '../../domain/cups.ts';
import { coversLastMoves } from '../../domain/lastMoves.ts';
import { OPERATION_KINDS, type FactNeeded, type OperationKind } from '../../domain/operations.ts';
import { reason, type Reason } from '../../domain/reasons/index.ts';
import { workedAt, type Act } from '../../store/act.ts';
import { shopToolsIn } from '../../store/assembly.ts';
import { Refused } from '../../store/refused.ts';
import { cupsOf } from '../../store/resin.ts';
import { loadAssembly, newestAlignment } from '../../store/socketFacts.ts';
import type { SocketFacts } from '../../store/sockets.ts';
import { layupLacking } from '../layup/standing.ts';

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

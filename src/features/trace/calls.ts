/** A call to somebody who wears what is recalled: who called, when, and how it ended. */
import { reason } from '../../domain/reasons/index.ts';
import { stationOfSocket } from '../../domain/recall.ts';
import type { Act } from '../../store/act.ts';
import { isWearerOf } from '../../store/recall.ts';
import { writeCall, type RecalledThing } from '../../store/recallCalls.ts';
import { found, Refused } from '../../store/refused.ts';
import { loadSocket } from '../../store/sockets.ts';
import type { CallNoted, CallToNote } from './schemas.ts';

/**
 * Notes a call. Every call is a record; who was not reached is called again.
 * @throws Refused 'not-found', 'recall-not-a-wearer'
 */
export async function noteCall(
  act: Act,
  { lot, batchId, socketId, outcome, note }: CallToNote,
): Promise<CallNoted> {
  const socket = found(await loadSocket(act.tx, act.clinicId, socketId), () =>
    reason('not-found', { what: 'socket', id: socketId }, '/socketId'),
  );
  const of: RecalledThing = lot === undefined ? { batchId: batchId ?? '' } : { lot };
  if (stationOfSocket(socket.state) !== 'worn' || !(await isWearerOf(act, of, socketId))) {
    throw new Refused([reason('recall-not-a-wearer', { socket: socket.number }, '/socketId')]);
  }
  const callId = await writeCall(act, of, { socketId, outcome, note: note ?? null });
  act.record({
    kind: 'recall.called',
    subjectKind: 'socket',
    subjectId: socketId,
    orderId: socket.orderId,
    data: {
      callId,
      socket: socket.number,
      ...of,
      outcome,
      note: note ?? null,
    },
  });
  return {
    call: {
      id: callId,
      outcome,
      note: note ?? null,
      calledAt: act.at,
      calledBy: act.by.printedName,
    },
  };
}

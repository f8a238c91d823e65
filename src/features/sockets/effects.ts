/** What an operation changes beside itself when it is done. */
import { OPERATION_KINDS, type OperationKind } from '../../domain/operations.ts';
import { workedAt, type Act } from '../../store/act.ts';
import { loadOrder } from '../../store/orders.ts';
import type { SocketFacts } from '../../store/sockets.ts';
import { changeStage } from '../orders/stage.ts';

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
      after: { [field]: workedAt(act).toISOString() },
    },
  });
}

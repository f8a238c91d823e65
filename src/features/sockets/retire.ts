import type { Act } from '../../store/act.ts';

/** R9: a socket whose hardware moved on is used no more. */
export async function retireSocket(
  act: Act,
  socket: {
    readonly id: string;
    readonly number: string;
    readonly state: string;
    readonly orderId: string;
  },
): Promise<void> {
  await act.tx.socket.update({
    where: { clinicId_id: { clinicId: act.clinicId, id: socket.id } },
    data: { state: 'retired', retiredAt: act.at, version: { increment: 1 } },
  });
  act.record({
    kind: 'socket.retired',
    subjectKind: 'socket',
    subjectId: socket.id,
    orderId: socket.orderId,
    data: {
      number: socket.number,
      before: socket.state,
      after: 'retired',
      why: 'its hardware moved on',
    },
  });
}

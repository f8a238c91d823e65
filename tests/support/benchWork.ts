/** What the people of a load do: each worker never ends, and goes on from every answer. */
import type { Answer, Worker } from './benchLoad.ts';
import {
  goodAnswers,
  goodCycles,
  inBin,
  MEASURES,
  onBench,
  type Shop,
  type SocketBody,
} from './job.ts';
import { moveTask, orderTask, torqueTask } from './tasks.ts';

/** Front desk: one order after the other. */
export function* opensOrders(patientId: string): Worker {
  for (;;) yield orderTask(patientId);
}

/** Orders from the desk to the third operation of their check socket. */
export function* makesCheckSockets(shop: Shop, patientId: string, today: string): Worker {
  for (;;) {
    const order = yield orderTask(patientId);
    const cast = yield {
      who: 'prosthetist',
      url: `/api/v1/orders/${idOf(order)}/casts`,
      body: { method: 'plaster', takenOn: today, limbLengthMm: 165, measures: MEASURES },
      event: 'cast.taken',
    };
    yield { who: 'prosthetist', url: `/api/v1/casts/${idOf(cast)}/accept`, event: 'cast.accepted' };
    const made = yield {
      who: 'technician',
      url: `/api/v1/orders/${idOf(order)}/sockets`,
      body: { kind: 'check', sheetThicknessMm: 12 },
      event: 'socket.started',
    };
    const socket = made.body as unknown as SocketBody;
    for (const operation of socket.operations.slice(0, 3)) {
      yield {
        who: 'technician',
        url: `/api/v1/operations/${operation.id}/records`,
        body: { answers: goodAnswers(shop, operation) },
        event: 'operation.done',
      };
    }
  }
}

/** One item out onto the bench and back into its drawer. */
export function* carriesToAndFro(shop: Shop, itemId: string): Worker {
  for (;;) {
    yield moveTask(itemId, inBin(shop), onBench, 'issued');
    yield moveTask(itemId, onBench, inBin(shop), 'returned_to_bin');
  }
}

/** As `carriesToAndFro`, with somebody else at the same item: who is refused looks at the other place. */
export function* contendsFor(shop: Shop, itemId: string): Worker {
  for (;;) {
    const taken = yield moveTask(itemId, inBin(shop), onBench, 'issued');
    if (taken.status < 300) continue;
    yield moveTask(itemId, onBench, inBin(shop), 'returned_to_bin');
  }
}

export function* torques(shop: Shop, socketId: string): Worker {
  for (;;) yield torqueTask(shop, socketId);
}

export function* checksLocks(socketId: string): Worker {
  for (;;) {
    yield {
      who: 'technician',
      url: `/api/v1/sockets/${socketId}/lock-checks`,
      body: { cycles: goodCycles },
      event: 'lock.checked',
    };
  }
}

function idOf({ status, body }: Answer): string {
  if (status >= 300) throw new Error(`refused: ${JSON.stringify(body)}`);
  return String(body['id']);
}

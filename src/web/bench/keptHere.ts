/** A socket with what waits on this phone: the next thing to do, and what is not asked twice. */
import type { KeptAct, Queue } from '../offline/queue.ts';
import type { Operation, Position, Socket } from './record.ts';

export const operationSubject = (operationId: string): string => `operation:${operationId}`;
export const cupSubject = (socketId: string, pour: number): string =>
  `cup:${socketId}:${String(pour)}`;
export const moveSubject = (thingId: string): string => `move:${thingId}`;

/** The act of a subject that waits or needs the person; not one that is being done again. */
export const keptFor = (acts: Queue, subject: string): KeptAct | undefined =>
  acts.find((act) => act.subject === subject && act.state.kind !== 'again');

const isDoneHere = (acts: Queue, { id }: Operation): boolean => {
  const kept = keptFor(acts, operationSubject(id));
  return kept?.state.kind === 'waiting' && !kept.stops;
};

/**
 * The socket with the operation to do next after those that are kept: they stay as the
 * record has them, for they are not yet on it.
 */
export function withKept(socket: Socket, acts: Queue): Socket {
  if (acts.length === 0) return socket;
  const next = socket.operations.find(
    (operation) =>
      (operation.state === 'waiting' || operation.state === 'stopped') &&
      !isDoneHere(acts, operation),
  );
  return { ...socket, nextOperationId: next?.id ?? null };
}

/** What a kept move puts into or takes out of a position; undefined where none concerns it. */
export function keptMoveAt(acts: Queue, socketId: string, position: Position): KeptAct | undefined {
  return acts.findLast(({ request, state }) => {
    if (request.path !== '/api/v1/moves' || state.kind === 'again') return false;
    const { from, to } = request.body as Record<'from' | 'to', PlaceAt>;
    return [from, to].some((at) => at.socketId === socketId && at.position === position);
  });
}

interface PlaceAt {
  readonly socketId?: string;
  readonly position?: string;
}

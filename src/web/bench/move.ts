/** One thing from one place to another, as the bench does it. */
import type { Schemas } from '../api.ts';
import { act, type Done } from '../offline/acts.ts';
import { words } from '../words/words.ts';
import { moveSubject } from './keptHere.ts';
import { place } from './place.ts';
import type { Socket } from './record.ts';

export type Move = Schemas['RecordMoveInput'];

/** @param label the thing in words */
export function recordMove(
  socket: Pick<Socket, 'id' | 'number'>,
  label: string,
  move: Move,
  key: string,
): Promise<Done<Schemas['MoveRecorded']>> {
  const { bench: say } = words.value;
  const thingId = 'itemId' in move.thing ? move.thing.itemId : move.thing.shopToolId;
  const into = move.to.kind === 'socket_position';
  return act(key, {
    path: '/api/v1/moves',
    params: {},
    body: (recordedAt) => ({ ...move, recordedAt }),
    said: `${into ? say.putIn : say.takeOut}: ${label}`,
    about: socket.number,
    subject: moveSubject(thingId),
    socketId: socket.id,
    concerns: [thingId],
    page: place.hardware(socket.id),
  });
}

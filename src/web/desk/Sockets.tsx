/** The sockets of an order, each with its state and what is to be done to it next. */
import { useQuery } from '@tanstack/preact-query';
import { answered, api } from '../api.ts';
import { Photos } from '../parts/photos.tsx';
import { words } from '../words/words.ts';
import type { Order } from './order.ts';

type Socket = Order['sockets'][number];

export function Sockets({ order }: { readonly order: Order }) {
  const { desk: say } = words.value;
  return (
    <>
      <h2>{say.sockets}</h2>
      {order.sockets.length === 0 ? (
        <p>{say.noSockets}</p>
      ) : (
        <table class="stacked">
          <thead>
            <tr>
              <th>{say.socket}</th>
              <th>{say.state}</th>
              <th>{say.next}</th>
            </tr>
          </thead>
          <tbody>
            {order.sockets.map((socket) => (
              <tr key={socket.id}>
                <td data-label={say.socket}>
                  {socket.number}, {say.kinds[socket.kind]}
                  <Photos socketId={socket.id} />
                </td>
                <td data-label={say.state}>{say.socketStates[socket.state]}</td>
                <td data-label={say.next}>
                  <Next socket={socket} />
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </>
  );
}

/** Only a socket in work or accepted has something before it. */
function Next({ socket: { id: socketId, state } }: { readonly socket: Socket }) {
  const atWork = state === 'in_work' || state === 'accepted';
  const { data } = useQuery({
    queryKey: ['socket', socketId],
    enabled: atWork,
    queryFn: () =>
      answered(api.GET('/api/v1/sockets/{socketId}', { params: { path: { socketId } } })),
  });
  if (!atWork) return <>–</>;
  if (data === undefined) return <>…</>;
  const next = data.operations.find(({ id }) => id === data.nextOperationId);
  return <>{next?.title ?? words.value.desk.nothingNext}</>;
}

/** What can be printed of an order: labels of models and sockets, move slips, the papers of a delivery. */
import { useQuery } from '@tanstack/preact-query';
import { answered, api, type Schemas } from '../api.ts';
import { may } from '../session/session.ts';
import { words } from '../words/words.ts';
import { Print } from './Print.tsx';
import { deliveryRecord, modelLabel, moveSlip, socketLabel, wearerSheet } from './printed.ts';

type Order = Schemas['Order'];
type Socket = Order['sockets'][number];

export function OrderPapers({ order }: { readonly order: Order }) {
  const { papers: say } = words.value;
  const { data: casts } = useQuery({
    queryKey: ['casts', order.id],
    queryFn: () =>
      answered(
        api.GET('/api/v1/orders/{orderId}/casts', { params: { path: { orderId: order.id } } }),
      ),
  });
  const models = (casts?.items ?? []).filter(({ state }) => state === 'accepted');
  return (
    <details class="papers">
      <summary>{say.title}</summary>
      {models.length === 0 && order.sockets.length === 0 && <p>{say.noPapers}</p>}
      <ul class="plain">
        {models.map(({ id, number }) => (
          <li key={id}>
            <Print what={say.modelLabel(number)} read={modelLabel(id)} />
          </li>
        ))}
        {order.sockets.map((socket) => (
          <li key={socket.id}>
            <Print what={say.socketLabel(socket.number)} read={socketLabel(socket.id)} />
            <Print what={say.moveSlip(socket.number)} read={moveSlip(socket.id)} />
          </li>
        ))}
      </ul>
      {order.sockets.map((socket) => (
        <DeliveryPapers key={socket.id} socket={socket} />
      ))}
    </details>
  );
}

/** The record and the wearer's sheet of a socket that was delivered, for those who may read them. */
export function DeliveryPapers({
  socket,
}: {
  readonly socket: Pick<Socket, 'id' | 'number' | 'state' | 'kind'>;
}) {
  const { papers: say } = words.value;
  // A delivered socket that was taken out of use later keeps its papers.
  const delivered =
    socket.kind === 'definitive' && (socket.state === 'delivered' || socket.state === 'retired');
  if (!delivered || !may('front_desk', 'prosthetist', 'auditor')) return null;
  return (
    <p class="acts">
      <Print what={say.deliveryRecord(socket.number)} read={deliveryRecord(socket.id)} />
      {may('front_desk', 'prosthetist') && (
        <Print what={say.wearerSheet(socket.number)} read={wearerSheet(socket.id)} />
      )}
    </p>
  );
}

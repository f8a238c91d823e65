/** Which socket it is, on every page of the bench: its number, and the side in a way that cannot be misread. */
import { SideMark } from '../desk/SideMark.tsx';
import { words } from '../words/words.ts';
import type { Socket } from './record.ts';

export function SocketHead({
  socket: { number, kind, chartNumber, order },
  numbered,
}: {
  readonly socket: Socket;
  /** The page's heading says something else than the socket's number. */
  readonly numbered: boolean;
}) {
  const { bench: say, suspensions } = words.value;
  return (
    <p class="socket-head">
      <SideMark side={order.side} />
      <span>
        {numbered && (
          <>
            <strong>{number}</strong>
            <br />
          </>
        )}
        {chartNumber} · {suspensions[order.suspension]}
        <br />
        {say.socketKinds[kind]}
      </span>
    </p>
  );
}

/** A page of the bench about one socket: its head, what is done there, and the way back to the next operation. */
import type { ComponentChildren } from 'preact';
import { Link } from 'wouter-preact';
import { openActsOf } from '../offline/acts.ts';
import { KeptHere } from '../offline/KeptHere.tsx';
import { Loading, Sheet, WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { place } from './place.ts';
import { useSocket, type Socket } from './record.ts';
import { useReadAhead } from './ahead.ts';
import { withKept } from './keptHere.ts';
import { SocketHead } from './SocketHead.tsx';

export function SocketPage({
  socketId,
  title,
  children,
}: {
  readonly socketId: string;
  /** What is done here; the next operation's page has the socket's number alone. */
  readonly title?: string;
  readonly children: (socket: Socket) => ComponentChildren;
}) {
  const { bench: say } = words.value;
  const { data: read, dataUpdatedAt, error, refetch } = useSocket(socketId);
  useReadAhead(read);
  const socket = read === undefined ? undefined : withKept(read, openActsOf(socketId));
  if (socket === undefined) {
    return (
      <Sheet title={title ?? say.socket}>
        <WentWrong failure={error} retry={() => void refetch()} />
        {error === null ? (
          <Loading />
        ) : (
          <Link class="way" href="/bench">
            {say.otherCode}
          </Link>
        )}
      </Sheet>
    );
  }
  return (
    <Sheet title={title ?? socket.number}>
      <div class="bench">
        <SocketHead socket={socket} numbered={title !== undefined} />
        <KeptHere socketId={socketId} readAtMs={dataUpdatedAt} />
        {children(socket)}
        {title !== undefined && (
          <Link class="way" href={place.socket(socketId)}>
            {say.backToOperation}
          </Link>
        )}
      </div>
    </Sheet>
  );
}

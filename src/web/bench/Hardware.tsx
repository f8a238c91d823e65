/** What sits in a socket, position by position: pieces are put in and taken out, and the dummy too. */
import { useState } from 'preact/hooks';
import { Link } from 'wouter-preact';
import { useReadAgain } from '../parts/act.ts';
import { openActsOf } from '../offline/acts.ts';
import { ActForm } from '../parts/form.tsx';
import { SelectField } from '../parts/selectField.tsx';
import { BinField } from '../papers/BinField.tsx';
import { Print } from '../papers/Print.tsx';
import { moveSlip, socketLabel } from '../papers/printed.ts';
import { words } from '../words/words.ts';
import { keptMoveAt } from './keptHere.ts';
import { recordMove, type Move } from './move.ts';
import { place } from './place.ts';
import { kindAt, positionsOf } from './positions.ts';
import { useFreeItems, type Item, type Socket } from './record.ts';
import { knownItem } from './scan/known.ts';
import { ScanFor } from './scan/ScanFor.tsx';
import { ShopDummy } from './ShopDummy.tsx';
import { SocketPage } from './SocketPage.tsx';

type At = ReturnType<typeof positionsOf>[number];

export const Hardware = ({ params: { socketId } }: { params: { socketId: string } }) => (
  <SocketPage socketId={socketId} title={words.value.bench.hardware}>
    {(socket) => <InSocket socket={socket} />}
  </SocketPage>
);

function InSocket({ socket }: { readonly socket: Socket }) {
  const { bench: say, papers } = words.value;
  const { hardware, order, kind } = socket;
  return (
    <>
      {kind === 'definitive' && (
        <>
          <ShopDummy socket={socket} />
          <Link class="way" href={place.transfer(socket.id)}>
            {say.transfer}
          </Link>
        </>
      )}
      <ul class="positions">
        {positionsOf(order.suspension, hardware).map((at) => {
          const held = hardware.find(({ position }) => position === at);
          return (
            <li key={at}>
              <span class="label">{say.positions[at]}</span>
              <AtPosition socket={socket} at={at} held={held} />
            </li>
          );
        })}
      </ul>
      <p class="acts">
        <Print what={papers.moveSlip(socket.number)} read={moveSlip(socket.id)} />
        <Print what={papers.socketLabel(socket.number)} read={socketLabel(socket.id)} />
      </p>
    </>
  );
}

function AtPosition({
  socket,
  at,
  held,
}: {
  readonly socket: Socket;
  readonly at: At;
  readonly held: Socket['hardware'][number] | undefined;
}) {
  const { offline: say } = words.value;
  // What a kept move put in or took out is not moved again before it is on record.
  const kept = keptMoveAt(openActsOf(socket.id), socket.id, at);
  if (kept !== undefined) {
    return (
      <>
        {held !== undefined && <strong>{held.label}</strong>}
        <p>
          {kept.said}: {say.notYet}
        </p>
      </>
    );
  }
  if (held === undefined) return <PutIn socket={socket} at={at} />;
  return (
    <>
      <strong>{held.label}</strong>
      <TakeOut socket={socket} at={at} itemId={held.itemId} label={held.label} />
    </>
  );
}

/** Where a free piece lies, as a move names it. */
const lyingAt = ({ placeKind, placeId }: Item): Move['from'] =>
  placeKind === 'bin' ? { kind: 'bin', placeId } : { kind: 'bench' };

function PutIn({ socket, at }: { readonly socket: Socket; readonly at: At }) {
  const socketId = socket.id;
  const { bench: say } = words.value;
  const readAgain = useReadAgain();
  const [open, setOpen] = useState(false);
  const [itemId, setItemId] = useState('');
  const { data } = useFreeItems(kindAt(at), open);
  const items = data?.items ?? [];
  const item = items.find(({ id }) => id === itemId);
  if (!open) {
    return (
      <button
        type="button"
        class="wide"
        aria-label={`${say.putIn}: ${say.positions[at]}`}
        onClick={() => setOpen(true)}
      >
        {say.empty} · {say.putIn}
      </button>
    );
  }
  return (
    <ActForm
      act={say.putInAct}
      send={async (key) => {
        if (item === undefined) return;
        await recordMove(
          socket,
          item.label,
          {
            thing: { itemId: item.id },
            from: lyingAt(item),
            to: { kind: 'socket_position', socketId, position: at },
            reason: item.placeKind === 'bench' ? 'put_back' : 'issued',
          },
          key,
        );
        await readAgain();
      }}
    >
      {() => (
        <>
          <SelectField
            label={say.whichPiece(say.positions[at])}
            {...(data !== undefined && items.length === 0 ? { hint: say.noPiece } : {})}
            of={[
              ['', say.choose],
              ...items.map(({ id, label, placeName }) => [id, `${label} · ${placeName}`] as const),
            ]}
            value={itemId}
            onChoose={setItemId}
          />
          {items.length > 0 && (
            <ScanFor what={say.positions[at]} among={items.map(knownItem)} onFound={setItemId} />
          )}
        </>
      )}
    </ActForm>
  );
}

function TakeOut({
  socket,
  at,
  itemId,
  label,
}: {
  readonly socket: Socket;
  readonly at: At;
  readonly itemId: string;
  readonly label: string;
}) {
  const { bench: say } = words.value;
  const readAgain = useReadAgain();
  const [open, setOpen] = useState(false);
  const [binId, setBinId] = useState('');
  if (!open) {
    return (
      <button type="button" aria-label={`${say.takeOut}: ${label}`} onClick={() => setOpen(true)}>
        {say.takeOut}
      </button>
    );
  }
  return (
    <ActForm
      act={binId === '' ? say.takeOutAct : say.putAwayAct}
      send={async (key) => {
        await recordMove(
          socket,
          label,
          {
            thing: { itemId },
            from: { kind: 'socket_position', socketId: socket.id, position: at },
            to: binId === '' ? { kind: 'bench' } : { kind: 'bin', placeId: binId },
            reason: binId === '' ? 'taken_out_for_trimming' : 'returned_to_bin',
          },
          key,
        );
        await readAgain();
      }}
    >
      {() => (
        <>
          <BinField value={binId} onChoose={setBinId} />
          <p>{say.takeOutOpens}</p>
        </>
      )}
    </ActForm>
  );
}

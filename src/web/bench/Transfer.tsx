/** Hardware from the old socket into the new one at once: both side by side, and what becomes of each piece. */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { answered, api } from '../api.ts';
import { act, openActsOf } from '../offline/acts.ts';
import { orderAtBench } from '../offline/keptPages.ts';
import { useReadAgain } from '../parts/act.ts';
import { ActForm } from '../parts/form.tsx';
import { FigureDrawing } from '../parts/figure.tsx';
import { SelectField } from '../parts/selectField.tsx';
import { Loading, WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { useDraft } from './draft.ts';
import { keptFor } from './keptHere.ts';
import { place } from './place.ts';
import { kindAt, positionsOf } from './positions.ts';
import { useFreeItems, useSocket, type Position, type Socket } from './record.ts';
import { knownItem } from './scan/known.ts';
import { ScanFor } from './scan/ScanFor.tsx';
import { SocketPage } from './SocketPage.tsx';
import { transferDrawn } from './transferDrawn.ts';

type At = ReturnType<typeof positionsOf>[number];
type Held = Socket['hardware'][number];

export const Transfer = ({ params: { socketId } }: { params: { socketId: string } }) => (
  <SocketPage socketId={socketId} title={words.value.bench.transfer}>
    {(socket) => <Into key={socket.id} socket={socket} />}
  </SocketPage>
);

/** Which socket it comes from: one of the same order, the newest check socket until another is chosen. */
function Into({ socket }: { readonly socket: Socket }) {
  const { bench: say } = words.value;
  const { data: order, error } = useQuery({
    queryKey: ['order-at-bench', socket.order.id],
    queryFn: async () =>
      orderAtBench(
        await answered(
          api.GET('/api/v1/orders/{orderId}', { params: { path: { orderId: socket.order.id } } }),
        ),
      ),
  });
  const [chosen, setChosen] = useState<string>();
  if (order === undefined) {
    return error === null ? <Loading /> : <WentWrong failure={error} />;
  }
  const others = order.sockets.filter(({ id }) => id !== socket.id);
  const fromId = chosen ?? others.findLast(({ kind }) => kind === 'check')?.id ?? others[0]?.id;
  if (fromId === undefined) return <p class="caution">{say.noOtherSocket}</p>;
  return (
    <>
      {others.length > 1 && (
        <SelectField
          label={say.transferFrom}
          of={others.map(({ id, number, state }) => [id, `${number} · ${say.socketStates[state]}`])}
          value={fromId}
          onChoose={setChosen}
        />
      )}
      <Between key={fromId} fromId={fromId} to={socket} />
    </>
  );
}

interface Piece {
  readonly itemId: string;
  readonly fromPlaceId: string;
}
interface Typed {
  /** Pieces that are to stay where they are. */
  readonly staying: readonly string[];
  /** The fresh piece for each position whose own stays behind. */
  readonly fresh: Readonly<Partial<Record<Position, Piece>>>;
}

function Between({ fromId, to }: { readonly fromId: string; readonly to: Socket }) {
  const { bench: say } = words.value;
  const readAgain = useReadAgain();
  const { data: from, error } = useSocket(fromId);
  const { typed, change, done } = useDraft<Typed>(`transfer.${fromId}.${to.id}`, {
    staying: [],
    fresh: {},
  });
  if (from === undefined) return error === null ? <Loading /> : <WentWrong failure={error} />;
  const kept = keptFor(openActsOf(to.id), `transfer:${fromId}:${to.id}`);
  const taken = (at: Position): Held | undefined =>
    to.hardware.find(({ position }) => position === at);
  const moving = from.hardware.filter(
    ({ itemId, singleUse, position }) =>
      !singleUse && taken(position) === undefined && !typed.staying.includes(itemId),
  );
  const fresh = Object.entries(typed.fresh).flatMap(([at, piece]) =>
    piece.itemId === '' || taken(at as Position) !== undefined
      ? []
      : [{ ...piece, position: at as Position }],
  );
  const freshAt = new Set(fresh.map(({ position }) => position));
  const stay = (itemId: string, stays: boolean): void =>
    change({
      ...typed,
      staying: stays ? [...typed.staying, itemId] : typed.staying.filter((each) => each !== itemId),
    });
  return (
    <>
      <div class="transfer-drawing">
        <FigureDrawing figure={transferDrawn(from, to, typed.staying, freshAt)} />
      </div>
      <table class="transfer">
        <thead>
          <tr>
            <th>
              {say.oldSocket} {from.number}
            </th>
            <th>
              {say.newSocket} {to.number}
            </th>
          </tr>
        </thead>
        <tbody>
          {positionsOf(to.order.suspension, from.hardware).map((at) => (
            <Row
              key={at}
              at={at}
              old={from.hardware.find(({ position }) => position === at)}
              there={taken(at)}
              stays={typed.staying.includes(
                from.hardware.find(({ position }) => position === at)?.itemId ?? '',
              )}
              onStay={stay}
              fresh={typed.fresh[at]?.itemId ?? ''}
              onFresh={(piece) => change({ ...typed, fresh: { ...typed.fresh, [at]: piece } })}
            />
          ))}
        </tbody>
      </table>
      {kept !== undefined ? (
        <p class="caution">
          {kept.said}: {words.value.offline.notYet}
        </p>
      ) : moving.length === 0 ? (
        <p class="caution">{say.nothingToMove}</p>
      ) : (
        <ActForm
          act={say.transferAct(moving.length, fresh.length)}
          send={async (key) => {
            await act(key, {
              path: '/api/v1/transfers',
              params: {},
              body: (recordedAt) => ({
                fromSocketId: fromId,
                toSocketId: to.id,
                itemIds: moving.map(({ itemId }) => itemId),
                fresh,
                recordedAt,
              }),
              said: say.transferAct(moving.length, fresh.length),
              about: `${from.number} → ${to.number}`,
              told: moving.map(({ position, label }) => [say.positions[position], label] as const),
              subject: `transfer:${fromId}:${to.id}`,
              socketId: to.id,
              concerns: [
                fromId,
                ...moving.map(({ itemId }) => itemId),
                ...fresh.map(({ itemId }) => itemId),
              ],
              page: place.transfer(to.id),
              draft: { name: `transfer.${fromId}.${to.id}`, typed },
            });
            done();
            await readAgain();
          }}
        >
          {() => <p class="label">{say.transferOpens}</p>}
        </ActForm>
      )}
    </>
  );
}

function Row({
  at,
  old,
  there,
  stays,
  onStay,
  fresh,
  onFresh,
}: {
  readonly at: At;
  readonly old: Held | undefined;
  readonly there: Held | undefined;
  readonly stays: boolean;
  readonly onStay: (itemId: string, stays: boolean) => void;
  readonly fresh: string;
  readonly onFresh: (piece: Piece) => void;
}) {
  const { bench: say } = words.value;
  const replaced = there === undefined && (old?.singleUse === true || (old !== undefined && stays));
  return (
    <tr>
      <td>
        <span class="label">{say.positions[at]}</span>
        <div>{old?.label ?? '–'}</div>
        {old?.singleUse === true && <strong>{say.singleUse}</strong>}
        {old !== undefined && !old.singleUse && there === undefined && (
          <label class="tick">
            <input
              type="checkbox"
              checked={!stays}
              onChange={({ currentTarget }) => onStay(old.itemId, !currentTarget.checked)}
            />
            {stays ? say.stays : say.moves}
          </label>
        )}
      </td>
      <td>
        <span class="label">{say.positions[at]}</span>
        {there !== undefined && <div>{there.label}</div>}
        {old !== undefined && there === undefined && !replaced && <div>← {old.label}</div>}
        {replaced && <Fresh at={at} value={fresh} onChoose={onFresh} />}
      </td>
    </tr>
  );
}

function Fresh({
  at,
  value,
  onChoose,
}: {
  readonly at: At;
  readonly value: string;
  readonly onChoose: (piece: Piece) => void;
}) {
  const { bench: say } = words.value;
  const { data } = useFreeItems(kindAt(at), true);
  const inBins = (data?.items ?? []).filter(({ placeKind }) => placeKind === 'bin');
  const chosen = inBins.find(({ id }) => id === value);
  const choose = (itemId: string): void =>
    onChoose({ itemId, fromPlaceId: inBins.find(({ id }) => id === itemId)?.placeId ?? '' });
  return (
    <>
      <SelectField
        label={say.fresh}
        {...(chosen === undefined ? {} : { hint: chosen.label })}
        of={[
          ['', say.none],
          ...inBins.map(({ id, label, placeName }) => [id, `${label} · ${placeName}`] as const),
        ]}
        value={value}
        onChoose={choose}
      />
      {inBins.length > 0 && (
        <ScanFor what={say.positions[at]} among={inBins.map(knownItem)} onFound={choose} />
      )}
    </>
  );
}

/** What the code of a traveller opens: the bench page of the socket under work, or what the order waits for. */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { Link, Redirect, useLocation } from 'wouter-preact';
import { answered, api } from '../api.ts';
import { orderAtBench, type OrderAtBench } from '../offline/keptPages.ts';
import { once } from '../parts/act.ts';
import { TextField } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { Rail } from '../parts/rail.tsx';
import { Loading, Sheet, WentWrong } from '../parts/sheet.tsx';
import { may } from '../session/session.ts';
import { measures, smallTyped } from '../words/units.ts';
import { words } from '../words/words.ts';
import { place } from './place.ts';

type Order = OrderAtBench;

/** The kind of socket that is made in each stage. */
const MADE_IN: Partial<Record<Order['stage'], 'check' | 'definitive'>> = {
  check_fitting: 'check',
  lamination: 'definitive',
  delivery: 'definitive',
};

/** The newest socket that is on the bench in the order's stage. */
const underWork = ({ stage, sockets }: Order) =>
  sockets.findLast(({ kind, state }) => state === 'in_work' && kind === MADE_IN[stage]);

export function OpenedCode({ params: { number } }: { params: { number: string } }) {
  const { bench: say } = words.value;
  const {
    data: order,
    error,
    refetch,
  } = useQuery({
    queryKey: ['order-at-bench', 'by-number', number],
    queryFn: async () =>
      orderAtBench(
        await answered(
          api.GET('/api/v1/orders/by-number/{number}', { params: { path: { number } } }),
        ),
      ),
  });
  if (order === undefined) {
    return (
      <Sheet title={number}>
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
  if (!may('technician', 'prosthetist')) return <Redirect to={place.order(order.id)} replace />;
  const socket = underWork(order);
  if (socket !== undefined) return <Redirect to={place.socket(socket.id)} replace />;
  return <NothingUnderWork order={order} />;
}

function NothingUnderWork({ order }: { readonly order: Order }) {
  const { bench: say, holds, orders } = words.value;
  const kind = MADE_IN[order.stage];
  return (
    <Sheet title={order.number}>
      <div class="bench">
        <Rail stage={order.stage} />
        {order.holdReason !== null && (
          <p class="caution">
            {orders.onHold}: {holds[order.holdReason]}
          </p>
        )}
        <p>{kind === undefined ? say.waitsFor[order.stage as 'casting'] : say.noSocket[kind]}</p>
        {kind !== undefined && order.stage !== 'delivery' && <Start order={order} kind={kind} />}
        {order.sockets.map(({ id, number, state }) => (
          <Link key={id} class="way" href={place.socket(id)}>
            {number} <small>{say.socketStates[state]}</small>
          </Link>
        ))}
        <Link class="way" href={place.order(order.id)}>
          {say.toOrder}
        </Link>
      </div>
    </Sheet>
  );
}

/** Begins the socket that the stage asks for. */
function Start({ order, kind }: { readonly order: Order; readonly kind: 'check' | 'definitive' }) {
  const { bench: say } = words.value;
  const [, go] = useLocation();
  const [thickness, setThickness] = useState('');
  const sheetThicknessMm = smallTyped(thickness);
  return (
    <ActForm
      act={say.start[kind]}
      send={async (key) => {
        const socket = await answered(
          api.POST('/api/v1/orders/{orderId}/sockets', {
            params: { path: { orderId: order.id }, header: once(key) },
            body: { kind, ...(sheetThicknessMm === undefined ? {} : { sheetThicknessMm }) },
          }),
        );
        go(place.socket(socket.id), { replace: true });
      }}
    >
      {({ against }) =>
        kind === 'check' && (
          <TextField
            label={say.sheetThickness(measures.value.small.unit)}
            inputMode="decimal"
            value={thickness}
            against={against('/sheetThicknessMm')}
            onInput={({ currentTarget }) => setThickness(currentTarget.value)}
          />
        )
      }
    </ActForm>
  );
}

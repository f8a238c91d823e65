/** Where is my leg: what a caller wants to know, on one sheet, and how to say it. */
import { useQuery } from '@tanstack/preact-query';
import { answered, api, type Schemas } from '../api.ts';
import { useFittingsOf } from '../book/OrderFittings.tsx';
import { useInstantWords } from '../parts/instants.ts';
import { Facts } from '../parts/sheet.tsx';
import { dayWords, words } from '../words/words.ts';
import { eventWords, isWork } from './eventWords.ts';
import type { Order } from './order.ts';

export function Caller({ order }: { readonly order: Order }) {
  const { desk: say, book } = words.value;
  const instantWords = useInstantWords();
  const last = useLastDone(order.id);
  const next = useNextOperation(order);
  const fitting = useNextFitting(order.id);
  const open = order.stage !== 'delivered' && order.stage !== 'cancelled';
  return (
    <section>
      <h2>{say.whereIsIt}</h2>
      <Facts
        of={[
          [say.doingNow, next === undefined ? null : `${next.title} · ${next.socket}`],
          [
            say.lastDone,
            last === undefined || last.by === null
              ? null
              : say.by(eventWords(last), last.by, instantWords(last.at)),
          ],
          [say.waitsFor, open ? waitsFor(order) : null],
          [
            say.nextFitting,
            fitting === undefined
              ? open
                ? say.noFitting
                : null
              : `${instantWords(fitting.startsAt)}, ${book.purposes[fitting.purpose]}`,
          ],
          [say.askWhom, order.prosthetist?.printedName ?? last?.by],
        ]}
      />
      <p class="caller">
        <span class="label">{say.tellCaller}</span>
        <Phrase order={order} fitting={fitting} />
      </p>
    </section>
  );
}

function waitsFor({ stage, holdReason }: Order): string {
  const { desk: say, holds } = words.value;
  return holdReason === null ? say.waits[stage] : holds[holdReason];
}

function Phrase({
  order,
  fitting,
}: {
  readonly order: Order;
  readonly fitting: Schemas['Appointment'] | undefined;
}) {
  const { desk: say, holds } = words.value;
  const instantWords = useInstantWords();
  const { phrase } = say;
  const { stage, holdReason, promisedOn } = order;
  const open = stage !== 'delivered' && stage !== 'cancelled';
  const { data } = useQuery({
    queryKey: ['order', order.id, 'date'],
    queryFn: () =>
      answered(
        api.GET('/api/v1/orders/{orderId}/date', { params: { path: { orderId: order.id } } }),
      ),
  });
  const state = data?.standing?.state;
  const ofDay = { on_course: phrase.onCourse, at_risk: phrase.doubtful, late: phrase.late };
  const said =
    promisedOn === null
      ? phrase.noDay
      : state === undefined || state === 'no_date'
        ? ''
        : ofDay[state](dayWords(promisedOn));
  return (
    <q>
      {[
        phrase.at[stage],
        holdReason === null ? '' : phrase.held(holds[holdReason]),
        open ? said : '',
        fitting === undefined
          ? ''
          : phrase.fitting(instantWords(fitting.startsAt), fitting.prosthetist.printedName),
      ]
        .filter((sentence) => sentence !== '')
        .join(' ')}
    </q>
  );
}

/** The newest work on the limb, and by whom. */
function useLastDone(orderId: string): Schemas['OrderEvent'] | undefined {
  const { data } = useQuery({
    queryKey: ['order', orderId, 'last'],
    queryFn: () =>
      answered(
        api.GET('/api/v1/orders/{orderId}/history', {
          params: { path: { orderId }, query: { limit: 30 } },
        }),
      ),
  });
  return data?.items.find(isWork);
}

/** What is to be done next to the newest socket that is in work. */
function useNextOperation({ sockets }: Order) {
  const socket = sockets.findLast(({ state }) => state === 'in_work');
  const socketId = socket?.id ?? '';
  const { data } = useQuery({
    queryKey: ['socket', socketId],
    enabled: socket !== undefined,
    queryFn: () =>
      answered(api.GET('/api/v1/sockets/{socketId}', { params: { path: { socketId } } })),
  });
  const next = data?.operations.find(({ id }) => id === data.nextOperationId);
  return next === undefined || socket === undefined
    ? undefined
    : { title: next.title, socket: socket.number };
}

function useNextFitting(orderId: string): Schemas['Appointment'] | undefined {
  const { data } = useFittingsOf(orderId);
  return data?.items.find(({ state, endsAt }) => state === 'booked' && endsAt > data.now);
}

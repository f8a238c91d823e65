/** The fittings of an order, on its page: the next ones, what became of the earlier ones, and booking. */
import { useQuery } from '@tanstack/preact-query';
import { Link } from 'wouter-preact';
import { answered, api } from '../api.ts';
import { bookingPage } from '../links.ts';
import { WentWrong } from '../parts/sheet.tsx';
import { may } from '../session/session.ts';
import { words } from '../words/words.ts';
import { AppointmentLine } from './AppointmentLine.tsx';

export const useFittingsOf = (orderId: string) =>
  useQuery({
    queryKey: ['order', orderId, 'fittings'],
    queryFn: () => answered(api.GET('/api/v1/appointments', { params: { query: { orderId } } })),
  });

export function OrderFittings({ orderId }: { readonly orderId: string }) {
  const { book: say } = words.value;
  const { data, error, refetch } = useFittingsOf(orderId);
  const items = data?.items ?? [];
  const toCome = items.filter(({ state }) => state === 'booked');
  const settled = items.filter(({ state }) => state !== 'booked');
  const line = (of: (typeof items)[number]) =>
    data === undefined ? null : <AppointmentLine key={of.id} of={of} book={data} withDay />;
  return (
    <section>
      <h2>{say.fittings}</h2>
      <WentWrong failure={error} retry={() => void refetch()} />
      {toCome.map(line)}
      {data !== undefined && toCome.length === 0 && <p>{say.none}</p>}
      {settled.length > 0 && (
        <details>
          <summary>
            {say.earlier} ({settled.length})
          </summary>
          {settled.map(line)}
        </details>
      )}
      {may('front_desk', 'prosthetist') && (
        <Link class="act" href={bookingPage({ order: orderId })}>
          {say.book}
        </Link>
      )}
    </section>
  );
}

/** What the code of a label opens: a socket's next operation, or what lies in a bin. */
import { useQuery } from '@tanstack/preact-query';
import { Link, Redirect } from 'wouter-preact';
import { answered, api } from '../api.ts';
import { place } from '../bench/place.ts';
import { Loading, Sheet, WentWrong } from '../parts/sheet.tsx';
import { may } from '../session/session.ts';
import { words } from '../words/words.ts';
import { Print } from './Print.tsx';
import { binLabel } from './printed.ts';

export function OpenedSocket({
  params: { number, socket },
}: {
  params: { number: string; socket: string };
}) {
  const { papers: say, bench } = words.value;
  const wanted = `${number}/${socket}`.toUpperCase();
  const { data, error, refetch } = useQuery({
    queryKey: ['order', 'by-number', number],
    queryFn: () =>
      answered(api.GET('/api/v1/orders/by-number/{number}', { params: { path: { number } } })),
  });
  const there = data?.sockets.find((each) => each.number === wanted);
  if (data !== undefined && there !== undefined) {
    const to = may('technician', 'prosthetist') ? place.socket(there.id) : place.order(data.id);
    return <Redirect to={to} replace />;
  }
  return (
    <Sheet title={wanted}>
      <WentWrong failure={error} retry={() => void refetch()} />
      {data === undefined ? (
        error === null && <Loading />
      ) : (
        <>
          <p class="caution">{say.noSuchSocket(wanted)}</p>
          <Link class="way" href={place.order(data.id)}>
            {bench.toOrder}
          </Link>
        </>
      )}
    </Sheet>
  );
}

export function OpenedBin({ params: { placeId } }: { params: { placeId: string } }) {
  const { papers: say, bench } = words.value;
  const places = useQuery({
    queryKey: ['places'],
    queryFn: () => answered(api.GET('/api/v1/places')),
  });
  const items = useQuery({
    queryKey: ['items', 'at', placeId],
    queryFn: () =>
      answered(api.GET('/api/v1/items', { params: { query: { placeId, limit: 100 } } })),
  });
  const bin = places.data?.items.find(({ id, kind }) => id === placeId && kind === 'bin');
  const failure = places.error ?? items.error;
  return (
    <Sheet title={bin === undefined ? say.bin : `${say.bin} · ${bin.name}`}>
      <WentWrong failure={failure} />
      {places.data === undefined || items.data === undefined ? (
        failure === null && <Loading />
      ) : bin === undefined ? (
        <p class="caution">{say.noSuchBin}</p>
      ) : (
        <>
          <h2>{say.lies}</h2>
          {items.data.items.length === 0 ? (
            <p>{say.nothingLies}</p>
          ) : (
            <ul>
              {items.data.items.map(({ id, label }) => (
                <li key={id}>{label}</li>
              ))}
            </ul>
          )}
          <p class="acts">
            <Print what={say.binLabel(bin.name)} read={binLabel(placeId)} />
          </p>
        </>
      )}
      <Link class="way" href="/bench">
        {bench.otherCode}
      </Link>
    </Sheet>
  );
}

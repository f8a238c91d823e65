/** What was done to an order, the newest first; folded, and read only when it is opened. */
import { useInfiniteQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { useInstantWords } from '../parts/instants.ts';
import { Loading, WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';

export function History({ orderId }: { readonly orderId: string }) {
  const { desk: say } = words.value;
  const [opened, setOpened] = useState(false);
  return (
    <>
      <h2>{say.history}</h2>
      <details onToggle={({ currentTarget }) => setOpened(currentTarget.open)}>
        <summary>{say.readHistory}</summary>
        {opened && <Events orderId={orderId} />}
      </details>
    </>
  );
}

function Events({ orderId }: { readonly orderId: string }) {
  const { desk: say } = words.value;
  const instantWords = useInstantWords();
  const { data, error, isPending, fetchNextPage, hasNextPage, refetch } = useInfiniteQuery({
    queryKey: ['order', orderId, 'history'],
    initialPageParam: undefined as string | undefined,
    queryFn: ({ pageParam }) =>
      answered(
        api.GET('/api/v1/orders/{orderId}/history', {
          params: {
            path: { orderId },
            query: { limit: 30, ...(pageParam === undefined ? {} : { after: pageParam }) },
          },
        }),
      ),
    getNextPageParam: ({ next }) => next ?? undefined,
  });
  if (isPending) return <Loading />;
  return (
    <>
      <WentWrong failure={error} retry={() => void refetch()} />
      <ol class="lines">
        {data?.pages
          .flatMap(({ items }) => items)
          .map((event) => (
            <li key={event.seq}>
              {instantWords(event.at)} · <strong>{eventWords(event)}</strong> ·{' '}
              {event.by ?? say.theService}
            </li>
          ))}
      </ol>
      {hasNextPage && <button onClick={() => void fetchNextPage()}>{say.olderEvents}</button>}
    </>
  );
}

/** What an event is called by people. */
export function eventWords({ kind, data }: Schemas['OrderEvent']): string {
  const { desk, stages, holds } = words.value;
  const named = (desk.events as Readonly<Record<string, string>>)[kind];
  const what = named ?? kind.replaceAll(/[._]/g, ' ');
  const after = data['after'];
  const to =
    typeof after === 'string'
      ? ({ ...stages, ...holds } as Readonly<Record<string, string>>)[after]
      : undefined;
  return to === undefined ? what : `${what}: ${to}`;
}

/** The orders: one line each, with its rail and its days; what is asked stands in the address. */
import { keepPreviousData, useInfiniteQuery } from '@tanstack/preact-query';
import { Link, useSearchParams } from 'wouter-preact';
import { answered, api, type Schemas } from '../api.ts';
import { orderPage } from '../links.ts';
import { Rail } from '../parts/rail.tsx';
import { Loading, Sheet, WentWrong } from '../parts/sheet.tsx';
import { may } from '../session/session.ts';
import { dayWords, words } from '../words/words.ts';
import { askedOf, queryOf, type Asked } from './asked.ts';
import { OrderFilters } from './OrderFilters.tsx';
import { OrdersOf } from './OrdersOf.tsx';
import { patientWords } from './patients.ts';

type Line = Schemas['OrderLine'];

export function OrderList() {
  const { pages, orders: say } = words.value;
  const [address, setAddress] = useSearchParams();
  const asked = askedOf(address);
  const { data, error, isPending, fetchNextPage, hasNextPage, refetch } = useInfiniteQuery({
    queryKey: ['orders', asked],
    initialPageParam: undefined as string | undefined,
    placeholderData: keepPreviousData,
    queryFn: ({ pageParam }) =>
      answered(
        api.GET('/api/v1/orders', {
          params: {
            query: {
              limit: 25,
              ...queryOf(asked),
              ...(pageParam === undefined ? {} : { after: pageParam }),
            },
          },
        }),
      ),
    getNextPageParam: ({ next }) => next ?? undefined,
  });
  const change = (part: Partial<Asked>): void => {
    setAddress(
      (before) =>
        Object.entries({ ...askedOf(before), ...part }).filter(([, value]) => value !== ''),
      { replace: true },
    );
  };
  const lines = data?.pages.flatMap(({ items }) => items) ?? [];
  return (
    <Sheet title={pages.orders}>
      {may('front_desk', 'prosthetist') && (
        <Link class="act" href="/orders/new">
          {pages.open}
        </Link>
      )}
      <OrderFilters asked={asked} change={change} />
      {asked.patient !== '' && (
        <OrdersOf patientId={asked.patient} onAll={() => change({ patient: '' })} />
      )}
      <WentWrong failure={error} retry={() => void refetch()} />
      {isPending ? <Loading /> : <Lines lines={lines} />}
      {hasNextPage && <button onClick={() => void fetchNextPage()}>{say.more}</button>}
    </Sheet>
  );
}

function Lines({ lines }: { lines: readonly Line[] }) {
  const { orders: say, sides, levels, suspensions, holds } = words.value;
  if (lines.length === 0) return <p role="status">{say.none}</p>;
  return (
    <table class="stacked">
      <thead>
        <tr>
          <th>{say.order}</th>
          <th>{say.patient}</th>
          <th>{say.limb}</th>
          <th>{say.promised}</th>
          <th>{say.stage}</th>
        </tr>
      </thead>
      <tbody>
        {lines.map((line) => (
          <tr key={line.id} class={line.late ? 'against' : ''}>
            <td data-label={say.order}>
              <Link class="touch" href={orderPage(line.id)}>
                {line.number}
              </Link>
            </td>
            <td data-label={say.patient}>{patientWords(line.patient)}</td>
            <td data-label={say.limb}>
              {sides[line.side]}, {levels[line.level]}, {suspensions[line.suspension]}
            </td>
            <td data-label={say.promised}>
              {line.promisedOn === null ? say.noDay : dayWords(line.promisedOn)}
              {line.late && <strong> {say.late}</strong>}
            </td>
            <td data-label={say.stage}>
              <Rail stage={line.stage} />
              {line.holdReason !== null && (
                <strong>
                  {say.onHold}: {holds[line.holdReason]}
                </strong>
              )}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

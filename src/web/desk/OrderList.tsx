/** The orders: one line each, with its rail and its days; what is asked stands in the address. */
import { keepPreviousData, useInfiniteQuery } from '@tanstack/preact-query';
import { Link, useLocation, useSearchParams } from 'wouter-preact';
import { answered, api, type Schemas } from '../api.ts';
import { orderPage } from '../links.ts';
import { useShortDayWords } from '../parts/instants.ts';
import { Rail } from '../parts/rail.tsx';
import { Loading, Sheet, WentWrong } from '../parts/sheet.tsx';
import { may } from '../session/session.ts';
import { chanceWords, dayWords, words } from '../words/words.ts';
import { askedOf, queryOf, type Asked } from './asked.ts';
import { Find } from './Find.tsx';
import { OrderFilters } from './OrderFilters.tsx';
import { OrdersOf } from './OrdersOf.tsx';
import { patientWords } from './patients.ts';

type Line = Schemas['ListedOrder'];

export function OrderList() {
  const { pages, orders: say } = words.value;
  const [address, setAddress] = useSearchParams();
  const [, turnTo] = useLocation();
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
      <Find
        onPick={(found) => {
          if (found.kind === 'order') turnTo(orderPage(found.order.id));
          else change({ patient: found.patient.id, q: '' });
        }}
      />
      <OrderFilters asked={asked} change={change} />
      {asked.q !== '' && (
        <p class="picked">
          {say.numbered} <strong>{asked.q}</strong>{' '}
          <button type="button" onClick={() => change({ q: '' })}>
            {words.value.desk.allOrders}
          </button>
        </p>
      )}
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
  const dayOf = useShortDayWords();
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
          <tr key={line.id} class={line.late || line.atRisk ? 'against' : ''}>
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
              {line.atRisk && (
                <>
                  {' '}
                  <strong>{say.atRisk}</strong>
                  {line.chance !== null && <>: {chanceWords(line.chance)}</>}
                </>
              )}
            </td>
            <td data-label={say.stage}>
              <Rail stage={line.stage} />
              {line.stageSince !== null && (
                <span class="hint">
                  {words.value.desk.since} {dayOf(line.stageSince)}
                </span>
              )}
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

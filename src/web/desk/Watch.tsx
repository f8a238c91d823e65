/** Orders that are late, or will probably be: whom to call first, and why. */
import { useInfiniteQuery } from '@tanstack/preact-query';
import { Link, useSearchParams } from 'wouter-preact';
import { answered, api, type Schemas } from '../api.ts';
import { orderPage } from '../links.ts';
import { Rail } from '../parts/rail.tsx';
import { SelectField } from '../parts/selectField.tsx';
import { Loading, Sheet, WentWrong } from '../parts/sheet.tsx';
import { chanceWords, dayWords, words } from '../words/words.ts';
import { patientWords } from './patients.ts';

type Watched = Schemas['WatchedOrder'];

const stateOf = (asked: string | null): Watched['state'] | undefined =>
  asked === 'late' || asked === 'at_risk' ? asked : undefined;

export function Watch() {
  const { pages, desk: say } = words.value;
  const [asked, setAsked] = useSearchParams();
  const state = stateOf(asked.get('state'));
  const { data, error, isPending, fetchNextPage, hasNextPage, refetch } = useInfiniteQuery({
    queryKey: ['watch', state],
    initialPageParam: undefined as string | undefined,
    queryFn: ({ pageParam }) =>
      answered(
        api.GET('/api/v1/dates/watch', {
          params: {
            query: {
              limit: 25,
              ...(state === undefined ? {} : { state }),
              ...(pageParam === undefined ? {} : { after: pageParam }),
            },
          },
        }),
      ),
    getNextPageParam: ({ next }) => next ?? undefined,
  });
  const [first] = data?.pages ?? [];
  return (
    <Sheet title={pages.watch}>
      {first !== undefined && (
        <p role="status" class="stage-now">
          <strong>{say.lateCount(first.late)}</strong>, {say.atRiskCount(first.atRisk)}
        </p>
      )}
      <SelectField
        label={say.show}
        of={[['', say.both], ...Object.entries(say.states)]}
        value={state ?? ''}
        onChoose={(chosen) => setAsked(chosen === '' ? {} : { state: chosen }, { replace: true })}
      />
      <WentWrong failure={error} retry={() => void refetch()} />
      {isPending ? <Loading /> : <Lines lines={data?.pages.flatMap(({ items }) => items) ?? []} />}
      {hasNextPage && (
        <button onClick={() => void fetchNextPage()}>{words.value.orders.more}</button>
      )}
    </Sheet>
  );
}

function Lines({ lines }: { readonly lines: readonly Watched[] }) {
  const { desk: say, orders } = words.value;
  if (lines.length === 0) return <p>{say.noneToWatch}</p>;
  return (
    <table class="stacked">
      <thead>
        <tr>
          <th>{orders.order}</th>
          <th>{orders.patient}</th>
          <th>{orders.promised}</th>
          <th>{say.because}</th>
        </tr>
      </thead>
      <tbody>
        {lines.map((line) => (
          <Line key={line.order.id} of={line} />
        ))}
      </tbody>
    </table>
  );
}

function Line({ of: { order, state, chance, workingDaysLeft, phone, because } }: { of: Watched }) {
  const { desk: say, orders, sides, levels } = words.value;
  return (
    <tr class={state === 'late' ? 'against' : ''}>
      <td data-label={orders.order}>
        <Link href={orderPage(order.id)}>{order.number}</Link>
        <div>
          <strong>{say.states[state]}</strong>
        </div>
      </td>
      <td data-label={orders.patient}>
        {patientWords(order.patient)}
        {phone != null && (
          <div>
            <a class="touch" href={`tel:${phone.replace(/[^\d+]/g, '')}`}>
              {phone}
            </a>
          </div>
        )}
        <div>
          {sides[order.side]}, {levels[order.level]}
        </div>
      </td>
      <td data-label={orders.promised}>
        {order.promisedOn === null ? orders.noDay : dayWords(order.promisedOn)}
        <div>{say.daysLeft(workingDaysLeft)}</div>
        {chance !== null && state !== 'late' && <div>{chanceWords(chance)}</div>}
      </td>
      <td data-label={say.because}>
        <Rail stage={order.stage} />
        {because.map(({ code, detail, wayOut }) => (
          <div key={code}>
            {detail} {wayOut}
          </div>
        ))}
      </td>
    </tr>
  );
}

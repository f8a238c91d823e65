/** The orders: one line each, with its rail and its days; what is asked stands in the address. */
import { keepPreviousData, useInfiniteQuery } from '@tanstack/preact-query';
import { Link, useSearchParams } from 'wouter-preact';
import { answered, api, type Schemas } from '../api.ts';
import { TextField } from '../parts/fields.tsx';
import { Rail } from '../parts/rail.tsx';
import { Loading, Sheet, WentWrong } from '../parts/sheet.tsx';
import { dayWords, words } from '../words/words.ts';

type Line = Schemas['OrderLine'];

export function OrderList() {
  const { pages, orders: say } = words.value;
  const [asked, setAsked] = useSearchParams();
  const q = asked.get('q') ?? '';
  const late = asked.get('late') === 'true';
  const { data, error, isPending, fetchNextPage, hasNextPage, refetch } = useInfiniteQuery({
    queryKey: ['orders', q, late],
    initialPageParam: undefined as string | undefined,
    placeholderData: keepPreviousData,
    queryFn: ({ pageParam }) =>
      answered(
        api.GET('/api/v1/orders', {
          params: {
            query: {
              limit: 25,
              ...(pageParam === undefined ? {} : { after: pageParam }),
              ...(q === '' ? {} : { q }),
              ...(late ? { late: 'true' as const } : {}),
            },
          },
        }),
      ),
    getNextPageParam: ({ next }) => next ?? undefined,
  });
  const change = (name: string, value: string): void => {
    setAsked(
      (before) => {
        const after = new URLSearchParams(before);
        if (value === '') after.delete(name);
        else after.set(name, value);
        return after;
      },
      { replace: true },
    );
  };
  const lines = data?.pages.flatMap(({ items }) => items) ?? [];
  return (
    <Sheet title={pages.orders}>
      <TextField
        label={say.find}
        type="search"
        value={q}
        onInput={({ currentTarget }) => change('q', currentTarget.value.trim())}
      />
      <label>
        <input
          type="checkbox"
          checked={late}
          onChange={({ currentTarget }) => change('late', currentTarget.checked ? 'true' : '')}
        />{' '}
        {say.lateOnly}
      </label>
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
              <Link href={`/orders/${line.id}`}>{line.number}</Link>
            </td>
            <td data-label={say.patient}>{patientWords(line)}</td>
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

/** The desk sees a name, the bench chart number and initials: what the service sends is shown. */
const patientWords = ({ patient }: Line): string =>
  'familyName' in patient
    ? `${String(patient.familyName)}, ${String(patient.givenName)} · ${patient.chartNumber}`
    : `${patient.chartNumber} · ${patient.initials}`;

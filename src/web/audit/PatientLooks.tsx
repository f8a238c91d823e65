/** Who looked a patient up: folded below the patient's history, for who oversees. */
import { useInfiniteQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { Link } from 'wouter-preact';
import { answered, api } from '../api.ts';
import { orderPage } from '../links.ts';
import { Download } from '../parts/download.tsx';
import { useInstantWords } from '../parts/instants.ts';
import { Loading, WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';

const LOOKS_A_PAGE = 30;

export function PatientLooks({ patientId }: { readonly patientId: string }) {
  const { looks: say } = words.value;
  const [opened, setOpened] = useState(false);
  return (
    <>
      <h2>{say.title}</h2>
      <p>{say.intro}</p>
      <details onToggle={({ currentTarget }) => setOpened(currentTarget.open)}>
        <summary>{say.show}</summary>
        {opened && <Looks patientId={patientId} />}
      </details>
    </>
  );
}

function Looks({ patientId }: { readonly patientId: string }) {
  const { looks: say, audit, desk } = words.value;
  const at = useInstantWords();
  const path = { patientId };
  const { data, error, isPending, isFetching, fetchNextPage, hasNextPage, refetch } =
    useInfiniteQuery({
      queryKey: ['looks', patientId],
      initialPageParam: undefined as string | undefined,
      // Each asking is a look itself: nothing is asked again by itself.
      staleTime: Infinity,
      queryFn: ({ pageParam }) => {
        const after = pageParam === undefined ? {} : { after: pageParam };
        const query = { limit: LOOKS_A_PAGE, ...after };
        return answered(api.GET('/api/v1/patients/{patientId}/looks', { params: { path, query } }));
      },
      getNextPageParam: ({ next }) => next ?? undefined,
    });
  const all = data?.pages.flatMap(({ items }) => items) ?? [];
  if (isPending) return <Loading />;
  return (
    <>
      <WentWrong failure={error} retry={() => void refetch()} />
      {all.length === 0 ? (
        <p>{say.none}</p>
      ) : (
        <table class="stacked history">
          <thead>
            <tr>
              <th>{audit.when}</th>
              <th>{audit.who}</th>
              <th>{say.from}</th>
              <th>{say.shown}</th>
            </tr>
          </thead>
          <tbody>
            {all.map(({ id, at: when, by, route, shown, order }) => (
              <tr key={id}>
                <td data-label={audit.when}>{at(when)}</td>
                <td data-label={audit.who}>{by.printedName}</td>
                <td data-label={say.from}>
                  {say.routes[route]}
                  {order !== null && (
                    <>
                      {' · '}
                      <Link aria-label={`${desk.order} ${order.number}`} href={orderPage(order.id)}>
                        {order.number}
                      </Link>
                    </>
                  )}
                </td>
                <td data-label={say.shown}>{say.shownWords[shown]}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      <p role="status">{hasNextPage ? say.soFar(all.length) : say.all(all.length)}</p>
      {hasNextPage && (
        <button type="button" disabled={isFetching} onClick={() => void fetchNextPage()}>
          {audit.older}
        </button>
      )}
      <p class="row">
        <Download
          words={say.csv}
          fileName="looks.csv"
          read={() =>
            answered(
              api.GET('/api/v1/patients/{patientId}/looks/file.csv', {
                params: { path },
                parseAs: 'blob',
              }),
            )
          }
        />
      </p>
    </>
  );
}

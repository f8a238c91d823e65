/** Which records fall due for review, until the end of a year, and every legal hold. */
import { useInfiniteQuery, useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { Link } from 'wouter-preact';
import { answered, api } from '../api.ts';
import { patientPage } from '../links.ts';
import { SelectField } from '../parts/selectField.tsx';
import { Loading, Sheet, WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { HoldLine } from './Holds.tsx';
import { keptWords } from './PatientPage.tsx';

/** Years that can be looked ahead. */
const YEARS = 8;

export function RetentionPage() {
  const { rights: say, pages } = words.value;
  const thisYear = new Date().getFullYear();
  const [year, setYear] = useState(String(thisYear + 1));
  const { data, error, refetch, hasNextPage, fetchNextPage } = useInfiniteQuery({
    queryKey: ['retention', year],
    initialPageParam: undefined as string | undefined,
    queryFn: ({ pageParam }) =>
      answered(
        api.GET('/api/v1/retention/due', {
          params: {
            query: {
              year: Number(year),
              limit: 50,
              ...(pageParam === undefined ? {} : { after: pageParam }),
            },
          },
        }),
      ),
    getNextPageParam: ({ next }) => next ?? undefined,
  });
  const due = data?.pages.flatMap(({ items }) => items) ?? [];
  return (
    <Sheet title={pages.retention}>
      <p>{say.nothingByItself}</p>
      <SelectField
        label={say.dueUntil}
        of={Array.from({ length: YEARS + 1 }, (_, at) => {
          const each = String(thisYear + at);
          return [each, each] as const;
        })}
        value={year}
        onChoose={setYear}
      />
      <h2>{say.due}</h2>
      <WentWrong failure={error} retry={() => void refetch()} />
      {data === undefined && error === null && <Loading />}
      {data !== undefined && due.length === 0 && <p>{say.noneDue}</p>}
      <ul class="lines">
        {due.map((each) => (
          <li key={each.patientId}>
            <Link class="touch" href={patientPage(each.patientId)}>
              <strong>{each.chartNumber}</strong>
            </Link>{' '}
            {say.when[each.when]}
            <div>{keptWords(each)}</div>
            {each.holds > 0 && <div class="caution">{say.held(each.holds)}</div>}
            {each.erasureAsked && <div class="caution">{say.erasureWaits}</div>}
          </li>
        ))}
      </ul>
      {hasNextPage && (
        <button type="button" onClick={() => void fetchNextPage()}>
          {say.more}
        </button>
      )}
      <AllHolds />
    </Sheet>
  );
}

function AllHolds() {
  const { rights: say } = words.value;
  const { data, error } = useQuery({
    queryKey: ['legal-holds'],
    queryFn: () => answered(api.GET('/api/v1/legal-holds')),
  });
  return (
    <>
      <h2>{say.holds}</h2>
      <WentWrong failure={error} />
      {data?.items.length === 0 && <p>{say.noHold}</p>}
      <ul class="lines">
        {data?.items.map((hold) => (
          <HoldLine key={hold.id} hold={hold} />
        ))}
      </ul>
    </>
  );
}

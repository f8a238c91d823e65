/** Long work: what may be asked for, and how far each is, with its result to save. */
import { useInfiniteQuery } from '@tanstack/preact-query';
import { useSearchParams } from 'wouter-preact';
import { answered, api } from '../api.ts';
import { live } from '../live.ts';
import { Choices } from '../parts/fields.tsx';
import { Loading, Sheet, WentWrong } from '../parts/sheet.tsx';
import { may } from '../session/session.ts';
import { words } from '../words/words.ts';
import { AskExport } from './AskExport.tsx';
import { AskImport } from './AskImport.tsx';
import { AskRecalls } from './AskRecalls.tsx';
import { isOpen, WorkLine } from './WorkLine.tsx';

/** Only while nothing is told by itself. */
const ASK_AGAIN_MS = 5_000;

const FORMS = {
  recall_of_many: AskRecalls,
  record_export: AskExport,
  parts_import: AskImport,
};
type Kind = keyof typeof FORMS;

export function WorkPage() {
  const { work: say, pages } = words.value;
  const [address, setAddress] = useSearchParams();
  const mine: Kind[] = [
    'recall_of_many',
    ...(may('auditor', 'administrator') ? (['record_export'] as const) : []),
    ...(may('administrator') ? (['parts_import'] as const) : []),
  ];
  const kind = mine.find((each) => each === address.get('ask')) ?? 'recall_of_many';
  const Form = FORMS[kind];
  const { data, error, refetch, hasNextPage, fetchNextPage } = useInfiniteQuery({
    queryKey: ['long-works'],
    initialPageParam: undefined as string | undefined,
    queryFn: ({ pageParam }) =>
      answered(
        api.GET('/api/v1/long-works', {
          params: {
            query: { limit: 20, ...(pageParam === undefined ? {} : { after: pageParam }) },
          },
        }),
      ),
    getNextPageParam: ({ next }) => next ?? undefined,
    refetchInterval: ({ state }) =>
      live.value !== 'on' && state.data?.pages.some(({ items }) => items.some(isOpen)) === true
        ? ASK_AGAIN_MS
        : false,
  });
  const works = data?.pages.flatMap(({ items }) => items) ?? [];
  return (
    <Sheet title={pages.work}>
      <p>{say.intro}</p>
      {mine.length > 1 && (
        <Choices
          label={say.askFor}
          name="kind"
          of={
            Object.fromEntries(mine.map((each) => [each, say.kinds[each]])) as Record<Kind, string>
          }
          value={kind}
          onChoose={(ask) => setAddress({ ask }, { replace: true })}
        />
      )}
      <Form />
      <h2>{say.asked}</h2>
      <WentWrong failure={error} retry={() => void refetch()} />
      {data === undefined && error === null && <Loading />}
      {data !== undefined && works.length === 0 && <p>{say.none}</p>}
      <ul class="works">
        {works.map((work) => (
          <WorkLine key={work.id} work={work} />
        ))}
      </ul>
      {hasNextPage && (
        <button type="button" onClick={() => void fetchNextPage()}>
          {say.older}
        </button>
      )}
    </Sheet>
  );
}

/** The history of a record, the newest first: when, what with the values before and after, who. */
import { useInfiniteQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import type { SubjectKind } from '../../domain/eventKinds.ts';
import { answered, api, type Schemas } from '../api.ts';
import { Download } from '../parts/download.tsx';
import { useInstantWords } from '../parts/instants.ts';
import { Loading, WentWrong } from '../parts/sheet.tsx';
import { may } from '../session/session.ts';
import { words } from '../words/words.ts';
import { saysNothing, valueWords, type Saying } from './historyValues.ts';

type Entry = Schemas['HistoryEntry'];

const ENTRIES_A_PAGE = 30;

export interface OfRecord {
  readonly subjectKind: SubjectKind;
  readonly subjectId: string;
}

/** Pages of a history; whoever asks for the same is answered by the same question. */
export function useHistory({ subjectKind, subjectId }: OfRecord, looks: 'yes' | 'no') {
  const path = { subjectKind, subjectId };
  return useInfiniteQuery({
    queryKey: ['history', subjectKind, subjectId, looks],
    initialPageParam: undefined as string | undefined,
    // Each asking is noted in the record: nothing is asked again by itself.
    staleTime: Infinity,
    queryFn: ({ pageParam }) => {
      const query = {
        looks,
        limit: ENTRIES_A_PAGE,
        ...(pageParam === undefined ? {} : { after: pageParam }),
      };
      return answered(
        api.GET('/api/v1/history/{subjectKind}/{subjectId}', { params: { path, query } }),
      );
    },
    getNextPageParam: ({ next }) => next ?? undefined,
  });
}

export function HistoryEntries(of: OfRecord) {
  const { audit: say } = words.value;
  const [looks, setLooks] = useState(false);
  const asked = { looks: looks ? 'yes' : 'no' } as const;
  const { data, error, isPending, isFetching, fetchNextPage, hasNextPage, refetch } = useHistory(
    of,
    asked.looks,
  );
  const path = { subjectKind: of.subjectKind, subjectId: of.subjectId };
  const file = { params: { path, query: asked }, parseAs: 'blob' } as const;
  const entries = data?.pages.flatMap(({ items }) => items) ?? [];
  const names = Object.assign({}, ...(data?.pages.map((page) => page.names) ?? [])) as Record<
    string,
    string
  >;
  return (
    <>
      <WentWrong failure={error} retry={() => void refetch()} />
      {may('auditor', 'administrator') && (
        <label class="tick screen">
          <input
            type="checkbox"
            checked={looks}
            onChange={({ currentTarget }) => setLooks(currentTarget.checked)}
          />
          {say.looks}
        </label>
      )}
      {isPending ? (
        <Loading />
      ) : (
        <>
          {entries.length === 0 ? <p>{say.noEntries}</p> : <Table of={entries} names={names} />}
          <p role="status">
            {hasNextPage ? say.entriesSoFar(entries.length) : say.entriesAll(entries.length)}
          </p>
          {hasNextPage && (
            <button type="button" disabled={isFetching} onClick={() => void fetchNextPage()}>
              {say.older}
            </button>
          )}
          <p class="row">
            <Download
              words={say.csv}
              fileName="history.csv"
              read={() =>
                answered(api.GET('/api/v1/history/{subjectKind}/{subjectId}/file.csv', file))
              }
            />
            <Download
              words={say.pdf}
              fileName="history.pdf"
              read={() =>
                answered(api.GET('/api/v1/history/{subjectKind}/{subjectId}/file.pdf', file))
              }
            />
            <Download
              words={say.json}
              fileName="history.json"
              read={() =>
                answered(api.GET('/api/v1/history/{subjectKind}/{subjectId}/file.json', file))
              }
            />
          </p>
        </>
      )}
    </>
  );
}

function Table({
  of,
  names,
}: {
  readonly of: readonly Entry[];
  readonly names: Readonly<Record<string, string>>;
}) {
  const { audit: say } = words.value;
  const at = useInstantWords();
  const saying = { names, instant: at };
  return (
    <table class="stacked history">
      <thead>
        <tr>
          <th>{say.when}</th>
          <th>{say.what}</th>
          <th>{say.who}</th>
        </tr>
      </thead>
      <tbody>
        {of.map((entry) => (
          <tr key={entry.seq}>
            <td data-label={say.when}>
              {at(entry.at)}
              <div class="hint">{say.recordNumber(entry.seq)}</div>
            </td>
            <td data-label={say.what}>
              <What entry={entry} saying={saying} />
            </td>
            <td data-label={say.who}>{entry.by ?? say.theService}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function What({ entry, saying }: { readonly entry: Entry; readonly saying: Saying }) {
  const { audit: say } = words.value;
  const kinds: Readonly<Record<string, string>> = say.eventKinds;
  const facts = entry.facts.filter(({ value }) => !saysNothing(value, saying));
  return (
    <>
      <strong>{kinds[entry.kind] ?? entry.words}</strong>
      {entry.changes.map(({ field, before, after }) => (
        <div key={field} class="change">
          <span class="label">{say.field(field)}</span>{' '}
          <del>
            <span class="aloud">{say.valueBefore} </span>
            {valueWords(before, saying, field)}
          </del>{' '}
          <span aria-hidden="true">→</span>{' '}
          <ins>
            <span class="aloud">{say.valueAfter} </span>
            {valueWords(after, saying, field)}
          </ins>
        </div>
      ))}
      {facts.length > 0 && (
        <div class="said">
          {facts
            .map(({ field, value }) => `${say.field(field)}: ${valueWords(value, saying, field)}`)
            .join(' · ')}
        </div>
      )}
      {entry.withheld.length > 0 && (
        <div class="hint">{say.withheld(entry.withheld.map(say.field).join(', '))}</div>
      )}
    </>
  );
}

/** The trace: one question, its answer as a picture of the ways and as a table, and as files. */
import { keepPreviousData, useInfiniteQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { useSearchParams } from 'wouter-preact';
import type { TraceKey } from '../../domain/trace.ts';
import { answered, api, type Schemas } from '../api.ts';
import { ChangedSince } from '../LiveMark.tsx';
import { Download } from '../parts/download.tsx';
import { SelectField } from '../parts/selectField.tsx';
import { Loading, Sheet, WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { isTraceKey, questionOf } from './traceKeys.ts';
import { TraceRows } from './TraceRows.tsx';
import { TraceSearch } from './TraceSearch.tsx';
import { TraceSubject } from './TraceSubject.tsx';
import { WayDrawing } from './WayDrawing.tsx';
import { waysOf } from './ways.ts';

const ROWS_A_PAGE = 50;

export function TracePage() {
  const { audit: say } = words.value;
  const [address, setAddress] = useSearchParams();
  const by = address.get('by');
  const value = address.get('key') ?? '';
  const asked = isTraceKey(by) && value !== '' ? { by, value } : null;
  const ask = (kind: TraceKey, key: string): void =>
    setAddress(new URLSearchParams({ by: kind, key }));
  return (
    <Sheet title={say.traceTitle}>
      <TraceSearch key={`${by ?? ''} ${value}`} onAsk={ask} />
      {asked !== null && <Answer key={`${asked.by} ${asked.value}`} {...asked} />}
    </Sheet>
  );
}

function Answer({ by, value }: { by: TraceKey; value: string }) {
  const { audit: say } = words.value;
  const question = questionOf(by, value);
  const { data, error, isPending, hasNextPage, isFetching, fetchNextPage, refetch } =
    useInfiniteQuery({
      queryKey: ['trace', by, value],
      initialPageParam: undefined as string | undefined,
      placeholderData: keepPreviousData,
      // Each asking is noted in the record: nothing is asked again by itself.
      staleTime: Infinity,
      queryFn: ({ pageParam }) => {
        const query = {
          ...question,
          limit: ROWS_A_PAGE,
          ...(pageParam === undefined ? {} : { after: pageParam }),
        };
        return answered(api.GET('/api/v1/trace', { params: { query } }));
      },
      getNextPageParam: ({ next }) => next ?? undefined,
    });
  if (error !== null) return <WentWrong failure={error} retry={() => void refetch()} />;
  const [first] = data?.pages ?? [];
  if (isPending || first === undefined) return <Loading />;
  const rows = data.pages.flatMap((page) => page.rows);
  const file = { params: { query: question }, parseAs: 'blob' } as const;
  return (
    <section aria-label={say.answer}>
      <h2>
        {say.keys[by]} {first.asked.value}
      </h2>
      <ChangedSince of={['trace', by, value]} again={refetch} />
      <TraceSubject subject={first.subject} />
      <p class="row">
        <Download
          words={say.csv}
          fileName={`trace-by-${by}.csv`}
          read={() => answered(api.GET('/api/v1/trace.csv', file))}
        />
        <Download
          words={say.pdf}
          fileName={`trace-by-${by}.pdf`}
          read={() => answered(api.GET('/api/v1/trace.pdf', file))}
        />
        <Download
          words={say.json}
          fileName={`trace-by-${by}.json`}
          read={() => answered(api.GET('/api/v1/trace.json', file))}
        />
      </p>
      <Ways rows={rows} chain={first.chain} cut={first.chainCut} />
      <h2>{say.timeline}</h2>
      {rows.length === 0 ? <p>{say.noRows}</p> : <TraceRows rows={rows} />}
      <p role="status">{hasNextPage ? say.rowsSoFar(rows.length) : say.rowsAll(rows.length)}</p>
      {hasNextPage && (
        <button type="button" disabled={isFetching} onClick={() => void fetchNextPage()}>
          {say.more}
        </button>
      )}
    </section>
  );
}

function Ways({
  rows,
  chain,
  cut,
}: {
  readonly rows: readonly Schemas['TraceRow'][];
  readonly chain: Schemas['Trace']['chain'];
  readonly cut: boolean;
}) {
  const { audit: say } = words.value;
  const ways = waysOf(rows, chain);
  const [chosen, setChosen] = useState('');
  const way = ways.find(({ thingId }) => thingId === chosen) ?? ways[0];
  if (way === undefined) return null;
  return (
    <>
      <h2>{say.way}</h2>
      {ways.length > 1 && (
        <SelectField
          label={say.wayOfWhich}
          of={ways.map(({ thingId, thing }) => [thingId, thing] as const)}
          value={way.thingId}
          onChoose={setChosen}
        />
      )}
      {cut && <p class="caution">{say.chainCut}</p>}
      <figure class="drawn">
        <WayDrawing way={way} />
        <figcaption class="hint">{say.wayHint}</figcaption>
      </figure>
    </>
  );
}

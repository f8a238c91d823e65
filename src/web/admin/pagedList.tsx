/** Lists that the service gives page by page. */
import { useInfiniteQuery } from '@tanstack/preact-query';
import { answered } from '../api.ts';
import { words } from '../words/words.ts';

interface PageOf<T> {
  readonly items: T[];
  readonly next?: string | null;
}

/** @param ask for a page; `after` is left out for the first */
export function usePages<T>(
  key: readonly unknown[],
  ask: (query: { limit: number; after?: string }) => Promise<{
    data?: PageOf<T>;
    error?: unknown;
    response: Response;
  }>,
) {
  const query = useInfiniteQuery({
    queryKey: [...key, 'pages'],
    initialPageParam: undefined as string | undefined,
    queryFn: ({ pageParam }) =>
      answered(ask({ limit: 50, ...(pageParam === undefined ? {} : { after: pageParam }) })),
    getNextPageParam: ({ next }) => next ?? undefined,
  });
  return { ...query, lines: query.data?.pages.flatMap(({ items }) => items) ?? [] };
}

export const More = ({
  of,
}: {
  readonly of: { readonly hasNextPage: boolean; readonly fetchNextPage: () => Promise<unknown> };
}) =>
  of.hasNextPage ? (
    <p>
      <button type="button" onClick={() => void of.fetchNextPage()}>
        {words.value.admin.more}
      </button>
    </p>
  ) : null;

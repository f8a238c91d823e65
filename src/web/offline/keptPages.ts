/**
 * Pages of the bench as this person last read them, so that the bench opens without a
 * network. Only what the bench may see, a bounded number, for a bounded time; wiped when the
 * person signs out or another signs in.
 */
import { dehydrate, hydrate, type DehydratedState, type QueryClient } from '@tanstack/preact-query';
import type { Schemas } from '../api.ts';
import { person } from '../session/session.ts';
import { keepPages, keptPages, wipePages } from './phone.ts';

/** How many of each are kept, by the first word of their key: those that were read last. */
const KEPT: Readonly<Record<string, number>> = {
  socket: 12,
  resin: 12,
  'order-at-bench': 12,
  drawing: 12,
  batches: 20,
  'shop-tools': 4,
  'free-items': 20,
  part: 20,
  places: 1,
  'bench-people': 1,
  clinic: 1,
  'resin-products': 1,
};
const KEPT_MS = 72 * 3_600_000;
const WRITE_AFTER_MS = 300;

type Kept = DehydratedState['queries'][number];

const kindOf = ({ queryKey }: Pick<Kept, 'queryKey'>): string => String(queryKey[0]);

/** Of an order the bench needs its stage and its sockets; who it is for stays with the service. */
export const orderAtBench = ({ id, number, stage, holdReason, sockets }: Schemas['Order']) => ({
  id,
  number,
  stage,
  holdReason,
  sockets,
});
export type OrderAtBench = ReturnType<typeof orderAtBench>;

/** What of the pages is kept, the newest of each kind. */
export function boundedPages(queries: readonly Kept[], nowMs: number): Kept[] {
  const newest = [...queries].sort((a, b) => b.state.dataUpdatedAt - a.state.dataUpdatedAt);
  const counted = new Map<string, number>();
  return newest.filter((query) => {
    const kind = kindOf(query);
    const before = counted.get(kind) ?? 0;
    if (before >= (KEPT[kind] ?? 0) || nowMs - query.state.dataUpdatedAt > KEPT_MS) return false;
    counted.set(kind, before + 1);
    return true;
  });
}

/** Puts what was kept for a person into the client; what it has already is newer and stays. */
export async function restorePages(queries: QueryClient, personId: string): Promise<void> {
  const kept = await keptPages(personId).catch(() => undefined);
  if (kept === undefined || Date.now() - kept.atMs > KEPT_MS) return;
  const state = kept.state as DehydratedState;
  hydrate(queries, { ...state, queries: boundedPages(state.queries, Date.now()) });
  // However young it is, it is asked for again as soon as it is shown.
  await queries.invalidateQueries({ refetchType: 'none' });
}

/** Keeps the pages of the bench whenever they change, for whoever works there. */
export function keepPagesOf(queries: QueryClient): void {
  // Nor are they thrown out of memory while nobody looks at them.
  for (const kind of Object.keys(KEPT)) queries.setQueryDefaults([kind], { gcTime: KEPT_MS });
  let timer: ReturnType<typeof setTimeout> | undefined;
  addEventListener('pagehide', () => void write(queries).catch(() => undefined));
  queries.getQueryCache().subscribe(({ type, query }) => {
    if (type !== 'updated' || !(kindOf(query) in KEPT) || timer !== undefined) return;
    timer = setTimeout(() => {
      timer = undefined;
      void write(queries).catch(() => undefined);
    }, WRITE_AFTER_MS);
  });
}

async function write(queries: QueryClient): Promise<void> {
  const who = person.value;
  if (!who?.roles.some((role) => role === 'technician' || role === 'prosthetist')) return;
  const state = dehydrate(queries, {
    shouldDehydrateQuery: (query) =>
      query.state.status !== 'pending' && query.state.data !== undefined && kindOf(query) in KEPT,
    shouldDehydrateMutation: () => false,
  });
  const bounded = boundedPages(state.queries, Date.now()).map((query) => ({
    ...query,
    promise: undefined,
    // What failed last was read before: it is kept as it was then.
    state: { ...query.state, status: 'success', error: null, fetchFailureReason: null },
  }));
  await keepPages({
    personId: who.id,
    atMs: Date.now(),
    state: JSON.parse(JSON.stringify({ mutations: [], queries: bounded })),
  });
}

/** When somebody signs in: what was kept of others goes. When nobody is: all of it. */
export const wipePagesOfOthers = (personId: string | null): Promise<void> =>
  wipePages(personId).catch(() => undefined);

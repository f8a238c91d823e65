/** Keeps the clinic's zone at hand from whatever part of the client has read the clinic. */
import { hashKey, type QueryClient } from '@tanstack/preact-query';
import { effect } from '@preact/signals';
import { answered, api } from './api.ts';
import { person } from './session/session.ts';
import { clinicZone } from './words/zone.ts';

const CLINIC = ['clinic'];

const zoneOf = (data: unknown): string | undefined =>
  typeof data === 'object' &&
  data !== null &&
  'timeZone' in data &&
  typeof data.timeZone === 'string'
    ? data.timeZone
    : undefined;

export function followZone(queries: QueryClient): void {
  queries.getQueryCache().subscribe(({ query }) => {
    if (query.queryHash === hashKey(CLINIC)) {
      clinicZone.value = zoneOf(query.state.data) ?? clinicZone.value;
    }
  });
  effect(() => {
    if (person.value == null) return;
    // Without it instants are said in UTC, which they then name.
    queries
      .query({
        queryKey: CLINIC,
        queryFn: () => answered(api.GET('/api/v1/clinic')),
        staleTime: 600_000,
      })
      .catch(() => undefined);
  });
}

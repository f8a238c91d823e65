/** Instants in the clinic's zone (R16). */
import { useQuery } from '@tanstack/preact-query';
import { answered, api } from '../api.ts';
import { locale } from '../words/words.ts';

/** Says an RFC 3339 instant as `Mon, 2 Mar 2026, 10:00`; in UTC, and saying so, until the zone is known. */
export function useInstantWords(): (instant: string) => string {
  const { data } = useQuery({
    queryKey: ['clinic'],
    queryFn: () => answered(api.GET('/api/v1/clinic')),
    staleTime: 600_000,
  });
  const zone = data?.timeZone;
  const written = new Intl.DateTimeFormat(locale.value, {
    weekday: 'short',
    day: 'numeric',
    month: 'short',
    year: 'numeric',
    hour: '2-digit',
    minute: '2-digit',
    timeZone: zone ?? 'UTC',
    ...(zone === undefined ? { timeZoneName: 'short' } : {}),
  });
  return (instant) => written.format(new Date(instant));
}

/** Says the clinic's day of an RFC 3339 instant as `Mon, 2 Mar`; empty until the zone is known. */
export function useShortDayWords(): (instant: string) => string {
  const { data } = useQuery({
    queryKey: ['clinic'],
    queryFn: () => answered(api.GET('/api/v1/clinic')),
    staleTime: 600_000,
  });
  if (data === undefined) return () => '';
  const written = new Intl.DateTimeFormat(locale.value, {
    weekday: 'short',
    day: 'numeric',
    month: 'short',
    timeZone: data.timeZone,
  });
  return (instant) => written.format(new Date(instant));
}

/** Today at the clinic, `YYYY-MM-DD`; undefined until its zone is known. */
export function useTodayAtClinic(): string | undefined {
  const { data } = useQuery({
    queryKey: ['clinic'],
    queryFn: () => answered(api.GET('/api/v1/clinic')),
    staleTime: 600_000,
  });
  if (data === undefined) return undefined;
  return new Intl.DateTimeFormat('sv-SE', { timeZone: data.timeZone }).format(new Date());
}

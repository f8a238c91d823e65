import { useQuery } from '@tanstack/preact-query';
import { answered, api, type Schemas } from '../api.ts';

/** Whom a patient can come to; none until they are known. */
export function useProsthetists(): Schemas['Prosthetists']['items'] {
  const { data } = useQuery({
    queryKey: ['prosthetists'],
    queryFn: () => answered(api.GET('/api/v1/prosthetists')),
    staleTime: 600_000,
  });
  return data?.items ?? [];
}

/** What follows an act that was done. */
import { useQueryClient } from '@tanstack/preact-query';

/** After an act anything may read otherwise: what is shown is read again. */
export function useReadAgain(): () => Promise<void> {
  const queries = useQueryClient();
  return () => queries.invalidateQueries();
}

/** The header that does an act once (R13). */
export const once = (key: string): { readonly 'idempotency-key': string } => ({
  'idempotency-key': key,
});

/** What was not chosen is sent as nothing; the service says what is missing. */
export const asChosen = <T>(chosen: T | undefined): T => chosen as T;

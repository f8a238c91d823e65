/** Amounts of the clinic's currency. */
import { useQuery } from '@tanstack/preact-query';
import { answered, api } from '../api.ts';
import { steady } from '../words/figures.ts';

export interface Currency {
  readonly code: string;
  /** Figures behind the point. */
  readonly decimals: number;
}

/** How many figures a currency has behind its point; two where it is none that is known. */
export function decimalsOf(currency: string): number {
  try {
    const { maximumFractionDigits = 2 } = new Intl.NumberFormat('en-GB', {
      style: 'currency',
      currency,
    }).resolvedOptions();
    return maximumFractionDigits;
  } catch {
    return 2;
  }
}

/** The clinic's currency; null where it counts no money, undefined until it is known. */
export function useCurrency(): Currency | null | undefined {
  const { data } = useQuery({
    queryKey: ['clinic'],
    queryFn: () => answered(api.GET('/api/v1/clinic')),
    staleTime: 600_000,
  });
  if (data === undefined) return undefined;
  return data.currency === null
    ? null
    : { code: data.currency, decimals: decimalsOf(data.currency) };
}

/** An amount in whole minor units, as it is read. */
export const amountWords = (minor: number, { code, decimals }: Currency): string =>
  `${steady(minor / 10 ** decimals, decimals)} ${code}`;

import { entry } from './reason.ts';

/** Refusals about money (C7). */
export const COST_REASONS = {
  'prices-without-currency': entry<Record<string, never>>({
    rule: null,
    kind: 'invalid',
    title: 'Money needs its currency',
    words: () => 'The clinic counts money, and no currency is set.',
    wayOut: () => 'Set the currency by its ISO 4217 code, such as EUR.',
  }),
  'currency-in-use': entry<{ currency: string; kept: readonly string[] }>({
    rule: null,
    kind: 'conflict',
    title: 'Money is kept in this currency',
    words: (f) =>
      `Kept in ${f.currency}: ${f.kept.join(', ')}. In another currency they would be other amounts.`,
    wayOut: () =>
      'Keep the currency; or take the prices of batches and pieces back first (priceMinor: null), and send the labour rate along with the new currency.',
  }),
  'money-not-whole': entry<{ what: string; amountMinor: number }>({
    rule: null,
    kind: 'invalid',
    title: 'Money in parts of its smallest unit',
    words: (f) => `${f.what}: ${f.amountMinor} is not a whole number of the smallest unit.`,
    wayOut: () => 'Enter whole cents (or whatever the smallest unit of the currency is).',
  }),
};

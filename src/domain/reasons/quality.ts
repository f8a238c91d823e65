import { entry } from './reason.ts';

/** Refusals about quality figures (C8). */
export const QUALITY_REASONS = {
  'too-few-to-chart': entry<{ orders: number }>({
    rule: null,
    kind: 'rule',
    title: 'Too few values for a chart',
    words: (f) => `${f.orders} orders were delivered in these days; a chart needs two.`,
    wayOut: () => 'Ask for a longer time.',
  }),
  'quality-by-person-not-allowed': entry<Record<never, never>>({
    rule: null,
    kind: 'forbidden',
    title: 'This clinic does not show figures by person',
    words: () => 'The clinic has not allowed quality figures by technician.',
    wayOut: () =>
      'Ask for them by month or by cause; an administrator can allow it for the clinic.',
  }),
};

import { entry } from './reason.ts';

/** Refusals and warnings about the work calendar and promised dates (C5). */
export const DATE_REASONS = {
  'calendar-impossible': entry<{ what: string }>({
    rule: null,
    kind: 'invalid',
    title: 'The work calendar cannot be right',
    words: (f) => `${f.what}.`,
    wayOut: () =>
      'Give each weekday its opening hours in order, at least one of them open, and each closed day once.',
  }),
  'work-to-plan-impossible': entry<{ order: string; bench: string; why: string }>({
    rule: null,
    kind: 'invalid',
    title: 'This work cannot be planned',
    words: (f) => `${f.order} at bench ${f.bench}: ${f.why}.`,
    wayOut: () => 'Give minutes from 0 up, and a last day that is not before the first.',
  }),
};

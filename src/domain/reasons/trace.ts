import { entry } from './reason.ts';

/** Refusals about asking the trace and running a recall. */
export const TRACE_REASONS = {
  'trace-needs-one-key': entry<{ keys: readonly string[]; given: readonly string[] }>({
    rule: null,
    kind: 'invalid',
    title: 'The question needs exactly one key',
    words: (f) =>
      f.given.length === 0
        ? `Nothing was asked for; the keys are ${f.keys.join(', ')}.`
        : `Asked by ${f.given.join(' and ')} at once.`,
    wayOut: (f) => `Ask by one of ${f.keys.join(', ')}.`,
  }),
  'trace-key-not-yours': entry<{ by: string; roles: readonly string[] }>({
    rule: null,
    kind: 'forbidden',
    title: 'Your role does not ask the trace by this',
    words: (f) => `Asking by ${f.by} is for: ${f.roles.join(', ')}.`,
    wayOut: () =>
      'Ask by what your work is about (the bench by things, the front desk by patient or order), or ask somebody with such a role.',
  }),
  'recall-lot-of-several-parts': entry<{ lot: string; parts: readonly string[] }>({
    rule: null,
    kind: 'rule',
    title: 'Several parts have this lot',
    words: (f) => `Lot ${f.lot} is on pieces of ${f.parts.join(', ')}.`,
    wayOut: () => 'Name the part that is recalled, by its partId.',
  }),
  'recall-lot-of-several-batches': entry<{ lot: string; batches: readonly string[] }>({
    rule: null,
    kind: 'rule',
    title: 'Several batches have this lot',
    words: (f) => `Lot ${f.lot} is on ${f.batches.join(', ')}.`,
    wayOut: () => 'Name the batch that is recalled, by its id.',
  }),
  'recall-too-large': entry<{ pieces: number; limit: number }>({
    rule: null,
    kind: 'rule',
    title: 'The lot is too large for one answer',
    words: (f) => `The lot has ${f.pieces} pieces; one answer holds ${f.limit}.`,
    wayOut: () => 'Name the part as well, so that the lot is asked part by part.',
  }),
};

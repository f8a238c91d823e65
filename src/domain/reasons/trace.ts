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
  'trace-person-not-you': entry<Record<never, never>>({
    rule: null,
    kind: 'forbidden',
    title: 'Another person’s work is for the auditor',
    words: () => 'A prosthetist asks by person about the own work only.',
    wayOut: () => 'Ask by order, socket or tool, or ask the auditor.',
  }),
  'history-not-yours': entry<Record<never, never>>({
    rule: null,
    kind: 'forbidden',
    title: 'Another person’s history is for auditor and administrator',
    words: () =>
      'Everybody reads the own history; another person’s is for auditor and administrator.',
    wayOut: () => 'Ask the auditor or the administrator.',
  }),
  'recall-not-a-wearer': entry<{ socket: string }>({
    rule: null,
    kind: 'rule',
    title: 'Nobody wears it there now',
    words: (f) => `Socket ${f.socket} is not worn, or holds nothing of what is recalled.`,
    wayOut: () => 'Ask the recall again and take the call from its list.',
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

import { entry } from './reason.ts';

/** Refusals about labels and papers. */
export const PAPERS_REASONS = {
  'label-size-impossible': entry<{ value: number; least: number; greatest: number }>({
    rule: null,
    kind: 'rule',
    title: 'No label can have this size',
    words: (f) => `It is ${f.value} mm; it can be ${f.least} to ${f.greatest} mm.`,
    wayOut: () =>
      'Measure the stock. On a smaller label the code cannot be read at the bench: take larger ones.',
  }),
  'socket-not-delivered': entry<{ socket: string }>({
    rule: 'R8',
    kind: 'rule',
    title: 'Not delivered yet',
    words: (f) =>
      `Socket ${f.socket} has no signed delivery: there is nothing to put on this paper.`,
    wayOut: () => 'Deliver it first; the delivery gate says what is missing.',
  }),
  'scan-not-ours': entry<{ scanned: string }>({
    rule: null,
    kind: 'invalid',
    title: 'No code of this house',
    words: (f) => `“${f.scanned}” is no code of an order, a socket or a bin.`,
    wayOut: () => 'Scan the label or the traveller again, or type the number that stands on it.',
  }),
};

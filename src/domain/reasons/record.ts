import { entry } from './reason.ts';

/** Refusals about the signed heads of the record, and proofs under them. */
export const RECORD_REASONS = {
  'signed-head-unfit': entry<{ field: string }>({
    rule: 'R11',
    kind: 'conflict',
    title: 'The head does not follow',
    words: (f) => `A signed head says of the record what is not so, in ${f.field}.`,
    wayOut: () =>
      'Ask again: another may have been signed meanwhile. If it stays, tell whoever runs the service.',
  }),
  'signing-key-unfit': entry<{ field: string }>({
    rule: 'R11',
    kind: 'conflict',
    title: 'The key does not follow',
    words: (f) => `A signing key does not follow the clinic’s newest, in ${f.field}.`,
    wayOut: () => 'Rotate from the newest key, as the head of scripts/rotate-signing-key.ts says.',
  }),
  'signing-key-replaced': entry<{ keyId: string; newest: string }>({
    rule: 'R11',
    kind: 'conflict',
    title: 'The service signs with a key that is not the newest',
    words: (f) => `The service holds key ${f.keyId}; the record’s newest is ${f.newest}.`,
    wayOut: () =>
      'Whoever runs the service gives it the newest key, or brings its key in by a rotation.',
  }),
  'head-signing-off': entry<Record<never, never>>({
    rule: 'R11',
    kind: 'conflict',
    title: 'The service has no signing key',
    words: () => 'No head of the record can be signed: the service was started without a key.',
    wayOut: () => 'Whoever runs the service gives it HEAD_SIGNING_KEY, as the README says.',
  }),
  'record-empty': entry<Record<never, never>>({
    rule: 'R11',
    kind: 'conflict',
    title: 'Nothing is recorded yet',
    words: () => 'The record holds no event yet; there is nothing to sign.',
    wayOut: () => 'Sign after the first act.',
  }),
  'record-tree-behind': entry<{ events: number }>({
    rule: 'R11',
    kind: 'conflict',
    title: 'The record’s tree is still being made',
    words: (f) => `The tree holds ${f.events} events so far; the rest is being put in.`,
    wayOut: () => 'Ask again in some minutes: the daily signing makes the tree.',
  }),
  'record-tree-damaged': entry<{ treeSize: number }>({
    rule: 'R11',
    kind: 'conflict',
    title: 'The record does not fit a head that was signed',
    words: (f) =>
      `The first ${f.treeSize} events, or the nodes kept over them, are not those that were signed.`,
    wayOut: () =>
      'Save an export and verify it away from the service. If it is well, the kept nodes are made again by scripts/merkle-nodes.ts.',
  }),
  'event-not-under-head': entry<{ seq: number; treeSize: number }>({
    rule: 'R11',
    kind: 'conflict',
    title: 'The head does not reach so far',
    words: (f) => `Event ${f.seq} came after this head, which covers ${f.treeSize} events.`,
    wayOut: () => 'Take a later head, or have one signed now.',
  }),
  'head-is-no-earlier-one': entry<{ number: number; from: number }>({
    rule: 'R11',
    kind: 'conflict',
    title: 'Asked from a later head back to an earlier one',
    words: (f) => `Head ${f.from} came after head ${f.number}: a head holds what came before it.`,
    wayOut: () => 'Ask the later head, from the earlier one.',
  }),
};

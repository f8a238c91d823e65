import { entry } from './reason.ts';

/** Refusals about values that are kept encrypted: the service cannot say them. */
export const COLUMN_KEY_REASONS = {
  'column-key-missing': entry<{ keyId: string }>({
    rule: null,
    kind: 'conflict',
    title: 'A key of the record is missing',
    words: (f) =>
      f.keyId === ''
        ? 'This service was started without the keys that keep contact data unreadable to others.'
        : `What was asked is kept under the key “${f.keyId}”, which this service was not given. Nothing was written.`,
    wayOut: () =>
      'Tell whoever runs the service: it is to be started again with this key in its list.',
  }),
  'column-value-broken': entry<Record<never, never>>({
    rule: null,
    kind: 'conflict',
    title: 'A kept value does not open',
    words: () =>
      'A value that is kept encrypted was changed, or moved from where it belongs, by something else than this service. Nothing was written.',
    wayOut: () =>
      'Tell the administrator: the log names the place, and a backup from before has the value.',
  }),
};

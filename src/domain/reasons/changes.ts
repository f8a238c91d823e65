import { entry } from './reason.ts';

/** Refusals about live updates. */
export const CHANGE_REASONS = {
  'too-many-live-streams': entry<{ limit: number; retryAfterS: number }>({
    rule: null,
    kind: 'conflict',
    title: 'Too many live updates at once',
    words: (f) => `You have ${f.limit} pages open that are kept up to date; that is the limit.`,
    wayOut: () => 'Close one of them; the others go on. Without live updates, read a page again.',
  }),
};

import { figure } from './figures.ts';
import { entry } from './reason.ts';

/** Refusals about the functional check of a lock (R7). */
export const LOCK_CHECK_REASONS = {
  'lock-check-too-few-clicks': entry<{ cycle: number; clicks: number; minClicks: number }>({
    rule: 'R7',
    kind: 'rule',
    title: 'Too few clicks of the pin',
    words: (f) => `Cycle ${f.cycle}: ${f.clicks} clicks; lock and pin ask for ${f.minClicks}.`,
    wayOut: () =>
      'The check is kept. Look for resin or debris in the lock and the length of the pin, then check again.',
  }),
  'lock-check-not-held': entry<{ cycle: number; pullN: number | null }>({
    rule: 'R7',
    kind: 'rule',
    title: 'The lock did not hold under pull',
    words: (f) =>
      f.pullN === null
        ? `Cycle ${f.cycle}: the pin came out under pull.`
        : `Cycle ${f.cycle}: the pin came out under a pull of ${figure(f.pullN)} N.`,
    wayOut: () =>
      'The check is kept. Quarantine lock and pin and find the cause before any fitting.',
  }),
  'lock-check-not-released': entry<{ cycle: number }>({
    rule: 'R7',
    kind: 'rule',
    title: 'The button did not release the pin',
    words: (f) => `Cycle ${f.cycle}: the button did not release the pin.`,
    wayOut: () => 'The check is kept. Free the button or the release valve, then check again.',
  }),
  'lock-check-too-few-cycles': entry<{ cycles: number; cyclesRequired: number }>({
    rule: 'R7',
    kind: 'rule',
    title: 'The lock check was not repeated often enough',
    words: (f) => `${f.cycles} of ${f.cyclesRequired} cycles were recorded.`,
    wayOut: () => 'The check is kept. Check again with every cycle in one record.',
  }),
  'lock-check-empty': entry<{ cyclesRequired: number }>({
    rule: 'R7',
    kind: 'invalid',
    title: 'Lock check without a cycle',
    words: (f) => `No cycle was given; ${f.cyclesRequired} are asked for.`,
    wayOut: () => 'Put the pin in, count the clicks, pull, release, and enter each cycle.',
  }),
  'lock-check-count-impossible': entry<{ cycle: number; clicks: number }>({
    rule: 'R7',
    kind: 'invalid',
    title: 'Clicks are whole numbers',
    words: (f) => `Cycle ${f.cycle}: ${f.clicks} clicks cannot be counted.`,
    wayOut: () => 'Enter the clicks heard, from 0 up.',
  }),
  'lock-check-pull-impossible': entry<{ cycle: number; pullN: number }>({
    rule: 'R7',
    kind: 'invalid',
    title: 'A pull is more than nothing',
    words: (f) => `Cycle ${f.cycle}: a pull of ${f.pullN} N is none.`,
    wayOut: () => 'Enter the pull shown by the scale in newtons, or leave it out.',
  }),
};

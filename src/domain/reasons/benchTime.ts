import { figure } from './figures.ts';
import { entry } from './reason.ts';

/** Refusals of what was recorded at the bench and arrives later (R2, R4, R7, R13). */
export const BENCH_TIME_REASONS = {
  'recorded-in-future': entry<{ minutesAhead: number }>({
    rule: null,
    kind: 'invalid',
    title: 'Recorded in the future',
    words: (f) =>
      `By the time sent with it this is recorded ${figure(f.minutesAhead, 0)} min from now.`,
    wayOut: () => 'Set the clock of the phone, and record it again.',
  }),
  'recorded-long-ago': entry<{ hoursAgo: number; greatestHours: number }>({
    rule: null,
    kind: 'rule',
    title: 'Recorded too long ago',
    words: (f) =>
      `This was recorded ${figure(f.hoursAgo, 0)} h ago; what was kept is taken for ${f.greatestHours} h.`,
    wayOut: () =>
      'Look at the work as it is now and do it again; what was done then, a finding can tell.',
  }),
  'moved-since-recorded': entry<{
    item: string;
    movedBy: string;
    movedAt: string;
    recordedAt: string;
  }>({
    rule: 'R4',
    kind: 'conflict',
    title: 'Something was moved that this record did not know of',
    words: (f) =>
      `${f.item} was moved by ${f.movedBy} (${f.movedAt}); the record of ${f.recordedAt} did not know of it.`,
    wayOut: () => 'What was torqued or checked may have been apart since: do it again.',
  }),
  'evidence-newer': entry<{ what: string; by: string; at: string; recordedAt: string }>({
    rule: 'R4',
    kind: 'conflict',
    title: 'There is a newer record of the same',
    words: (f) =>
      `The ${f.what.replaceAll('_', ' ')} has a record by ${f.by} of ${f.at}; this one is of ${f.recordedAt}.`,
    wayOut: () => 'The newer one counts. Look how it stands now, and do it again if it must be.',
  }),
  'thing-moved-since': entry<{
    item: string;
    movedBy: string;
    movedAt: string;
    recordedAt: string;
  }>({
    rule: 'R2',
    kind: 'conflict',
    title: 'The item was moved after this was recorded',
    words: (f) =>
      `${f.item} was moved by ${f.movedBy} (${f.movedAt}), after this was recorded (${f.recordedAt}).`,
    wayOut: () => 'See where it is now, and record the move from there if it still is to move.',
  }),
  'recorded-since': entry<{ what: string; by: string; at: string }>({
    rule: null,
    kind: 'conflict',
    title: 'Somebody recorded it meanwhile',
    words: (f) => `${f.what} was recorded by ${f.by} (${f.at}); this record did not know of it.`,
    wayOut: () => 'See what is on record now, and record yours again if it still stands.',
  }),
};

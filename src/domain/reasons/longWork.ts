import { entry } from './reason.ts';

/** Refusals about long work and about lists and files that are given to it. */
export const LONG_WORK_REASONS = {
  'long-work-not-done': entry<{ state: string }>({
    rule: null,
    kind: 'conflict',
    title: 'The result is not there',
    words: (f) => `This work is ${f.state}; only work that is done has a result.`,
    wayOut: () => 'Wait until it is done, or ask for it again.',
  }),
  'long-work-not-yours': entry<Record<never, never>>({
    rule: null,
    kind: 'forbidden',
    title: 'Not yours to hand out',
    words: () => 'A patient’s whole record is handed out by whoever asked for it.',
    wayOut: () => 'Ask for it yourself, with the reason; that stands in the record.',
  }),
  'long-work-has-ended': entry<{ state: string }>({
    rule: null,
    kind: 'conflict',
    title: 'The work has ended',
    words: (f) => `This work is ${f.state} already; there is nothing to cancel.`,
    wayOut: () => 'Nothing to do.',
  }),
  'long-work-too-many': entry<{ open: number; limit: number }>({
    rule: null,
    kind: 'conflict',
    title: 'Too many works are waiting',
    words: (f) => `You have ${f.open} works waiting or under way; ${f.limit} is the limit.`,
    wayOut: () => 'Wait until one is done, or cancel one.',
  }),
  'long-work-gave-up': entry<{ times: number }>({
    rule: null,
    kind: 'conflict',
    title: 'The work was given up',
    words: (f) =>
      `It was begun ${f.times} times, and each time the service ended before it was done.`,
    wayOut: () => 'Tell the administrator; the log says how the service ended. Then ask again.',
  }),
  'long-work-asker-may-not': entry<{ name: string }>({
    rule: null,
    kind: 'forbidden',
    title: 'Who asked for it may not any more',
    words: (f) => `${f.name} asked for this, and has no longer the role for it.`,
    wayOut: () => 'Somebody who may asks again.',
  }),
  'import-not-csv': entry<{ line: number; why: string }>({
    rule: null,
    kind: 'invalid',
    title: 'The text is not CSV',
    words: (f) => `Line ${f.line} cannot be read: ${f.why}.`,
    wayOut: () =>
      'Save the table as CSV with commas, and quotes around what holds a comma or a line end (RFC 4180).',
  }),
  'import-columns-wrong': entry<{
    unknown: readonly string[];
    missing: readonly string[];
    columns: readonly string[];
  }>({
    rule: null,
    kind: 'invalid',
    title: 'The columns are not those of parts',
    words: (f) =>
      [
        f.unknown.length === 0 ? '' : `No column is called ${f.unknown.join(', ')}. `,
        f.missing.length === 0 ? '' : `There is no column ${f.missing.join(', ')}. `,
        'The first line names the columns, each once.',
      ].join(''),
    wayOut: (f) => `Name columns from these: ${f.columns.join(', ')}.`,
  }),
  'import-length-wrong': entry<{ lines: number; limit: number }>({
    rule: null,
    kind: 'invalid',
    title: 'Too many lines, or none',
    words: (f) => `The file has ${f.lines} lines under the first; it may have 1 to ${f.limit}.`,
    wayOut: () => 'Cut the file, and send its parts one after the other.',
  }),
  'import-line-twice': entry<{ field: string; value: string; firstLine: number }>({
    rule: null,
    kind: 'invalid',
    title: 'Two lines of the file say the same',
    words: (f) => `Line ${f.firstLine} has ${f.field} ${f.value} already.`,
    wayOut: () => 'Leave one of the two lines out, or correct the number.',
  }),
};

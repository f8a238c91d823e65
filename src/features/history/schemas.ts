/** The history of a record on the wire. */
import { z } from 'zod';
import { SUBJECT_KINDS } from '../../domain/eventKinds.ts';
import { instantOut, uuid } from '../../http/fields.ts';
import { pageOf, pageQuery } from '../../http/paging.ts';

export const HistoryOf = z.strictObject({
  subjectKind: z.enum(SUBJECT_KINDS).describe('What kind of record it is.'),
  subjectId: uuid().describe('Its id.'),
});
export type HistoryOf = z.output<typeof HistoryOf>;

const looks = z
  .enum(['yes', 'no'])
  .default('no')
  .describe(
    'Whether it is also told who looked the record up; auditor and administrator may ask for it.',
  );

export const HistoryQuery = z.strictObject({ ...pageQuery, looks });
export type HistoryQuery = z.output<typeof HistoryQuery>;
export const HistoryFileQuery = z.strictObject({ looks });

const value = z
  .unknown()
  .describe(
    'As it was written; null where there was none; `{ "erased": id }` where that erasure took it.',
  );

export const HistoryEntry = z
  .object({
    seq: z.int().describe('Number of the event in the clinic’s record.'),
    at: instantOut(),
    by: z.string().nullable().describe('Printed name; null where the service itself did it.'),
    kind: z.string().describe('What happened: `order.changed`.'),
    words: z.string().describe('The same in words.'),
    subjectKind: z.string(),
    subjectId: z.string(),
    orderId: z.string().nullable(),
    changes: z
      .array(z.object({ field: z.string(), before: value, after: value }))
      .describe('Each field that changed, with its value before and after.'),
    facts: z.array(z.object({ field: z.string(), value })).describe('What else the event says.'),
    withheld: z.array(z.string()).describe('Fields whose values the reader’s role does not see.'),
  })
  .meta({ id: 'HistoryEntry' });
export type HistoryEntry = z.input<typeof HistoryEntry>;

export const HistoryView = pageOf(HistoryEntry)
  .extend({
    subject: z.object({
      kind: z.enum(SUBJECT_KINDS),
      id: z.string(),
      name: z.string().nullable().describe('What people call it, where it has a name.'),
    }),
    names: z
      .record(z.string(), z.string())
      .describe('What people call the things whose ids stand in the entries.'),
  })
  .meta({ id: 'History' });
export type HistoryView = z.input<typeof HistoryView>;

import { z } from 'zod';
import { LONG_WORK_KINDS, LONG_WORK_STATES } from '../../domain/longWork.ts';
import { instantOut, note, text, uuid } from '../../http/fields.ts';
import { pageOf, pageQuery } from '../../http/paging.ts';
import { ReasonView } from '../../http/reasonView.ts';
import { MOST_LINES, PART_COLUMNS } from './partsCsv.ts';

/** Entries of one list. Common practice, no source. */
export const MOST_ENTRIES = 500;

export const AskLongWork = z
  .discriminatedUnion('kind', [
    z.strictObject({
      kind: z.literal('recall_of_many'),
      of: z.enum(['lot', 'batch']).describe('What the list names: lots of hardware, or batches.'),
      list: z
        .array(text(120))
        .min(1)
        .max(MOST_ENTRIES)
        .describe('One lot or batch an entry; one that comes again is asked once.'),
    }),
    z.strictObject({
      kind: z.literal('record_export'),
      orderId: uuid().optional().describe("Left out: the clinic's whole record."),
    }),
    z.strictObject({
      kind: z.literal('parts_import'),
      csv: z
        .string()
        .min(1)
        .max(900_000)
        .describe(
          `RFC 4180: a first line of columns, then 1 to ${MOST_LINES} parts. Columns: ${PART_COLUMNS.join(', ')}. yes or no for singleUse, figures with a point; an empty cell is left out.`,
        ),
      enter: z
        .boolean()
        .describe(
          'False: look at every line only. True: enter all, where nothing is wrong in any.',
        ),
    }),
    z.strictObject({
      kind: z.literal('patient_export'),
      patientId: uuid(),
      reason: note(500).describe('Why it is handed out.'),
      handedTo: text(200).describe(
        'To whom it is handed: the patient, or who acts for the patient.',
      ),
    }),
  ])
  .meta({ id: 'AskLongWork' });
export type AskLongWork = z.output<typeof AskLongWork>;

export const LongWorkView = z
  .object({
    id: uuid(),
    kind: z.enum(LONG_WORK_KINDS),
    askedAt: instantOut(),
    askedBy: z.object({ id: uuid(), printedName: z.string() }),
    askedCount: z.int().nullable().describe('Entries of the list, or lines of the file.'),
    orderNumber: z
      .string()
      .nullable()
      .describe('Of an export; null where it is of the whole clinic.'),
    chartNumber: z.string().nullable().describe('Of a patient’s whole record: whose it is.'),
    enters: z.boolean().nullable().describe('Of an import: whether it enters what it finds right.'),
    state: z.enum(LONG_WORK_STATES),
    total: z.int().nullable().describe('Null until it is known.'),
    done: z.int(),
    summary: z
      .record(z.string(), z.number())
      .nullable()
      .describe('What came of it, in figures, each under its name.'),
    failure: ReasonView.nullable().describe('Why it failed.'),
    startedAt: instantOut().nullable(),
    endedAt: instantOut().nullable(),
    cancelledAt: instantOut()
      .nullable()
      .describe('When it was told to stop; it ends before its next step.'),
    cancelledBy: z.string().nullable(),
  })
  .meta({ id: 'LongWork' });
export type LongWorkView = z.input<typeof LongWorkView>;
export const LongWorkPage = pageOf(LongWorkView).meta({ id: 'LongWorkPage' });

export const LongWorkQuery = z.strictObject(pageQuery);
export type LongWorkQuery = z.output<typeof LongWorkQuery>;

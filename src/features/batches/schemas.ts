import { z } from 'zod';
import { BATCH_KINDS, BATCH_UNITS } from '../../domain/words.ts';
import { day, instantOut, note, text, uuid, version } from '../../http/fields.ts';
import { pageOf, pageQuery } from '../../http/paging.ts';

const kind = z.enum(BATCH_KINDS);
const entry = {
  kind,
  name: text(120).describe('What it is, in words of the clinic.'),
  lot: text(60).describe('As on the container; once for a kind.'),
  receivedOn: day(),
  quantity: z.number().gt(0).max(1_000_000).describe('What came, in `unit`.'),
  unit: z.enum(BATCH_UNITS).describe('g grams, mL millilitres, m metres.'),
};

export const BatchToAdd = z
  .strictObject({ ...entry, expiresOn: day().optional() })
  .meta({ id: 'BatchToAdd' });
export type BatchToAdd = z.output<typeof BatchToAdd>;

const batch = {
  id: uuid(),
  ...entry,
  expiresOn: day().nullable().describe('The last day on which it may be used.'),
  openedOn: day().nullable(),
  left: z.number().describe('What is left by the book, in `unit`.'),
  expired: z.boolean(),
  quarantined: z.boolean(),
  quarantineReason: z.string().nullable(),
  version: version(),
};
export const BatchView = z.object(batch).meta({ id: 'Batch' });
export type BatchView = z.input<typeof BatchView>;
export const BatchPage = pageOf(BatchView).meta({ id: 'BatchPage' });

export const BatchWithUses = z
  .object({
    ...batch,
    uses: z.array(
      z.object({
        id: uuid(),
        socketId: uuid(),
        socketNumber: z.string(),
        orderId: uuid(),
        amount: z.number().nullable().describe('In the unit of the batch; null where not weighed.'),
        usedFor: z.enum(['operation', 'torque']),
        usedAt: instantOut(),
        usedBy: z.string().describe('Printed name.'),
      }),
    ),
  })
  .meta({ id: 'BatchWithUses' });
export type BatchWithUses = z.input<typeof BatchWithUses>;

export const BatchQuery = z.strictObject({
  ...pageQuery,
  kind: kind.optional(),
  lot: text(60).optional(),
  usable: z
    .literal('true')
    .optional()
    .describe('Only what may be used today: not expired, not in quarantine, something left.'),
});
export type BatchQuery = z.output<typeof BatchQuery>;

export const BatchOpening = z
  .strictObject({ openedOn: day().optional().describe('Today where left out.') })
  .meta({ id: 'BatchOpening' });
export const BatchQuarantine = z
  .strictObject({ reason: note(500) })
  .meta({ id: 'BatchQuarantine' });

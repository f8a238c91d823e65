import { z } from 'zod';
import { BATCH_KINDS, BATCH_UNITS } from '../../domain/words.ts';
import { day, dayOut, instantOut, note, text, uuid, version } from '../../http/fields.ts';
import { pageOf, pageQuery } from '../../http/paging.ts';
import { USED_FOR } from '../../store/batches.ts';

const kind = z.enum(BATCH_KINDS);
const entry = {
  kind,
  name: text(120).describe('What it is, in words of the clinic.'),
  lot: text(60).describe('As on the container; once for a kind.'),
  receivedOn: day(),
  quantity: z.number().gt(0).max(1_000_000).describe('What came, in `unit`.'),
  unit: z.enum(BATCH_UNITS).describe('g grams, mL millilitres, m metres.'),
};

const priceMinor = z
  .int()
  .min(0)
  .max(1_000_000_000)
  .describe("What all of it cost, in whole minor units of the clinic's currency: 4900 is 49.00.");

export const BatchToAdd = z
  .strictObject({
    ...entry,
    expiresOn: day().optional(),
    resinProductId: uuid()
      .optional()
      .describe('The resin product that it belongs to; of resin and hardener, in grams.'),
    fabricId: uuid().optional().describe('The fabric that it is a roll of.'),
    priceMinor: priceMinor.optional(),
  })
  .refine(({ kind: of, fabricId }) => fabricId === undefined || of === 'fabric', {
    message: 'only a batch of fabric is a roll of one',
    path: ['fabricId'],
  })
  .refine(
    ({ kind: of, resinProductId }) =>
      resinProductId === undefined || of === 'resin' || of === 'hardener',
    { message: 'only resin and hardener are of a resin product', path: ['resinProductId'] },
  )
  .refine(({ unit, resinProductId }) => resinProductId === undefined || unit === 'g', {
    message: 'what is weighed is entered in grams',
    path: ['unit'],
  })
  .meta({ id: 'BatchToAdd' });
export type BatchToAdd = z.output<typeof BatchToAdd>;

const batch = {
  id: uuid(),
  ...entry,
  expiresOn: dayOut().nullable().describe('The last day on which it may be used.'),
  openedOn: dayOut().nullable(),
  left: z.number().describe('What is left by the book, in `unit`.'),
  expired: z.boolean(),
  quarantined: z.boolean(),
  quarantineReason: z.string().nullable(),
  resinProductId: uuid().nullable(),
  resinProduct: z.string().nullable().describe('Name of that product.'),
  fabricId: uuid().nullable(),
  fabric: z.string().nullable().describe('Name of that fabric.'),
  priceMinor: priceMinor
    .nullable()
    .describe(
      'What all of it cost, in whole minor units; null where nobody entered it, and for roles that do not see costs.',
    ),
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
        usedFor: z.enum(USED_FOR),
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
export const BatchChange = z
  .strictObject({
    priceMinor: priceMinor.nullable().describe('Null takes a price back.'),
    resinProductId: uuid().describe(
      'The resin product that a batch of resin or hardener is of; where none was entered, once.',
    ),
  })
  .partial()
  .meta({ id: 'BatchChange' });
export type BatchChange = z.output<typeof BatchChange>;
export const BatchQuarantine = z
  .strictObject({ reason: note(500) })
  .meta({ id: 'BatchQuarantine' });

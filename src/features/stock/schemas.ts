import { z } from 'zod';
import { SHELF_PACES } from '../../domain/stockUse.ts';
import { BATCH_KINDS, BATCH_UNITS } from '../../domain/words.ts';
import { dayOut, instantOut, uuid } from '../../http/fields.ts';

export const StockOutlook = z
  .object({
    today: dayOut(),
    windowDays: z.int().describe("Over so many days the pace is to be taken; the clinic's."),
    paceDays: z
      .int()
      .describe(
        'Over so many it is taken: the window, or the days since the clinic began its records; at least 7.',
      ),
    leadDays: z.int().describe('From the order to the shelf, days.'),
    coverDays: z.int().describe('For how long an order should last, days.'),
    asOf: instantOut(),
    materials: z.array(
      z
        .object({
          kind: z.enum(BATCH_KINDS),
          resinProductId: uuid()
            .nullable()
            .describe('Resin and hardener of one product are apart.'),
          fabricId: uuid().nullable(),
          name: z
            .string()
            .describe('Of the product or the fabric; else what its batches are called.'),
          unit: z.enum(BATCH_UNITS).describe('Of all amounts here.'),
          left: z.number().describe('By the book, expired and quarantined batches too.'),
          used: z.number().describe('In `paceDays`, as far as amounts were recorded.'),
          usesNotMeasured: z
            .int()
            .describe('Uses in `paceDays` without an amount: where there are any, it goes faster.'),
          pace: z
            .enum(SHELF_PACES)
            .describe(
              'measured: by amounts on record · not_known: used, never with an amount · none: not used.',
            ),
          usedPerDay: z.number().describe('used / paceDays'),
          usable: z
            .number()
            .describe(
              'What can be used before it expires, at this pace; what may be used today where it is not known.',
            ),
          expiresUnused: z
            .number()
            .describe(
              'What is there and not counted on: expired, quarantined, or, at a known pace, too much.',
            ),
          lastsDays: z
            .int()
            .nullable()
            .describe(
              'Whole days; null where no pace is known, and past ten years: see `inWords`.',
            ),
          emptyOn: dayOut().nullable(),
          reorder: z.boolean().describe('It does not last longer than a delivery takes.'),
          orderAmount: z
            .number()
            .describe('What brings it to delivery time and cover, in `unit`; 0 where none is due.'),
          inWords: z.string().describe('How long it lasts, in a sentence.'),
          batches: z.array(
            z.object({
              batchId: uuid(),
              lot: z.string(),
              left: z.number(),
              expiresOn: dayOut().nullable(),
              quarantined: z.boolean(),
            }),
          ),
        })
        .meta({ id: 'MaterialOutlook' }),
    ),
  })
  .meta({ id: 'StockOutlook' });
export type StockOutlook = z.input<typeof StockOutlook>;

import { z } from 'zod';
import { BATCH_KINDS, BATCH_UNITS } from '../../domain/words.ts';
import { day, instantOut, uuid } from '../../http/fields.ts';

export const StockOutlook = z
  .object({
    today: day(),
    windowDays: z.int().describe("The pace is that of the last so many days; the clinic's."),
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
          used: z.number().describe('In the window, as far as amounts were recorded.'),
          usesNotMeasured: z
            .int()
            .describe('Uses in the window without an amount: where there are any, it goes faster.'),
          usedPerDay: z.number().describe('used / windowDays'),
          usable: z.number().describe('What can be used before it expires, at this pace.'),
          expiresUnused: z
            .number()
            .describe('What is there and not counted on: expired, quarantined, or too much.'),
          lastsDays: z.int().nullable().describe('Whole days; null where nothing was used.'),
          emptyOn: day().nullable(),
          reorder: z.boolean().describe('It does not last longer than a delivery takes.'),
          orderAmount: z
            .number()
            .describe('What brings it to delivery time and cover, in `unit`; 0 where none is due.'),
          batches: z.array(
            z.object({
              batchId: uuid(),
              lot: z.string(),
              left: z.number(),
              expiresOn: day().nullable(),
              quarantined: z.boolean(),
            }),
          ),
        })
        .meta({ id: 'MaterialOutlook' }),
    ),
  })
  .meta({ id: 'StockOutlook' });
export type StockOutlook = z.input<typeof StockOutlook>;

import { z } from 'zod';
import { day, dayOut } from '../../http/fields.ts';

export const BenchLoadQuery = z.strictObject({
  from: day().optional().describe('First day; today where left out, and never a past one.'),
  to: day().optional().describe('Last day; two weeks from the first where left out; 62 at most.'),
});
export type BenchLoadQuery = z.output<typeof BenchLoadQuery>;

const minutes = z.number().min(0);

export const BenchLoadView = z
  .object({
    today: dayOut(),
    from: dayOut(),
    to: dayOut(),
    items: z
      .array(
        z.object({
          bench: z.string(),
          day: dayOut(),
          plannedMinutes: minutes.describe('Of operations that wait, to a tenth of a minute.'),
          mannedMinutes: minutes.describe(
            'Opening minutes of the day times people at the bench; 0 at a bench that is given up.',
          ),
          overloaded: z.boolean().describe('More is planned than is manned.'),
          orders: z.array(z.string()).describe('Numbers of the orders whose work it is.'),
        }),
      )
      .describe('Each bench on each working day.'),
    leftOut: z
      .object({
        onHold: z.array(z.string()).describe('Orders on hold: nobody knows when their work is.'),
        notPlanned: z
          .array(z.object({ order: z.string(), operation: z.string() }))
          .describe('Operations without a bench or without minutes.'),
      })
      .describe('What waits and is in no figure above.'),
  })
  .meta({ id: 'BenchLoad' });

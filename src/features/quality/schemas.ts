import { z } from 'zod';
import { FINDING_KINDS, FIT_REASONS } from '../../domain/words.ts';
import { day } from '../../http/fields.ts';
import { REMAKE_CAUSES } from '../../store/quality.ts';

/** Days that a window may have: five years and a leap day or two. */
export const WINDOW_MOST_DAYS = 1_828;

const window = {
  from: day().describe('First day, in the clinic’s zone.'),
  to: day().describe(`Last day, at most ${WINDOW_MOST_DAYS} days in all.`),
};

export const QualityQuery = z.strictObject({
  ...window,
  by: z
    .literal('technician')
    .optional()
    .describe('Adds figures by technician, where the clinic allows it.'),
});
export type QualityQuery = z.output<typeof QualityQuery>;

export const ChartQuery = z.strictObject(window);
export type ChartQuery = z.output<typeof ChartQuery>;

const proportion = z
  .object({
    count: z.int(),
    of: z.int(),
    share: z.number().nullable().describe('count ÷ of, 0 to 1; null where there is none to count.'),
    from: z
      .number()
      .describe(
        'Lower bound of the 95 % Wilson score interval (Wilson, JASA 1927;22:209; Newcombe, Stat Med 1998;17:857).',
      ),
    to: z.number().describe('Its upper bound.'),
  })
  .meta({ id: 'Proportion' });

const turnaround = z
  .object({
    orders: z.int(),
    median: z.number().nullable().describe('Working days.'),
    percentile90: z
      .number()
      .nullable()
      .describe('Working days; linear between order statistics (Hyndman and Fan 1996, type 7).'),
  })
  .meta({ id: 'Turnaround' });

const causes = (kinds: readonly [string, ...string[]]) =>
  z.array(z.object({ cause: z.enum(kinds), share: proportion }));

export const QualityView = z
  .object({
    from: z.string(),
    to: z.string(),
    orders: z.int().describe('Orders first delivered in the window; all but causes are of these.'),
    firstFit: proportion.describe('Orders whose very first fitting was accepted.'),
    onTime: proportion.describe('Orders delivered no later than the day promised first.'),
    checkSockets: z.object({
      orders: z.int(),
      checkSockets: z.int(),
      perOrder: z.number().nullable(),
      byNumber: z.array(z.object({ checkSockets: z.int(), orders: proportion })).readonly(),
    }),
    turnaround: z.object({
      all: turnaround.describe('Opening to first delivery, time on hold included.'),
      casting: turnaround,
      check_fitting: turnaround,
      lamination: turnaround,
      delivery: turnaround,
    }),
    months: z
      .array(
        z.object({
          month: z.string().describe('Of the first delivery, `YYYY-MM`.'),
          orders: z.int(),
          firstFit: proportion,
          onTime: proportion,
          turnaround,
        }),
      )
      .describe('Months with a delivery.'),
    causes: z
      .object({
        findings: causes(FINDING_KINDS).describe('Findings opened in the window, by kind.'),
        refusedFits: causes(FIT_REASONS).describe('Reasons given when a fit was refused.'),
        remakes: causes(REMAKE_CAUSES).describe(
          'Definitive sockets begun in the place of another, by the finding that ended that one.',
        ),
      })
      .describe('Shares are of all events of the kind.'),
    technicians: z
      .array(
        z.object({
          technician: z.string().describe('Printed name.'),
          stopped: proportion.describe('Attempts at operations that stopped, of all attempts.'),
        }),
      )
      .nullable()
      .describe('Null where not asked for.'),
  })
  .meta({ id: 'Quality' });
export type QualityView = z.input<typeof QualityView>;

import { z } from 'zod';
import { WORK_STAGES } from '../../domain/orderTimeline.ts';
import { DATE_STATES } from '../../domain/promise.ts';
import { STAGES } from '../../domain/words.ts';
import { day, dayOut, uuid } from '../../http/fields.ts';
import { pageOf, pageQuery } from '../../http/paging.ts';
import { ReasonView } from '../../http/reasonView.ts';
import { OFFER_SEED_MOST, OrderLine } from '../orders/schemas.ts';

const chance = z
  .number()
  .min(0)
  .max(1)
  .nullable()
  .describe(
    'Share of the courses drawn from the clinic’s finished orders that end by that day, 0 to 1 (resampling: Efron 1979); null where the history cannot say.',
  );

const DateOfferView = z
  .object({
    promisedOn: dayOut(),
    workingDays: z.int().describe('From today, in the clinic’s calendar.'),
    chance,
  })
  .meta({ id: 'DateOffer' });

const offers = {
  seed: z
    .int()
    .describe('What chance was drawn with; send it as `offerSeed` with the order to keep it.'),
  finishedOrders: z.int().describe('Finished orders that were drawn from.'),
  wantedChance: z.number().describe('Of the clinic’s settings.'),
  usual: DateOfferView.describe('By the clinic’s usual working days in each stage.'),
  withChance: DateOfferView.nullable().describe(
    'The first day that has the wanted chance; null where the history cannot say.',
  ),
  because: z.array(ReasonView).describe('Why there is no chance, where there is none.'),
};

export const OfferQuery = z.strictObject({
  promisedOn: day().optional().describe('A day that is wished for: its chance is told too.'),
  seed: z
    .string()
    .regex(/^\d{1,10}$/, `a whole number from 0 to ${OFFER_SEED_MOST}`)
    .transform(Number)
    .pipe(z.int().min(0).max(OFFER_SEED_MOST))
    .meta({ type: 'integer', minimum: 0, maximum: OFFER_SEED_MOST })
    .optional()
    .describe('Draws again with the seed of an earlier offer; left out: that of the day.'),
});
export type OfferQuery = z.output<typeof OfferQuery>;

export const OfferView = z
  .object({
    today: dayOut(),
    ...offers,
    asked: DateOfferView.nullable().describe('The day that was asked for.'),
  })
  .meta({ id: 'OfferAtOpening' });
export type OfferView = z.input<typeof OfferView>;

export const OrderDateView = z
  .object({
    orderId: uuid(),
    number: z.string(),
    stage: z.enum(STAGES),
    promisedOn: dayOut().nullable(),
    firstPromisedOn: dayOut().nullable().describe('The day promised first; it never changes.'),
    offeredChance: chance.describe('The chance of the day as it was offered at opening.'),
    offerSeed: z.int().nullable().describe('What that chance was drawn with.'),
    standing: z
      .object({
        state: z.enum(DATE_STATES),
        chance,
        because: z.array(ReasonView).describe('Why, the weightiest first.'),
        stage: z.enum(WORK_STAGES),
        workingDaysSoFar: z.int().describe('In its present stage.'),
        ordersAhead: z.int().describe('In the stage when this order came to it.'),
      })
      .nullable()
      .describe('Null where the order is delivered or cancelled.'),
    offer: z
      .object(offers)
      .meta({ id: 'OfferFromHere' })
      .nullable()
      .describe('What could be promised anew from where it is; null where it is closed.'),
  })
  .meta({ id: 'OrderDate' });
export type OrderDateView = z.input<typeof OrderDateView>;

const WATCHED = ['late', 'at_risk'] as const;

export const WatchQuery = z.strictObject({
  ...pageQuery,
  state: z.enum(WATCHED).optional().describe('Left out: both.'),
});
export type WatchQuery = z.output<typeof WatchQuery>;

export const WatchedOrder = z
  .object({
    order: OrderLine,
    state: z.enum(WATCHED),
    chance,
    workingDaysLeft: z.int().describe('Until the promised day; negative where it is past.'),
    phone: z
      .string()
      .nullable()
      .optional()
      .describe('Of the patient; only for desk and fitting room.'),
    because: z.array(ReasonView).describe('Why, the weightiest first.'),
  })
  .meta({ id: 'WatchedOrder' });
export type WatchedOrder = z.input<typeof WatchedOrder>;

export const WatchPage = pageOf(WatchedOrder)
  .extend({
    late: z.int().describe('Late orders in all, on every page.'),
    atRisk: z.int().describe('Orders at risk in all, on every page.'),
  })
  .meta({ id: 'DatesToWatch' });
export type WatchPage = z.input<typeof WatchPage>;

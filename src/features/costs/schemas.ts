import { z } from 'zod';
import { COST_KINDS } from '../../domain/cost.ts';
import { day, uuid } from '../../http/fields.ts';

const money = (what: string) => z.int().describe(`${what}, in whole minor units (cents).`);
const currency = z.string().nullable().describe('ISO 4217; null where the clinic has set none.');
const totals = {
  materialMinor: money('Resin, fabric and the like, by batch price times the share used'),
  hardwareMinor: money('Pieces, each counted once, where it served last'),
  labourMinor: money("Recorded minutes times the clinic's rate for an hour"),
  totalMinor: money('The exact sum of the lines'),
  notCosted: z
    .array(z.string())
    .readonly()
    .describe('What is not in the sums, for want of a price, an amount or minutes.'),
};

const socketCost = z.object({
  socket: z.string().describe('Its number.'),
  remake: z
    .boolean()
    .describe('A definitive socket in the place of another, or begun after the first delivery.'),
  lines: z
    .array(
      z.object({
        kind: z.enum(COST_KINDS),
        what: z.string(),
        costMinor: z
          .int()
          .nullable()
          .describe('Rounded to the minor unit, half up; null where nothing says what it cost.'),
      }),
    )
    .readonly(),
  ...totals,
});

export const SocketCostView = socketCost.extend({ currency }).meta({ id: 'SocketCost' });
export type SocketCostView = z.input<typeof SocketCostView>;

export const OrderCostView = z
  .object({
    order: z.string().describe('Its number.'),
    currency,
    sockets: z.array(socketCost).readonly().describe('In the order in which they were begun.'),
    remakeMinor: money('The part of the total that was spent on remakes'),
    ...totals,
  })
  .meta({ id: 'OrderCost' });
export type OrderCostView = z.input<typeof OrderCostView>;

/** Days that a window of months may have. */
export const WINDOW_MOST_DAYS = 366;

export const CostWindow = z.strictObject({
  from: day().describe('First deliveries from this day on.'),
  to: day().describe(`To this day, at most ${WINDOW_MOST_DAYS} days in all.`),
});
export type CostWindow = z.output<typeof CostWindow>;

const group = z.object({
  key: z.string(),
  count: z.int(),
  totalMinor: money('Sum'),
  notCosted: z.int().describe('Lines that are not in the sum.'),
});

export const CostsView = z
  .object({
    currency,
    from: z.string(),
    to: z.string(),
    months: z.array(group).describe('Orders by the month of their first delivery, `YYYY-MM`.'),
    remakes: z.array(group).describe('The remade sockets of those orders, by the same month.'),
  })
  .meta({ id: 'Costs' });
export type CostsView = z.input<typeof CostsView>;

export const SocketOfCost = z.strictObject({ socketId: uuid() });
export const OrderOfCost = z.strictObject({ orderId: uuid() });

import { z } from 'zod';
import {
  CAST_STATES,
  FUNCTIONAL_LEVELS,
  HOLD_REASONS,
  LEVELS,
  SIDES,
  SOCKET_KINDS,
  SOCKET_STATES,
  STAGES,
  SUSPENSIONS,
} from '../../domain/words.ts';
import {
  day,
  dayOut,
  instantOut,
  note,
  signatureGiven,
  text,
  uuid,
  version,
} from '../../http/fields.ts';
import { pageOf, pageQuery } from '../../http/paging.ts';
import { PatientSeenView } from '../patients/schemas.ts';

const functionalLevel = z
  .enum(FUNCTIONAL_LEVELS)
  .describe('Medicare functional classification level.');
const liner = text(200);
const promisedOn = day().describe('The day the limb is promised for.');
/** What the column holds. */
export const OFFER_SEED_MOST = 2_147_483_647;

export const OrderToOpen = z
  .strictObject({
    patientId: uuid(),
    side: z.enum(SIDES),
    level: z.enum(LEVELS),
    suspension: z.enum(SUSPENSIONS),
    functionalLevel,
    promisedOn: promisedOn.optional(),
    offerSeed: z
      .int()
      .min(0)
      .max(OFFER_SEED_MOST)
      .optional()
      .describe(
        'The `seed` of today’s GET /api/v1/dates/offer: the chance of the promised day is drawn with it again and kept. That of another day is refused.',
      ),
    liner: liner.optional(),
    note: note(2000).optional(),
    prosthetistId: uuid().optional(),
    anotherOpenOrderIsMeant: z
      .boolean()
      .default(false)
      .describe('True where a second open order for the same limb is really wanted.'),
  })
  .refine((order) => order.offerSeed === undefined || order.promisedOn !== undefined, {
    message: 'goes with a promised day only',
    path: ['offerSeed'],
  })
  .meta({ id: 'OrderToOpen' });
export type OrderToOpen = z.output<typeof OrderToOpen>;

export const OrderChange = z
  .strictObject({
    promisedOn: promisedOn.nullable(),
    liner: liner.nullable(),
    note: note(2000).nullable(),
    prosthetistId: uuid().nullable(),
    functionalLevel,
  })
  .partial()
  .meta({ id: 'OrderChange' });
export type OrderChange = z.output<typeof OrderChange>;

const listed = {
  id: uuid(),
  number: z.string(),
  patient: PatientSeenView,
  side: z.enum(SIDES),
  level: z.enum(LEVELS),
  suspension: z.enum(SUSPENSIONS),
  functionalLevel,
  stage: z.enum(STAGES),
  holdReason: z.enum(HOLD_REASONS).nullable(),
  heldAt: instantOut().nullable(),
  promisedOn: dayOut().nullable(),
  firstPromisedOn: dayOut().nullable().describe('The day promised first; it never changes.'),
  offeredChance: z
    .number()
    .nullable()
    .describe('The chance of that day as it was offered, 0 to 1; null where none was told.'),
  late: z
    .boolean()
    .describe('Promised for a day that is past, and neither delivered nor cancelled.'),
  liner: z.string().nullable(),
  note: z.string().nullable(),
  prosthetist: z.object({ id: uuid(), printedName: z.string() }).nullable(),
  openedAt: instantOut(),
  deliveredAt: instantOut().nullable(),
  version: version(),
};
export const OrderLine = z.object(listed).meta({ id: 'OrderLine' });
export type OrderLine = z.input<typeof OrderLine>;

/** A line of the list says how it stands with its day, too. */
export const ListedOrder = OrderLine.extend({
  stageSince: instantOut().nullable().describe('When it last came to its present stage.'),
  atRisk: z
    .boolean()
    .describe('Under way, not late, and its promised day will probably be missed.'),
  chance: z
    .number()
    .nullable()
    .describe(
      'Of a late order or one at risk: the chance of its day, 0 to 1; null where none can be told.',
    ),
}).meta({ id: 'ListedOrder' });
export type ListedOrder = z.input<typeof ListedOrder>;
export const OrderPage = pageOf(ListedOrder).meta({ id: 'OrderPage' });

export const OrderView = z
  .object({
    ...listed,
    openedBy: z.string().describe('Printed name.'),
    bodyMassKg: z.number().nullable().describe('Present body mass of the patient in kilograms.'),
    casts: z.array(z.object({ id: uuid(), number: z.int(), state: z.enum(CAST_STATES) })),
    sockets: z.array(
      z.object({
        id: uuid(),
        number: z.string(),
        kind: z.enum(SOCKET_KINDS),
        state: z.enum(SOCKET_STATES),
      }),
    ),
    stages: z
      .array(z.object({ stage: z.enum(STAGES), since: instantOut() }))
      .describe('Every stage that it came to, loops too, the first one first.'),
  })
  .meta({ id: 'Order' });
export type OrderView = z.input<typeof OrderView>;

const yesNo = z.enum(['true', 'false']);
export const OrderQuery = z.strictObject({
  ...pageQuery,
  stage: z
    .enum([...STAGES, 'under_way'])
    .optional()
    .describe('`under_way`: neither delivered nor cancelled.'),
  held: yesNo.optional(),
  late: yesNo.optional(),
  atRisk: yesNo.optional().describe('At risk by the chance of its promised day (C5).'),
  q: text(60).optional().describe('An order number, as printed or typed, or a whole chart number.'),
  patientId: uuid().optional(),
  prosthetistId: uuid().optional(),
  sort: z
    .enum(['promised', 'opened', 'pressing'])
    .default('promised')
    .describe(
      'By promised day, those without one last; newest first; or late ones, then those at risk, then by promised day.',
    ),
});
export type OrderQuery = z.output<typeof OrderQuery>;

export const HoldGiven = z
  .strictObject({ holdReason: z.enum(HOLD_REASONS), note: note(1000).optional() })
  .meta({ id: 'HoldGiven' });
export type HoldGiven = z.output<typeof HoldGiven>;

export const WhyGiven = z.strictObject({ why: note(1000) }).meta({ id: 'WhyGiven' });

export const SkipCheckFitting = z
  .strictObject({ reason: note(1000), signature: signatureGiven })
  .meta({ id: 'SkipCheckFitting' });
export type SkipCheckFitting = z.output<typeof SkipCheckFitting>;

export const OrderEvent = z
  .object({
    seq: z.int().describe('Number of the event in the clinic’s trail.'),
    at: instantOut(),
    by: z.string().nullable().describe('Printed name; null where the service itself did it.'),
    kind: z.string(),
    subjectKind: z.string(),
    subjectId: uuid(),
    data: z.record(z.string(), z.unknown()),
  })
  .meta({ id: 'OrderEvent' });
export const OrderHistory = pageOf(OrderEvent).meta({ id: 'OrderHistory' });
export type OrderEvent = z.input<typeof OrderEvent>;

export const Prosthetists = z
  .object({ items: z.array(z.object({ id: uuid(), printedName: z.string() })) })
  .meta({ id: 'Prosthetists' });
export type Prosthetists = z.input<typeof Prosthetists>;

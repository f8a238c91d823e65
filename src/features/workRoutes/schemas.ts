import { z } from 'zod';
import { OPERATION_KIND_NAMES, SCANS_OF } from '../../domain/operations.ts';
import { BATCH_KINDS, SOCKET_KINDS, SUSPENSIONS } from '../../domain/words.ts';
import { instantOut, note, text, uuid, version } from '../../http/fields.ts';

const question = {
  key: text(40)
    .regex(/^[a-z][a-z0-9_]*$/, 'a name of lower-case letters, digits and underscores')
    .describe('Names the answer; once within an operation.'),
  ask: text(200).describe('The question as it is put at the bench.'),
};

export const CheckAsked = z
  .discriminatedUnion('kind', [
    z.strictObject({ kind: z.literal('yes_no'), ...question }),
    z.strictObject({
      kind: z.literal('measured'),
      ...question,
      unit: text(20),
      min: z.number().nullable().describe('Least value that passes, in `unit`.'),
      max: z.number().nullable().describe('Greatest value that passes, in `unit`.'),
    }),
    z.strictObject({
      kind: z.literal('batch'),
      ...question,
      batchKind: z.enum(BATCH_KINDS),
      amountAsked: z.boolean().describe('Whether the amount drawn is asked too.'),
    }),
    z.strictObject({ kind: z.literal('note'), ...question }),
    z.strictObject({ kind: z.literal('second_person'), ...question }),
    z.strictObject({
      kind: z.literal('scan'),
      ...question,
      of: z
        .enum(SCANS_OF)
        .describe('traveller: the order’s own, another’s is refused. anything: kept as read.'),
    }),
    z.strictObject({ kind: z.literal('photo'), ...question }),
  ])
  .meta({ id: 'CheckAsked' });

const operation = {
  kind: z.enum(OPERATION_KIND_NAMES),
  title: text(120),
  checks: z.array(CheckAsked).max(30),
  caution: note(500).nullable(),
  bench: text(60)
    .nullable()
    .describe('Name of the bench where it is done; null: it is in no bench’s load (C5).'),
  plannedMinutes: z
    .int()
    .nullable()
    .describe('Minutes of work planned for it, 1 to 1,440; null: it is in no bench’s load.'),
};
const operationToWrite = {
  ...operation,
  bench: operation.bench.default(null),
  plannedMinutes: operation.plannedMinutes.default(null),
};
const route = {
  name: text(120),
  socketKind: z.enum(SOCKET_KINDS),
  suspension: z.enum(SUSPENSIONS),
};

export const RouteToWrite = z
  .strictObject({
    basedOnVersion: version().describe(
      'The version in force that was read and changed; refused where another is in force by now.',
    ),
    ...route,
    operations: z.array(z.strictObject(operationToWrite)).min(1).max(60),
  })
  .meta({ id: 'RouteToWrite' });
export type RouteToWrite = z.output<typeof RouteToWrite>;

export const RouteView = z
  .object({
    id: uuid(),
    ...route,
    version: z.int(),
    createdAt: instantOut(),
    createdBy: z.string().nullable().describe('Printed name; null for a starting route.'),
    supersededAt: instantOut().nullable().describe('Null for the one in force.'),
    socketsUnderWay: z
      .array(z.object({ id: uuid(), number: z.string(), orderId: uuid() }))
      .describe('Sockets not yet delivered that were begun on this version, and keep it.'),
    operations: z.array(z.object({ seq: z.int(), ...operation })),
  })
  .meta({ id: 'WorkRoute' });
export type RouteView = z.input<typeof RouteView>;
export const Routes = z.object({ items: z.array(RouteView) }).meta({ id: 'WorkRoutes' });
export type Routes = z.input<typeof Routes>;

export const RoutesQuery = z.strictObject({
  everyVersion: z.enum(['true', 'false']).default('false'),
});

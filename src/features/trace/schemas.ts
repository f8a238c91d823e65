/** The trace and the recall on the wire. */
import { z } from 'zod';
import { CALL_OUTCOMES, RECALL_STATIONS } from '../../domain/recall.ts';
import { TRACE_KEYS } from '../../domain/trace.ts';
import {
  BATCH_KINDS,
  BATCH_UNITS,
  LEVELS,
  MOVE_REASONS,
  PART_KINDS,
  POSITIONS,
  ROLES,
  SHOP_TOOL_KINDS,
  SIDES,
  SOCKET_KINDS,
  SOCKET_STATES,
  STAGES,
  SUSPENSIONS,
} from '../../domain/words.ts';
import { instantOut, note, text, uuid } from '../../http/fields.ts';
import { traceRowWith } from '../../store/traceRow.ts';
import { Corrected } from '../rights/corrected.ts';

const key = (what: string) => text(120).optional().describe(what);

/** Exactly one of these is given; the service says so in words. */
const traceKeys = {
  patient: key('Id or chart number.'),
  order: key('Id or number; a mistyped number is refused by its check character.'),
  socket: key('Id or number.'),
  serial: key('Serial of a piece of hardware.'),
  lot: key('Lot of hardware.'),
  batch: key('Id or lot of resin, fabric, threadlocker and the like.'),
  tool: key('Id or name of a shop tool.'),
  person: uuid().optional().describe('Id of a person of the clinic.'),
};
const after = z
  .string()
  .min(1)
  .max(500)
  .optional()
  .describe('The `next` of the answer before; leave out for the beginning.');

/** Rows of a page: more than of a list, for a trace is read as a whole. */
const ROWS = { byDefault: 200, most: 1000 };

export const TraceQuery = z.strictObject({
  ...traceKeys,
  limit: z.coerce.number().int().min(1).max(ROWS.most).default(ROWS.byDefault),
  after,
});
export const TraceFileQuery = z.strictObject({ ...traceKeys, after });
export type TraceFileQuery = z.output<typeof TraceFileQuery>;

const PatientSeen = z
  .object({
    id: z.string(),
    chartNumber: z.string(),
    initials: z.string(),
    givenName: z.string().optional(),
    familyName: z.string().optional(),
    birthDate: z.string().optional(),
  })
  .describe('As much of the patient as the reader’s role sees.');

const OrderSeen = z.object({
  id: z.string(),
  number: z.string(),
  stage: z.enum(STAGES),
  side: z.enum(SIDES),
  level: z.enum(LEVELS),
  suspension: z.enum(SUSPENSIONS),
});

const SocketSeen = z.object({
  id: z.string(),
  number: z.string(),
  socketKind: z.enum(SOCKET_KINDS),
  state: z.enum(SOCKET_STATES),
  orderId: z.string(),
  orderNumber: z.string(),
  castNumber: z.int(),
  replaces: z.string().nullable(),
  replacedBy: z.string().nullable(),
});

const Piece = z.object({
  id: z.string(),
  label: z.string(),
  partId: z.string(),
  part: z.string(),
  partKind: z.enum(PART_KINDS),
  serial: z.string().nullable(),
  lot: z.string().nullable(),
  udi: z.string().nullable(),
  expiresOn: z.string().nullable().describe('Last day of use by its label.'),
  madeOn: z.string().nullable(),
  receivedAt: instantOut(),
  now: z.string().nullable().describe('Name of the place where it is.'),
});

const BatchSeen = z.object({
  id: z.string(),
  batchKind: z.enum(BATCH_KINDS),
  name: z.string(),
  lot: z.string(),
  receivedOn: z.string(),
  openedOn: z.string().nullable(),
  expiresOn: z.string().nullable(),
  quantity: z.number(),
  unit: z.enum(BATCH_UNITS),
  quarantinedAt: instantOut().nullable(),
  quarantineReason: z.string().nullable(),
  uses: z.int(),
  usedAmount: z.number().describe('Sum of the amounts that were recorded.'),
});

export const TraceSubject = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('patient'), patient: PatientSeen, orders: z.array(OrderSeen) }),
  z.object({
    kind: z.literal('order'),
    order: OrderSeen,
    patient: PatientSeen,
    sockets: z.array(SocketSeen),
  }),
  z.object({ kind: z.literal('socket'), socket: SocketSeen, patient: PatientSeen }),
  z.object({
    kind: z.literal('pieces'),
    count: z.int().describe('How many there are; `pieces` lists the first hundred.'),
    pieces: z.array(Piece),
  }),
  z.object({ kind: z.literal('batches'), batches: z.array(BatchSeen) }),
  z.object({
    kind: z.literal('tool'),
    tool: z.object({
      id: z.string(),
      name: z.string(),
      toolKind: z.enum(SHOP_TOOL_KINDS),
      serial: z.string().nullable(),
      outOfService: z.boolean(),
      now: z.string().nullable(),
    }),
  }),
  z.object({
    kind: z.literal('person'),
    person: z.object({
      id: z.string(),
      printedName: z.string(),
      active: z.boolean(),
      roles: z.array(z.enum(ROLES)),
    }),
  }),
]);
export type TraceSubject = z.input<typeof TraceSubject>;

const TraceRow = traceRowWith({
  at: instantOut().describe('When it came onto the record.'),
  recordedAt: instantOut()
    .nullable()
    .describe('When it was recorded at the bench, where that was told: it may have arrived later.'),
  what: z.string().describe('What happened, in words.'),
  corrections: z
    .array(Corrected)
    .describe('Corrections of the record, the oldest first: it stays as it is told here.'),
}).meta({ id: 'TraceRow' });

const StayView = z
  .object({
    thingId: z.string(),
    thing: z.string(),
    socketId: z.string(),
    socketNumber: z.string(),
    socketKind: z.enum(SOCKET_KINDS),
    socketState: z.enum(SOCKET_STATES),
    position: z.enum(POSITIONS),
    orderId: z.string(),
    orderNumber: z.string(),
    chartNumber: z.string(),
    enteredAt: instantOut(),
    enteredBy: z.string(),
    enteredWhy: z.enum(MOVE_REASONS),
    enteredFrom: z.string().nullable(),
    leftAt: instantOut().nullable(),
    leftBy: z.string().nullable(),
    leftWhy: z.enum(MOVE_REASONS).nullable(),
    leftTo: z.string().nullable(),
  })
  .meta({
    id: 'Stay',
    description:
      'The time of a thing in one position of one socket; `left…` are null while it is there.',
  });

const Asked = z.object({
  by: z.enum(TRACE_KEYS),
  value: z.string().describe('As it was understood: a number as printed.'),
});

export const TraceView = z
  .object({
    asked: Asked,
    subject: TraceSubject,
    rows: z.array(TraceRow),
    next: z
      .string()
      .nullable()
      .describe('Send as `after` for the rows that follow; null where there are none.'),
    chain: z.array(StayView).describe('The way of the hardware through sockets, thing by thing.'),
    chainCut: z.boolean().describe('True where the chain is longer than what is given here.'),
  })
  .meta({ id: 'Trace' });

export const RecallQuery = z.strictObject({
  lot: text(120).optional().describe('Lot of hardware.'),
  part: uuid().optional().describe('With a lot: only pieces of this part.'),
  batch: text(120).optional().describe('Id or lot of a batch, in place of a lot of hardware.'),
});
export type RecallQuery = z.output<typeof RecallQuery>;

const RecallCall = z
  .object({
    id: z.string(),
    outcome: z.enum(CALL_OUTCOMES),
    note: z.string().nullable(),
    calledAt: instantOut(),
    calledBy: z.string(),
  })
  .meta({ id: 'RecallCall' });

const CORRECTED_HERE =
  'Corrections of what puts the socket on this list: its delivery, and for a batch the operation, cup or torque that it was used for.';

const Wearer = z.object({
  patient: PatientSeen,
  phone: z.string().nullable().describe('Null where there is none or the role does not call.'),
  orderId: z.string(),
  orderNumber: z.string(),
  socketId: z.string(),
  socketNumber: z.string(),
  deliveredAt: instantOut().nullable(),
  pieces: z.array(z.string()).describe('What of it the patient wears, and where in the socket.'),
  calls: z.array(RecallCall).describe('The calls about this recall, the newest first.'),
  corrections: z.array(Corrected).describe(CORRECTED_HERE),
});

const HoldingSocket = z.object({
  socketId: z.string(),
  socketNumber: z.string(),
  socketKind: z.enum(SOCKET_KINDS),
  socketState: z.enum(SOCKET_STATES),
  orderId: z.string(),
  orderNumber: z.string(),
  chartNumber: z.string(),
  pieces: z.array(z.string()),
  corrections: z.array(Corrected).describe(CORRECTED_HERE),
});

const counts = Object.fromEntries(RECALL_STATIONS.map((station) => [station, z.int()])) as Record<
  (typeof RECALL_STATIONS)[number],
  z.ZodInt
>;

const common = {
  wearers: z.array(Wearer).describe('Everybody who wears it now: the people to call.'),
  calls: z.object({
    reached: z.int().describe('Wearers who were reached.'),
    left: z.int().describe('Wearers who are still to be reached.'),
  }),
  inWork: z.array(HoldingSocket).describe('Sockets being made or tried that have it in them.'),
  inRetired: z.array(HoldingSocket),
  named: z
    .array(
      z.object({
        orderId: z.string().nullable(),
        orderNumber: z.string().nullable(),
        chartNumber: z.string(),
        correction: Corrected,
      }),
    )
    .describe(
      'Corrections whose words name the lot, wherever they stand: a record may be of another lot than it says. The list does not follow them; a person looks.',
    ),
};

export const RecallView = z
  .discriminatedUnion('kind', [
    z.object({
      kind: z.literal('lot'),
      lot: z.string(),
      parts: z.array(z.object({ id: z.string(), name: z.string(), pieces: z.int() })),
      received: z.int().describe('Pieces by their receipts in the ledger.'),
      counts: z.object(counts),
      accountedFor: z.int(),
      reconciles: z
        .boolean()
        .describe('Whether every piece entered was received once and is in one place now.'),
      unclear: z.array(z.string()).describe('Ids of the pieces for which that is not so.'),
      ...common,
      elsewhere: z
        .array(z.object({ itemId: z.string(), label: z.string(), place: z.string() }))
        .describe('Pieces in no socket, with their place.'),
      passedThrough: z.array(StayView).describe('Every socket that a piece was ever in.'),
      passedThroughCut: z.boolean(),
    }),
    z.object({
      kind: z.literal('batch'),
      batch: BatchSeen,
      used: z.number(),
      usesWithoutAmount: z.int(),
      leftByBook: z.number(),
      reconciles: z
        .boolean()
        .nullable()
        .describe('Whether no more was used than received; null where not every use was weighed.'),
      counts: z
        .object({ worn: z.int(), inWork: z.int(), inRetired: z.int() })
        .describe('Sockets that it went into.'),
      ...common,
    }),
  ])
  .meta({ id: 'Recall' });
export type RecallView = z.input<typeof RecallView>;

export const QuarantineLot = z
  .strictObject({
    lot: text(120),
    partId: uuid().optional().describe('Needed where several parts have the lot.'),
    why: note(1000).describe('Who recalls it and why, for the record.'),
  })
  .meta({ id: 'QuarantineLot' });
export type QuarantineLot = z.output<typeof QuarantineLot>;

export const LotQuarantined = z
  .object({
    lot: z.string(),
    partId: z.string(),
    moved: z
      .array(
        z.object({ itemId: z.string(), label: z.string(), from: z.string(), moveId: z.string() }),
      )
      .describe('Pieces that went into quarantine.'),
    findings: z
      .array(z.object({ findingId: z.string(), socketId: z.string(), socketNumber: z.string() }))
      .describe('Findings opened on sockets that hold a piece.'),
    alreadyFound: z
      .array(z.string())
      .describe('Numbers of sockets that had an open finding of this recall before.'),
  })
  .meta({ id: 'LotQuarantined' });
export type LotQuarantined = z.input<typeof LotQuarantined>;

/** A question may hold a patient's name: it is sent in the body, and stands in no address. */
export const FindQuestion = z
  .strictObject({ text: text(400).describe('Whatever was typed or scanned.') })
  .meta({ id: 'FindQuestion' });

export const FoundThings = z
  .object({
    items: z.array(
      z.object({
        by: z.enum(TRACE_KEYS),
        key: z.string().describe('What the trace is asked by.'),
        name: z.string(),
        about: z.string().describe('What tells it from others of its kind.'),
        exact: z.boolean().describe('Whether the text is its whole name or number.'),
      }),
    ),
    more: z.array(z.enum(TRACE_KEYS)).describe('Kinds of which there are more than are given.'),
    notLookedFor: z
      .array(z.enum(TRACE_KEYS))
      .describe('Kinds that the asker’s role does not trace by.'),
    mistyped: z
      .string()
      .nullable()
      .describe('What is wrong with a number that looks like one of ours and is none.'),
  })
  .meta({ id: 'FoundThings' });
export type FoundThings = z.input<typeof FoundThings>;

export const CallToNote = z
  .strictObject({
    lot: text(120).optional().describe('The lot of hardware that is recalled.'),
    batchId: uuid().optional().describe('Or the batch that is recalled.'),
    socketId: uuid().describe('What the person called wears.'),
    outcome: z.enum(CALL_OUTCOMES),
    note: note(1000).optional().describe('What was agreed.'),
  })
  .refine(
    ({ lot, batchId }) => (lot === undefined) !== (batchId === undefined),
    'either a lot or a batch',
  )
  .meta({ id: 'CallToNote' });
export type CallToNote = z.output<typeof CallToNote>;

export const CallNoted = z.object({ call: RecallCall }).meta({ id: 'CallNoted' });
export type CallNoted = z.input<typeof CallNoted>;

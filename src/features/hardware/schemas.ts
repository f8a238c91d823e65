import { z } from 'zod';
import {
  day,
  dayOut,
  note,
  recordedAt,
  text,
  uuid,
  version,
  instantOut,
} from '../../http/fields.ts';
import { pageOf, pageQuery } from '../../http/paging.ts';
import { ReasonView } from '../../http/reasonView.ts';
import {
  MOVE_REASONS,
  PART_KINDS,
  PLACE_KINDS,
  POSITIONS,
  SOCKET_STATES,
} from '../../domain/words.ts';

export const ItemParams = z.strictObject({ itemId: uuid() });

/** A place as a request names it. */
export const PlaceRef = z
  .discriminatedUnion('kind', [
    z.strictObject({ kind: z.literal('bin'), placeId: uuid() }),
    z.strictObject({
      kind: z.literal('socket_position'),
      socketId: uuid(),
      position: z.enum(POSITIONS),
    }),
    z.strictObject({ kind: z.enum(['receiving', 'bench', 'quarantine', 'scrap']) }),
  ])
  .meta({
    id: 'PlaceRef',
    description: "A bin, a socket's position, or one of the clinic's single places.",
  });

export const RecordMove = z
  .strictObject({
    thing: z.union([z.strictObject({ itemId: uuid() }), z.strictObject({ shopToolId: uuid() })]),
    from: PlaceRef.describe('Where it is now, as you see it; the ledger must agree (R2).'),
    to: PlaceRef,
    reason: z.enum(MOVE_REASONS).exclude(['received', 'transferred', 'recalled']),
    recordedAt: recordedAt(),
    note: note(500).optional(),
    serviceVisitId: uuid()
      .optional()
      .describe('The open visit, where the socket is delivered (R15).'),
  })
  .meta({ id: 'RecordMove' });

export const MoveRecorded = z.object({ moveId: z.uuid() }).meta({ id: 'MoveRecorded' });

export const TransferHardware = z
  .strictObject({
    fromSocketId: uuid(),
    toSocketId: uuid(),
    itemIds: z
      .array(uuid())
      .min(1)
      .max(20)
      .describe('The items that move; each keeps its position. Single-use parts stay behind.'),
    fresh: z
      .array(z.strictObject({ itemId: uuid(), fromPlaceId: uuid(), position: z.enum(POSITIONS) }))
      .max(20)
      .default([])
      .describe('Fresh pieces out of bins that go in with them.'),
    note: note(500).optional(),
    serviceVisitId: uuid().optional(),
    recordedAt: recordedAt(),
  })
  .meta({ id: 'TransferHardware' });

export const HardwareTransferred = z
  .object({
    transferId: z.uuid(),
    moved: z.array(
      z.object({
        itemId: z.uuid(),
        label: z.string(),
        position: z.enum(POSITIONS),
        moveId: z.uuid(),
      }),
    ),
    leftBehind: z
      .array(
        z.object({
          itemId: z.uuid(),
          label: z.string(),
          position: z.enum(POSITIONS),
          singleUse: z.boolean(),
        }),
      )
      .describe('What the old socket still holds.'),
    freshOffered: z
      .array(
        z.object({
          itemId: z.uuid(),
          partId: z.uuid(),
          label: z.string(),
          placeId: z.uuid(),
          placeName: z.string(),
        }),
      )
      .describe('Unused pieces in bins for the single-use parts that the new socket still lacks.'),
  })
  .meta({ id: 'HardwareTransferred' });

export const MakeBin = z.strictObject({ name: text(60) }).meta({ id: 'MakeBin' });
export const PlaceView = z
  .object({ id: z.uuid(), kind: z.enum(PLACE_KINDS), name: z.string() })
  .meta({ id: 'Place' });
export const PlaceList = z.object({ items: z.array(PlaceView) }).meta({ id: 'PlaceList' });

const priceMinor = z.int().min(0).max(100_000_000);

/** What may be known of pieces that come in, whichever way. */
export const received = {
  expiresOn: day().optional().describe('Last day of use, by the label; after it, into no socket.'),
  priceMinor: priceMinor
    .optional()
    .describe("Price of each piece in whole minor units of the clinic's currency (C7)."),
  toPlaceId: uuid().describe('The bin.'),
};

export const ReceiveItems = z
  .strictObject({
    partId: uuid(),
    serials: z
      .array(text(60))
      .max(200)
      .default([])
      .describe('One for each piece that has a serial number.'),
    lot: text(60).optional(),
    count: z.int().min(1).max(200).optional().describe('Pieces of a lot without serial numbers.'),
    udi: text(200).optional().describe('The carrier as scanned, kept as it is.'),
    madeOn: day().optional().describe('Day of production, by the label.'),
    ...received,
  })
  .refine(
    (body) => body.serials.length > 0 || (body.lot !== undefined && body.count !== undefined),
    {
      message: 'serials, or a lot with its count',
      path: ['serials'],
    },
  )
  .refine((body) => body.serials.length === 0 || body.count === undefined, {
    message: 'no count beside serials: each serial is one piece',
    path: ['count'],
  })
  .refine((body) => new Set(body.serials).size === body.serials.length, {
    message: 'each serial once',
    path: ['serials'],
  })
  .meta({ id: 'ReceiveItems' });
/** What is told beside what was received, and refuses nothing. */
export const receivedWarnings = z
  .array(ReasonView)
  .describe('Serials that differ from another of the part only in capital and small letters.');
export const ItemsReceived = z
  .object({ itemIds: z.array(z.uuid()), warnings: receivedWarnings })
  .meta({ id: 'ItemsReceived' });

export const ItemView = z
  .object({
    id: z.uuid(),
    label: z.string(),
    serial: z.string().nullable(),
    lot: z.string().nullable(),
    udi: z.string().nullable(),
    expiresOn: dayOut().nullable().describe('Last day of use; null where its label gives none.'),
    madeOn: dayOut().nullable(),
    receivedAt: instantOut(),
    priceMinor: priceMinor
      .nullable()
      .describe(
        'What the piece cost, in whole minor units; null where nobody entered it, and for roles that do not see costs.',
      ),
    version: version().describe('Counts the changes of its price.'),
    part: z.object({
      id: z.uuid(),
      name: z.string(),
      kind: z.enum(PART_KINDS),
      singleUse: z.boolean(),
      ratedBodyMassKg: z.number().nullable(),
    }),
    placeId: z.uuid(),
    placeKind: z.enum(PLACE_KINDS),
    placeName: z.string(),
    position: z.enum(POSITIONS).nullable(),
    socketId: z.uuid().nullable(),
    socketNumber: z.string().nullable(),
    socketState: z.enum(SOCKET_STATES).nullable(),
    orderId: z.uuid().nullable(),
    withPatient: z.boolean().describe('In a delivered socket.'),
    movedAt: instantOut(),
    movedBy: z.string(),
  })
  .meta({ id: 'Item' });
export const ItemChange = z
  .strictObject({
    priceMinor: priceMinor
      .nullable()
      .describe('Price of the piece in whole minor units; null takes it back.'),
  })
  .partial()
  .meta({ id: 'ItemChange' });
export const ItemPage = pageOf(ItemView).meta({ id: 'ItemPage' });

export const ItemQuery = z.strictObject({
  ...pageQuery,
  placeId: uuid().optional(),
  partId: uuid().optional(),
  kind: z.enum(PART_KINDS).optional(),
  serial: text(60).optional(),
  lot: text(60).optional(),
  free: z
    .literal('true')
    .optional()
    .describe('Only what lies in a bin or out on the bench, and may be put into a socket.'),
});

export const MoveView = z
  .object({
    id: z.uuid(),
    seq: z.int(),
    fromPlace: z.string().nullable(),
    toPlace: z.string(),
    toSocketNumber: z.string().nullable(),
    reason: z.string(),
    note: z.string().nullable(),
    transferId: z.string().nullable(),
    serviceVisitId: z.string().nullable(),
    movedAt: instantOut(),
    movedBy: z.string(),
  })
  .meta({ id: 'Move' });
export const ItemHistory = z
  .object({ item: ItemView, moves: z.array(MoveView) })
  .meta({ id: 'ItemHistory' });

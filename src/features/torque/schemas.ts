import { z } from 'zod';
import { FASTENERS_MOST } from '../../domain/fasteners.ts';
import { JOINT_KINDS, SIDES, TORQUE_UNITS } from '../../domain/words.ts';
import { recordedAt, uuid } from '../../http/fields.ts';
import { ReasonView } from '../../http/reasonView.ts';

export const SocketParams = z.strictObject({ socketId: uuid() });
export const JointParams = z.strictObject({ socketId: uuid(), jointKind: z.enum(JOINT_KINDS) });

export const JointDrawingQuery = z.strictObject({
  fasteners: z.coerce.number().int().min(1).max(FASTENERS_MOST).describe('Screws of the joint.'),
  side: z
    .enum(SIDES)
    .optional()
    .describe('Of the patient; says which edge of the drawing is lateral. Left out: for either.'),
});

/** What evidence was taken upon: it is refused where anything else touched its positions since. */
const basedOn = z
  .strictObject({
    moveIds: z
      .array(uuid())
      .max(1000)
      .describe('`movesSoFar` of the socket, as it was when this was recorded.'),
    keys: z
      .array(z.string().min(8).max(100))
      .max(200)
      .default([])
      .describe('Idempotency-Keys of your own moves and transfers that were still on their way.'),
  })
  .optional()
  .meta({ id: 'BasedOn' });

interface Late {
  readonly recordedAt?: unknown;
  readonly basedOn?: unknown;
}
const together = ({ recordedAt: at, basedOn: upon }: Late): boolean =>
  (at === undefined) === (upon === undefined);
const TOGETHER = {
  message: 'given together with recordedAt: what was recorded earlier says what it was made upon',
  path: ['basedOn'],
};

export const ConfirmTorque = z
  .strictObject({
    recordedAt: recordedAt(),
    basedOn,
    toolId: uuid().describe('The torque tool used.'),
    threadlockerBatchId: uuid().optional(),
    readings: z
      .array(
        z.strictObject({
          fastener: z.int().min(1).max(8).describe('Number in the drawing of the joint.'),
          pass: z.int().min(1).max(10).describe('1 snug, 2 half, 3 full, or as many as were made.'),
          value: z.number().positive().max(10_000).describe('As the tool shows it.'),
          unit: z.enum(TORQUE_UNITS),
        }),
      )
      .max(80),
  })
  .refine(together, TOGETHER)
  .meta({ id: 'ConfirmTorque' });

export const TorqueConfirmed = z
  .object({
    confirmationId: z.uuid(),
    confirms: z.boolean().describe('False: the readings are kept and the joint stays open.'),
    because: z.array(ReasonView),
    acceptedBandNm: z
      .object({ fromNm: z.number(), toNm: z.number() })
      .describe("The setting's band, N·m, less the tool's permissible deviation on either side."),
    readings: z.array(
      z.object({
        fastener: z.int(),
        pass: z.int(),
        value: z.number(),
        unit: z.enum(TORQUE_UNITS),
        torqueNm: z.number(),
        inBand: z.boolean(),
        final: z.boolean().describe('The reading of the highest pass of its fastener.'),
      }),
    ),
  })
  .meta({ id: 'TorqueConfirmed' });

export const CheckLock = z
  .strictObject({
    recordedAt: recordedAt(),
    basedOn,
    cycles: z
      .array(
        z.strictObject({
          clicks: z.int().min(0).max(100).describe('Clicks counted while the pin goes in.'),
          heldUnderPull: z.boolean(),
          pullN: z.number().positive().max(2000).optional().describe('Pull, N, where measured.'),
          releasedByButton: z.boolean(),
        }),
      )
      .max(20),
  })
  .refine(together, TOGETHER)
  .meta({ id: 'CheckLock' });

export const LockChecked = z
  .object({
    lockCheckId: z.uuid(),
    passes: z.boolean(),
    leastClicks: z.int(),
    because: z.array(ReasonView),
  })
  .meta({ id: 'LockChecked' });

import { z } from 'zod';
import {
  BATCH_KINDS,
  FASTENER_SIZES,
  FINDING_KINDS,
  JOINT_KINDS,
  OPERATION_STATES,
  POSITIONS,
  PROPERTY_CLASSES,
  SIDES,
  SOCKET_KINDS,
  SOCKET_STATES,
  STAGES,
  SUSPENSIONS,
} from '../../domain/words.ts';
import { LONGEST_LAMINATION_MINUTES } from '../../domain/cups.ts';
import { CHECK_KINDS, SCANS_OF } from '../../domain/operations.ts';
import { instantOut, note, recordedAt, uuid, version } from '../../http/fields.ts';
import { ReasonView } from '../../http/reasonView.ts';
import { picturesGiven } from '../photos/schemas.ts';

/** A stored word of the closed list of findings. */
export const FindingKindOf = z.enum(FINDING_KINDS);

export const SocketParams = z.strictObject({ socketId: uuid() });
export const OrderParams = z.strictObject({ orderId: uuid() });
export const OperationParams = z.strictObject({ operationId: uuid() });

export const MakeSocket = z
  .strictObject({
    kind: z.enum(SOCKET_KINDS),
    castId: uuid().optional().describe('Without it, the newest accepted cast of the order.'),
    replacesSocketId: uuid()
      .optional()
      .describe(
        'Without it, the last socket of this kind where that one was rejected or scrapped.',
      ),
    sheetThicknessMm: z
      .number()
      .min(3)
      .max(20)
      .optional()
      .describe('Check socket only: thickness of the sheet before forming, mm.'),
  })
  .refine((body) => body.kind === 'check' || body.sheetThicknessMm === undefined, {
    message: 'a definitive socket has no sheet',
    path: ['sheetThicknessMm'],
  })
  .meta({ id: 'MakeSocket' });

export const CheckView = z
  .object({
    kind: z.enum(CHECK_KINDS),
    key: z.string().describe('The name of its answer.'),
    ask: z.string(),
    unit: z.string().optional(),
    min: z.number().nullable().optional(),
    max: z.number().nullable().optional(),
    batchKind: z.enum(BATCH_KINDS).optional(),
    amountAsked: z.boolean().optional(),
    of: z.enum(SCANS_OF).optional().describe('Whose code a scan is to be of.'),
  })
  .meta({ id: 'Check' });

export const OperationView = z
  .object({
    id: z.uuid(),
    seq: z.int(),
    kind: z.string(),
    title: z.string(),
    checks: z.array(CheckView),
    caution: z.string().nullable(),
    bench: z.string().nullable().describe('Where it is done.'),
    plannedMinutes: z.int().nullable(),
    state: z.enum(OPERATION_STATES),
    attempts: z.int(),
    lastRecordedAt: instantOut().nullable(),
    lastRecordedBy: z.string().nullable(),
  })
  .meta({ id: 'Operation' });

export const RecordOperation = z
  .strictObject({
    answers: z
      .record(
        z.string().max(60),
        z.union([
          z.boolean(),
          z.number(),
          note(1000),
          z.strictObject({
            batchId: uuid(),
            amount: z
              .number()
              .positive()
              .max(1_000_000)
              .optional()
              .describe("In the batch's unit."),
          }),
          z.strictObject({ personId: uuid() }),
          z.strictObject({
            scan: z.string().min(1).max(1000).describe('What the code says, as it was read.'),
          }),
          z.strictObject({ photos: picturesGiven.min(1) }),
        ]),
      )
      .refine((answers) => Object.keys(answers).length <= 40, 'at most 40 answers')
      .describe('One answer for each check of the operation, by its key.'),
    minutes: z
      .int()
      .min(0)
      .max(1440)
      .optional()
      .describe(
        `Bench time up to now, minutes. A lamination began so long ago (${LONGEST_LAMINATION_MINUTES} minutes at most): cups that could still be worked then were poured in time.`,
      ),
    recordedAt: recordedAt(),
    basedOn: z
      .strictObject({ attempts: z.int().min(0).describe('`attempts` of the operation as seen.') })
      .optional()
      .describe('What was on record for whoever recorded this; refused where there is more now.'),
  })
  .meta({ id: 'RecordOperation' });

export const OperationRecorded = z
  .object({
    recordId: z.uuid(),
    outcome: z.enum(['done', 'stopped']),
    because: z.array(ReasonView).describe('Why it was stopped.'),
    findingId: z.uuid().nullable(),
    next: z.object({ id: z.uuid(), title: z.string() }).nullable(),
  })
  .meta({ id: 'OperationRecorded' });

export const LeaveOutOperation = z
  .strictObject({ why: note(500) })
  .meta({ id: 'LeaveOutOperation' });

const TorqueSettingView = z.object({
  fastenerCount: z.int(),
  fastenerSize: z.enum(FASTENER_SIZES),
  propertyClass: z.enum(PROPERTY_CLASSES),
  torqueMinNm: z.number(),
  torqueMaxNm: z.number(),
  threadlocker: z.enum(['none', 'required']),
  document: z.string(),
  revision: z.string(),
});

export const JointView = z
  .object({
    kind: z.enum(JOINT_KINDS),
    setting: TorqueSettingView.nullable(),
    settingFrom: z.string().nullable().describe('The part whose setting governs the joint.'),
    tighteningOrder: z.array(z.int()).describe('Fasteners in the order to tighten them.'),
    items: z.array(z.object({ position: z.enum(POSITIONS), label: z.string() })),
    confirmed: z.boolean(),
    openBecause: z.string().nullable(),
    movesSoFar: z
      .array(z.uuid())
      .describe('Every move to and from its positions: what a torque confirmation is based on.'),
  })
  .meta({ id: 'Joint' });

const HeldView = z.object({
  itemId: z.uuid(),
  label: z.string(),
  position: z.enum(POSITIONS),
  partId: z.uuid(),
  singleUse: z.boolean(),
  cameFrom: z.string().nullable().describe('The place it came from: a bin, or another socket.'),
});

export const SocketView = z
  .object({
    id: z.uuid(),
    number: z.string(),
    kind: z.enum(SOCKET_KINDS),
    state: z.enum(SOCKET_STATES),
    order: z.object({
      id: z.uuid(),
      number: z.string(),
      stage: z.enum(STAGES),
      side: z.enum(SIDES),
      suspension: z.enum(SUSPENSIONS),
    }),
    chartNumber: z.string(),
    bodyMassKg: z.number().nullable(),
    castId: z.uuid(),
    castNumber: z.int(),
    replacesSocketId: z.uuid().nullable(),
    sheetThicknessMm: z.number().nullable(),
    curedAt: instantOut().nullable(),
    chamberInspectedAt: instantOut().nullable(),
    deliveredAt: instantOut().nullable(),
    startedAt: instantOut(),
    layup: z
      .object({ id: z.uuid(), running: z.int(), approved: z.boolean() })
      .nullable()
      .describe('The newest layup; null where none was drafted.'),
    operations: z.array(OperationView),
    nextOperationId: z.uuid().nullable().describe('The one operation to do next.'),
    hardware: z.array(HeldView),
    shopTools: z.array(
      z.object({ shopToolId: z.uuid(), name: z.string(), position: z.enum(POSITIONS) }),
    ),
    movedOn: z
      .array(z.object({ itemId: z.uuid(), label: z.string(), nowAt: z.string() }))
      .describe('Hardware that was in this socket and where it is now (R9).'),
    joints: z.array(JointView),
    lockCheckedNow: z.boolean().nullable().describe('Null where there is no lock to check.'),
    lockMovesSoFar: z
      .array(z.uuid())
      .describe('Every move of a lock or pin to and from here: what a lock check is based on.'),
    openFindings: z.array(z.object({ id: z.uuid(), kind: FindingKindOf, note: z.string() })),
    version: version(),
  })
  .meta({ id: 'Socket' });

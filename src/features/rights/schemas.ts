/** Retention, holds, corrections and erasures on the wire. */
import { z } from 'zod';
import { CORRECTABLE, CORRECTION_DECISIONS, DENIAL_GROUNDS } from '../../domain/corrections.ts';
import {
  ERASABLE,
  ERASURE_STATES,
  HOLD_SUBJECTS,
  RETENTION_GROUNDS,
} from '../../domain/retention.ts';
import {
  day,
  dayOut,
  idOf,
  instantOut,
  note,
  signatureGiven,
  text,
  uuid,
} from '../../http/fields.ts';
import { pageOf, pageQuery } from '../../http/paging.ts';
import { SAID } from './corrected.ts';

export const PatientParams = z.strictObject({ patientId: idOf('Patient') });
export const OrderParams = z.strictObject({ orderId: idOf('Order') });
export const PartParams = z.strictObject({ partId: idOf('Part') });
export const LotQuery = z.strictObject({
  lot: text(120).optional().describe('Only on this lot of it.'),
});
export const HoldParams = z.strictObject({ legalHoldId: idOf('Legal hold') });
export const RequestParams = z.strictObject({ correctionRequestId: idOf('Request') });
export const ErasureParams = z.strictObject({ erasureId: idOf('Erasure') });

const retention = {
  keptUntil: dayOut()
    .nullable()
    .describe('The first day on which it falls due for review; null while an order is under way.'),
  because: z.enum(RETENTION_GROUNDS).describe('What the years run from.'),
  from: dayOut().describe('The day that they run from.'),
};

export const DueQuery = z.strictObject({
  year: z.coerce
    .number()
    .int()
    .min(2000)
    .max(2199)
    .optional()
    .describe('All that falls due until the end of this year; left out: of next year.'),
  ...pageQuery,
});
export type DueQuery = z.output<typeof DueQuery>;

export const DueRecords = pageOf(
  z.object({
    patientId: uuid(),
    chartNumber: z.string(),
    ...retention,
    when: z.enum(['over', 'this_year', 'next_year', 'later']),
    holds: z
      .int()
      .describe('Legal holds in force that concern it; while there is one nothing is erased.'),
    erasureAsked: z.boolean().describe('Whether an erasure waits for its second person.'),
  }),
).meta({ id: 'DueRecords' });
export type DueRecords = z.input<typeof DueRecords>;

export const HoldToPlace = z
  .strictObject({
    patientId: uuid().optional(),
    orderId: uuid().optional(),
    partId: uuid().optional(),
    lot: text(120).optional().describe('Of the part; goes with partId.'),
    reason: note(500),
    reference: text(120).describe('Of whoever asked for it: a file number.'),
  })
  .refine(
    ({ patientId, orderId, partId, lot }) =>
      [patientId, orderId, partId].filter((each) => each !== undefined).length === 1 &&
      (partId === undefined) === (lot === undefined),
    'one of patientId, orderId, or partId with its lot',
  )
  .meta({ id: 'HoldToPlace' });
export type HoldToPlace = z.output<typeof HoldToPlace>;

export const HoldToLift = z.strictObject({ why: note(500) }).meta({ id: 'HoldToLift' });

export const HoldView = z
  .object({
    id: uuid(),
    subjectKind: z.enum(HOLD_SUBJECTS),
    patientId: uuid().nullable(),
    chartNumber: z.string().nullable(),
    orderId: uuid().nullable(),
    orderNumber: z.string().nullable(),
    partId: uuid().nullable(),
    partName: z.string().nullable(),
    lot: z.string().nullable(),
    reason: z.string(),
    reference: z.string(),
    placedAt: instantOut(),
    placedBy: z.string(),
    liftedAt: instantOut().nullable(),
    liftedBy: z.string().nullable(),
    liftReason: z.string().nullable(),
  })
  .meta({ id: 'LegalHold' });
export const HoldList = z.object({ items: z.array(HoldView) }).meta({ id: 'LegalHolds' });

export const RequestToRecord = z
  .strictObject({
    askedOn: day().describe('The day on which the patient asked.'),
    said: note(2000).describe('What the patient says is wrong, and what would be right.'),
  })
  .meta({ id: 'CorrectionRequestToRecord' });
export type RequestToRecord = z.output<typeof RequestToRecord>;

export const RequestDecision = z
  .strictObject({
    decision: z.enum(CORRECTION_DECISIONS),
    denialGround: z
      .enum(DENIAL_GROUNDS)
      .optional()
      .describe('Where it is denied: one of the grounds of 45 CFR 164.526(a)(2).'),
    reason: note(2000).describe('In plain words; the patient is told them.'),
  })
  .meta({ id: 'CorrectionDecision' });
export type RequestDecision = z.output<typeof RequestDecision>;

export const Disagreement = z.strictObject({ statement: note(4000) }).meta({ id: 'Disagreement' });

export const RequestView = z
  .object({
    id: uuid(),
    patientId: uuid(),
    askedOn: dayOut(),
    decideBy: dayOut().describe('Within 60 days of the request (45 CFR 164.526(b)(2)(i)).'),
    said: z.string(),
    recordedAt: instantOut(),
    recordedBy: z.string(),
    decision: z.enum(CORRECTION_DECISIONS).nullable(),
    denialGround: z.enum(DENIAL_GROUNDS).nullable(),
    decisionReason: z.string().nullable(),
    decidedAt: instantOut().nullable(),
    decidedBy: z.string().nullable(),
    disagreement: z.string().nullable(),
    disagreementAt: instantOut().nullable(),
    disagreementBy: z.string().nullable(),
  })
  .meta({ id: 'CorrectionRequest' });
export type RequestView = z.input<typeof RequestView>;

export const CorrectionToMake = z
  .strictObject({
    subjectKind: z.enum(CORRECTABLE),
    subjectId: uuid(),
    requestId: uuid().optional().describe('The accepted request that it answers.'),
    wrong: note(1000).describe('What is wrong in the record.'),
    right: note(1000).describe('What is right, in words; the record itself stays as it is.'),
    why: note(1000),
    signature: signatureGiven,
  })
  .meta({ id: 'CorrectionToMake' });
export type CorrectionToMake = z.output<typeof CorrectionToMake>;

export const CorrectionView = z
  .object({
    id: uuid(),
    patientId: uuid(),
    orderId: uuid().nullable(),
    orderNumber: z.string().nullable(),
    subjectKind: z.enum(CORRECTABLE),
    subjectId: uuid(),
    requestId: uuid().nullable(),
    ...SAID,
    signatureId: uuid(),
    contentSha256: z.string(),
    doneAgain: z
      .string()
      .nullable()
      .describe('What has to be done besides, for a correction changes no evidence; else null.'),
  })
  .meta({ id: 'Correction' });
export const CorrectionList = z
  .object({
    items: z.array(CorrectionView),
    holds: z.int().describe('Legal holds in force on the patient, the order, or a lot in it.'),
  })
  .meta({ id: 'Corrections' });

export const Correctables = z
  .object({
    items: z.array(
      z.object({
        kind: z.enum(CORRECTABLE),
        id: uuid(),
        at: instantOut(),
        by: z.string(),
        value: z
          .string()
          .nullable()
          .describe(
            'What tells it from others of its kind: a mass in kg, a number, a title, a word of its list; null where nothing does.',
          ),
        attempt: z.int().nullable().describe('Of an operation that was done more than once.'),
        orderNumber: z.string().nullable(),
        corrections: z.int(),
      }),
    ),
  })
  .meta({ id: 'CorrectableRecords' });

export const ErasureToAsk = z
  .strictObject({
    what: z
      .array(z.enum(ERASABLE))
      .min(1)
      .max(ERASABLE.length)
      .refine((what) => new Set(what).size === what.length, 'each once')
      .describe(
        'phone, address and desk_notes (what was said when fittings were booked and wearers called) at any time; identity (names, date of birth, photos, who received the limb, the words of corrections, and the rest) when the years of the record are over.',
      ),
    why: note(1000).describe('Without the values themselves: it stays in the record.'),
    legalBasis: text(200),
  })
  .meta({ id: 'ErasureToAsk' });
export type ErasureToAsk = z.output<typeof ErasureToAsk>;

export const ErasureToConfirm = z
  .strictObject({ signature: signatureGiven })
  .meta({ id: 'ErasureToConfirm' });

export const ErasureView = z
  .object({
    id: uuid(),
    patientId: uuid(),
    chartNumber: z.string(),
    what: z.array(z.enum(ERASABLE)),
    why: z.string(),
    legalBasis: z.string(),
    askedAt: instantOut(),
    askedBy: z.string(),
    state: z.enum(ERASURE_STATES),
    settledAt: instantOut().nullable(),
    settledBy: z.string().nullable(),
    erased: z.record(z.string(), z.int()).nullable().describe('How much was erased where.'),
  })
  .meta({ id: 'Erasure' });

export const RightsView = z
  .object({
    patientId: uuid(),
    chartNumber: z.string(),
    retention: z.object(retention),
    identityErased: z.boolean(),
    holds: z.array(HoldView),
    requests: z.array(RequestView).describe('None for roles that do not see what patients said.'),
    corrections: z.array(CorrectionView),
    erasures: z.array(ErasureView),
  })
  .meta({ id: 'PatientRights' });
export type RightsView = z.input<typeof RightsView>;

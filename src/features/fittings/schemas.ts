import { z } from 'zod';
import { FIT_NEXT_STEPS, FIT_REASONS, LIMB_AREAS } from '../../domain/words.ts';
import { note, signatureGiven, uuid } from '../../http/fields.ts';

export const SocketParams = z.strictObject({ socketId: uuid() });

export const AlignmentBody = z
  .strictObject({
    flexionDeg: z.number().min(-45).max(45).describe('Flexion +, extension −, degrees.'),
    adductionDeg: z.number().min(-30).max(30).describe('Adduction +, abduction −, degrees.'),
    anteriorOffsetMm: z.number().min(-120).max(120).describe('Pyramid anterior +, mm.'),
    lateralOffsetMm: z.number().min(-120).max(120).describe('Pyramid lateral +, mm.'),
    toeOutDeg: z.number().min(-45).max(60).describe('Toe-out +, degrees.'),
    heightToFloorMm: z.number().min(20).max(1200).describe('Pyramid to the floor, mm.'),
  })
  .meta({ id: 'Alignment' });

export const AcceptFit = z
  .strictObject({
    alignment: AlignmentBody,
    note: note(2000).optional(),
    signature: signatureGiven,
  })
  .meta({ id: 'AcceptFit' });
export const FitAccepted = z
  .object({ fittingId: z.uuid(), alignmentId: z.uuid(), signatureId: z.uuid() })
  .meta({ id: 'FitAccepted' });

export const RejectFit = z
  .strictObject({
    reasons: z.array(z.enum(FIT_REASONS)).min(1).max(12),
    areas: z.array(z.enum(LIMB_AREAS)).max(13).default([]),
    changes: note(2000).optional().describe('What is to be changed.'),
    nextStep: z.enum(FIT_NEXT_STEPS),
  })
  .meta({ id: 'RejectFit' });
export const FitRejected = z.object({ fittingId: z.uuid() }).meta({ id: 'FitRejected' });

export const AlignmentMeasured = z
  .object({
    alignmentId: z.uuid(),
    differences: z
      .array(
        z.object({
          component: z.string(),
          words: z.string(),
          unit: z.enum(['°', 'mm']),
          difference: z.number().describe('Measured less accepted.'),
          within: z.boolean().describe("Within the clinic's tolerance (R14)."),
        }),
      )
      .nullable()
      .describe('Null where no fit was accepted to compare with.'),
  })
  .meta({ id: 'AlignmentMeasured' });

export const AcceptDifference = z
  .strictObject({ why: note(1000), signature: signatureGiven })
  .meta({ id: 'AcceptDifference' });
export const DifferenceAccepted = z
  .object({ alignmentId: z.uuid(), signatureId: z.uuid() })
  .meta({ id: 'DifferenceAccepted' });

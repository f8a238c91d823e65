import { z } from 'zod';
import { FIT_NEXT_STEPS, FIT_REASONS, LIMB_AREAS } from '../../domain/words.ts';
import { note, signatureGiven, uuid } from '../../http/fields.ts';
import { AlignmentBody, AlignmentWarnings } from './alignmentSchemas.ts';

export const SocketParams = z.strictObject({ socketId: uuid() });

export const AcceptFit = z
  .strictObject({
    alignment: AlignmentBody,
    note: note(2000).optional(),
    signature: signatureGiven,
  })
  .meta({ id: 'AcceptFit' });
export const FitAccepted = z
  .object({
    fittingId: z.uuid(),
    alignmentId: z.uuid(),
    signatureId: z.uuid(),
    warnings: AlignmentWarnings,
  })
  .meta({ id: 'FitAccepted' });
export type FitAccepted = z.input<typeof FitAccepted>;

export const RejectFit = z
  .strictObject({
    reasons: z.array(z.enum(FIT_REASONS)).min(1).max(12),
    areas: z.array(z.enum(LIMB_AREAS)).max(13).default([]),
    changes: note(2000).optional().describe('What is to be changed.'),
    nextStep: z.enum(FIT_NEXT_STEPS),
  })
  .meta({ id: 'RejectFit' });
export const FitRejected = z.object({ fittingId: z.uuid() }).meta({ id: 'FitRejected' });

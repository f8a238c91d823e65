import { z } from 'zod';
import { DISPOSITIONS, FINDING_KINDS } from '../../domain/words.ts';
import { note, recordedAt, signatureGiven, uuid } from '../../http/fields.ts';
import { picturesGiven } from '../photos/schemas.ts';

export const SocketParams = z.strictObject({ socketId: uuid() });
export const FindingParams = z.strictObject({ findingId: uuid() });

export const ReportFinding = z
  .strictObject({
    kind: z.enum(FINDING_KINDS),
    note: note(2000).describe('What was seen, and where.'),
    batchId: uuid()
      .optional()
      .describe('The batch to blame, of those that went into the socket (R8).'),
    operationId: uuid().optional().describe('The operation it came up at; it is stopped.'),
    recordedAt: recordedAt(),
    photos: picturesGiven.optional().describe('What it looks like.'),
  })
  .meta({ id: 'ReportFinding' });
export const FindingReported = z.object({ findingId: z.uuid() }).meta({ id: 'FindingReported' });

export const DisposeOfFinding = z
  .strictObject({
    disposition: z
      .enum(DISPOSITIONS)
      .exclude(['accept_as_is'])
      .describe('Rework is the bench’s; to remake or to scrap is a prosthetist’s decision.'),
    why: note(1000),
    recordedAt: recordedAt(),
  })
  .meta({ id: 'DisposeOfFinding' });
export const FindingClosed = z.object({ findingId: z.uuid() }).meta({ id: 'FindingClosed' });

export const AcceptFinding = z
  .strictObject({ why: note(1000), signature: signatureGiven })
  .meta({ id: 'AcceptFinding' });
export const FindingAccepted = z
  .object({ findingId: z.uuid(), signatureId: z.uuid() })
  .meta({ id: 'FindingAccepted' });

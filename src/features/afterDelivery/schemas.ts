import { z } from 'zod';
import { SERVICE_KINDS } from '../../domain/words.ts';
import { note, signatureGiven, uuid } from '../../http/fields.ts';

export const OrderParams = z.strictObject({ orderId: uuid() });
export const VisitParams = z.strictObject({ serviceVisitId: uuid() });

export const OpenVisit = z
  .strictObject({ socketId: uuid(), kind: z.enum(SERVICE_KINDS), note: note(2000) })
  .meta({ id: 'OpenVisit' });
export const VisitOpened = z.object({ serviceVisitId: z.uuid() }).meta({ id: 'VisitOpened' });

export const CloseVisit = z
  .strictObject({ outcome: note(2000), signature: signatureGiven })
  .meta({ id: 'CloseVisit' });
export const VisitClosed = z
  .object({ serviceVisitId: z.uuid(), signatureId: z.uuid() })
  .meta({ id: 'VisitClosed' });

export const DueQuery = z.strictObject({
  withinDays: z.coerce.number().int().min(0).max(730).default(30).describe('Days from today.'),
});
export const DueList = z
  .object({
    today: z.string(),
    items: z.array(
      z.object({
        orderId: z.uuid(),
        orderNumber: z.string(),
        socketId: z.uuid(),
        socketNumber: z.string(),
        chartNumber: z.string(),
        dueOn: z.string(),
        because: z.enum(['first_recheck', 'service_interval']),
        lastSeenOn: z.string(),
      }),
    ),
  })
  .meta({ id: 'DueList' });

export const OpenRemake = z
  .strictObject({
    why: note(1000),
    newCast: z.boolean().describe('True: back to casting. False: laminate again over this cast.'),
  })
  .meta({ id: 'OpenRemake' });
export const RemakeOpened = z.object({ orderId: z.uuid() }).meta({ id: 'RemakeOpened' });

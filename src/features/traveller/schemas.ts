import { z } from 'zod';
import { PAPER_NAMES } from '../../documents/page.ts';

export const TravellerQuery = z.strictObject({
  paper: z.enum(PAPER_NAMES).optional().describe('Left out: the paper of the clinic.'),
});

export const ScannedOrder = z
  .object({
    number: z.string().describe('The order number, as printed.'),
    order: z.string().describe('Where it is read, once signed in.'),
  })
  .meta({ id: 'ScannedOrder' });

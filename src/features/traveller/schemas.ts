import { z } from 'zod';
import { PAPER_NAMES } from '../../documents/page.ts';

export const TravellerQuery = z.strictObject({
  paper: z.enum(PAPER_NAMES).optional().describe('Left out: the paper of the clinic.'),
});

import { z } from 'zod';

/** A reason in an answer: what is missing, what was not confirmed, what to look at. */
export const ReasonView = z
  .object({
    code: z.string(),
    rule: z.string().nullable().describe('The rule that says so, R1 to R16, where one does.'),
    title: z.string(),
    detail: z.string(),
    wayOut: z.string().describe('What to do about it.'),
  })
  .meta({ id: 'Reason' });

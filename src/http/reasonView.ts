import { z } from 'zod';

/** Facts of a reason, by name. */
export const reasonFacts = z.record(
  z.string(),
  z.union([z.string(), z.number(), z.boolean(), z.null(), z.array(z.string()).readonly()]),
);

/** A reason in an answer: what is missing, what was not confirmed, what to look at. */
export const ReasonView = z
  .object({
    code: z.string(),
    rule: z.string().nullable().describe('The rule that says so, R1 to R16, where one does.'),
    title: z.string(),
    detail: z.string(),
    wayOut: z.string().describe('What to do about it.'),
    facts: reasonFacts.describe('What the words are made of, for other languages and units.'),
  })
  .meta({ id: 'Reason' });

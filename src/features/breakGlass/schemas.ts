/** Opening a patient's fields for a reason, and its review, on the wire. */
import { z } from 'zod';
import { OPENABLE } from '../../access/minimumNecessary.ts';
import { BREAK_GLASS_REASONS, LEAST_WORDS } from '../../domain/breakGlass.ts';
import { idOf, instantOut, note, uuid } from '../../http/fields.ts';
import { pageOf, pageQuery } from '../../http/paging.ts';

const reason = z.enum(BREAK_GLASS_REASONS);
export const MoreParams = z.strictObject({ patientId: idOf('Patient') });

export const MoreAsked = z
  .strictObject({
    reason,
    words: note(1000)
      .min(LEAST_WORDS)
      .describe('What happened, in own words; who reviews it reads them.'),
  })
  .meta({ id: 'MoreAsked' });
export type MoreAsked = z.output<typeof MoreAsked>;

export const MoreOpened = z
  .object({
    breakGlassId: uuid(),
    fields: z.array(z.enum(OPENABLE)),
    openUntil: instantOut(),
  })
  .meta({
    id: 'MoreOpened',
    description:
      'Nothing of the patient: this answer is kept with its key, and what was opened closes again. Read the patient’s page.',
  });
export type MoreOpened = z.input<typeof MoreOpened>;

export const OpeningsQuery = z.strictObject({
  ...pageQuery,
  reviewed: z.enum(['yes', 'no']).optional().describe('Left out: both.'),
});
export type OpeningsQuery = z.output<typeof OpeningsQuery>;

const who = z.object({ id: uuid(), printedName: z.string() });
export const OpeningView = z
  .object({
    id: uuid(),
    patient: z.object({ id: uuid(), chartNumber: z.string() }),
    reason,
    words: z.string(),
    fields: z.array(z.string()),
    openedAt: instantOut(),
    openedBy: who,
    until: instantOut(),
    review: z
      .object({
        inOrder: z.boolean(),
        words: z.string().nullable(),
        reviewedAt: instantOut(),
        reviewedBy: z.string().describe('Printed name.'),
      })
      .nullable()
      .describe('The newest; null until somebody reviewed it.'),
  })
  .meta({ id: 'Opening' });
export type OpeningView = z.input<typeof OpeningView>;
export const Openings = pageOf(OpeningView).meta({ id: 'Openings' });

export const ReviewParams = z.strictObject({ breakGlassId: idOf('Opening') });
export const ReviewGiven = z
  .strictObject({
    inOrder: z.boolean(),
    words: note(1000).optional().describe('Needed where it was not in order.'),
  })
  .refine(({ inOrder, words }) => inOrder || words !== undefined, {
    message: 'what was not in order',
    path: ['words'],
  })
  .meta({ id: 'ReviewGiven' });

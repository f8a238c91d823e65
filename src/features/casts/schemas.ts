import { z } from 'zod';
import { CAST_METHODS, MEASURES_COUNT } from '../../domain/measures.ts';
import { CAST_STATES } from '../../domain/words.ts';
import { day, instantOut, note, uuid } from '../../http/fields.ts';

const millimetres = (least: number, greatest: number) => z.number().min(least).max(greatest);

const Measures = z.strictObject({
  heightMm: millimetres(0, 1200).describe('Above the distal end, in millimetres.'),
  // Down to 1, so that centimetres typed as millimetres are answered in words.
  circumferenceMm: millimetres(1, 1200).describe('In millimetres.'),
});

const taken = {
  method: z.enum(CAST_METHODS),
  takenOn: day(),
  limbLengthMm: millimetres(1, 1200).describe(
    'From the distal end to the landmark, in millimetres.',
  ),
};

export const CastToTake = z
  .strictObject({
    ...taken,
    note: note(2000).optional(),
    measures: z
      .array(Measures)
      .min(MEASURES_COUNT.least)
      .max(MEASURES_COUNT.most)
      .describe('From the distal end upwards.'),
  })
  .meta({ id: 'CastToTake' });
export type CastToTake = z.output<typeof CastToTake>;

export const CastRejection = z.strictObject({ reason: note(1000) }).meta({ id: 'CastRejection' });

export const CastView = z
  .object({
    id: uuid(),
    orderId: uuid(),
    number: z.int().describe('Counted within the order.'),
    ...taken,
    takenBy: z.string().describe('Printed name.'),
    state: z.enum(CAST_STATES),
    note: z.string().nullable(),
    decidedAt: instantOut().nullable(),
    decidedBy: z.string().nullable(),
    decisionReason: z.string().nullable(),
    modelBrokenOutAt: instantOut().nullable(),
    recordedAt: instantOut(),
    measures: z.array(Measures),
  })
  .meta({ id: 'Cast' });
export type CastView = z.input<typeof CastView>;
export const Casts = z.object({ items: z.array(CastView) }).meta({ id: 'Casts' });

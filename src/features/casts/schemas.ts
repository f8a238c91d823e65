import { z } from 'zod';
import { CAST_METHODS, MEASURES_COUNT } from '../../domain/measures.ts';
import { CAST_STATES } from '../../domain/words.ts';
import { day, instantOut, note, uuid } from '../../http/fields.ts';

export const millimetres = (least: number, greatest: number) => z.number().min(least).max(greatest);

const Measure = z.strictObject({
  heightMm: millimetres(0, 1200).describe('Above the distal end, in millimetres.'),
  // Down to 1, so that centimetres typed as millimetres are answered in words.
  circumferenceMm: millimetres(1, 1200).describe('In millimetres.'),
});

/** A table of measures as it is typed. */
export const MeasureTable = z
  .array(Measure)
  .min(MEASURES_COUNT.least)
  .max(MEASURES_COUNT.most)
  .describe('From the distal end upwards.');
/** The same as it is read back. */
export const MeasuresRead = z.array(Measure).describe('From the distal end upwards.');

/** Limits wide, so that a slip of the keys is answered with what is usual. */
export const capDepthMm = () =>
  millimetres(0, 1200).describe(
    'Depth of the distal cap, from the lowest height to the tip of the limb, in millimetres. Where nobody measured it: the lowest height, or half the radius there (C1).',
  );

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
    capDepthMm: capDepthMm().optional(),
    note: note(2000).optional(),
    measures: MeasureTable,
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
    capDepthMm: capDepthMm().nullable(),
    takenBy: z.string().describe('Printed name.'),
    state: z.enum(CAST_STATES),
    note: z.string().nullable(),
    decidedAt: instantOut().nullable(),
    decidedBy: z.string().nullable(),
    decisionReason: z.string().nullable(),
    modelBrokenOutAt: instantOut().nullable(),
    recordedAt: instantOut(),
    measureSetId: uuid().describe('The set that the measures stand in (C1).'),
    measures: MeasuresRead,
  })
  .meta({ id: 'Cast' });
export type CastView = z.input<typeof CastView>;
export const Casts = z.object({ items: z.array(CastView) }).meta({ id: 'Casts' });

import { z } from 'zod';
import { PLY_MEANS, VOLUME_DECISIONS } from '../../domain/limbVolume.ts';
import { MEASURE_OCCASIONS } from '../../domain/measures.ts';
import { LEVELS, STAGES } from '../../domain/words.ts';
import { day, idOf, instantOut, note, uuid } from '../../http/fields.ts';
import { ReasonView } from '../../http/reasonView.ts';
import { capDepthMm, MeasuresRead, MeasureTable, millimetres } from '../casts/schemas.ts';

export const OrderParams = z.strictObject({ orderId: idOf('Order') });
export const SetParams = z.strictObject({ measureSetId: idOf('Set of measures') });

const limbLengthMm = millimetres(1, 1200).describe(
  'From the distal end to the landmark, in millimetres.',
);

export const MeasureSetToTake = z
  .strictObject({
    occasion: z
      .enum(MEASURE_OCCASIONS)
      .exclude(['cast'])
      .describe('Measures of a cast are sent with the cast.'),
    socketId: uuid().optional().describe('The socket of this order that was on trial.'),
    takenOn: day(),
    limbLengthMm,
    capDepthMm: capDepthMm().optional(),
    note: note(2000).optional(),
    measures: MeasureTable.describe(
      'From the distal end upwards; at the heights of the cast, so that they can be compared.',
    ),
  })
  .meta({ id: 'MeasureSetToTake' });
export type MeasureSetToTake = z.output<typeof MeasureSetToTake>;

const LimbGeometryView = z
  .object({
    volumeMl: z.number().describe('Cones and cap, in mL.'),
    conesMl: z
      .number()
      .describe('Σ h·(C₁² + C₁C₂ + C₂²)/12π over the heights with measures, in mL.'),
    capMl: z
      .number()
      .describe('The end below the lowest height: half an ellipsoid, ⅔πr²·depth, in mL.'),
    capDepthMm: z.number().describe('In millimetres.'),
    capDepthSource: z
      .enum(['given', 'lowest_height', 'assumed'])
      .describe(
        'given: measured · lowest_height: the table starts above the distal end · assumed: half the radius of the lowest section (common practice, no source).',
      ),
    lateralAreaMm2: z
      .number()
      .describe('Of the wall with measures, Σ ½(C₁ + C₂)·√(h² + ((C₁ − C₂)/2π)²), in mm².'),
    greatestCircumferenceMm: z.number(),
    meanCircumferenceMm: z.number().describe('Lateral area by length of the wall, in millimetres.'),
  })
  .meta({
    id: 'LimbGeometry',
    description:
      'C1: truncated cones with round sections (Medical Algorithms, “Estimating the volume of a swollen limb using a series of truncated cones”). By tape such volumes repeat well and are off by 2 to 8 % against water displacement (Chromy et al., SpringerPlus 2015): good for a change in one limb.',
  });

export const MeasureSetView = z
  .object({
    id: uuid(),
    orderId: uuid(),
    orderNumber: z.string(),
    level: z.enum(LEVELS),
    occasion: z.enum(MEASURE_OCCASIONS),
    castId: uuid().nullable(),
    castNumber: z.int().nullable().describe('Counted within the order.'),
    socketId: uuid().nullable(),
    socketNumber: z.string().nullable().describe('The socket that was on trial, where one was.'),
    takenOn: day(),
    takenBy: z.string().describe('Printed name.'),
    limbLengthMm,
    note: z.string().nullable(),
    measures: MeasuresRead,
    geometry: LimbGeometryView,
    recordedAt: instantOut(),
  })
  .meta({ id: 'MeasureSet' });
export type MeasureSetView = z.input<typeof MeasureSetView>;

const decided = {
  decision: z.enum(VOLUME_DECISIONS),
  why: z.string().nullable(),
  differenceMl: z.number().describe('At the moment of the decision, in mL.'),
  percent: z.number().describe('Difference in per cent of the first set, at that moment.'),
  ply: z
    .int()
    .describe("Whole ply of sock to add (positive) or to take off, by the clinic's setting then."),
  limitPercent: z.number().describe("The clinic's limit of that moment, per cent."),
  decidedAt: instantOut(),
  decidedBy: z.string().describe('Printed name.'),
};
const VolumeDecisionView = z.object({ id: uuid(), ...decided }).meta({ id: 'VolumeDecision' });

const ComparedSet = z.object({
  id: uuid(),
  orderNumber: z.string(),
  occasion: z.enum(MEASURE_OCCASIONS),
  castNumber: z.int().nullable(),
  takenOn: day(),
});

export const VolumeComparisonView = z
  .object({
    first: ComparedSet.describe('The earlier of the two, whichever was named first.'),
    second: ComparedSet,
    fromMm: z.number().describe('Lowest height that both have, in millimetres.'),
    toMm: z
      .number()
      .describe('Highest height that both have; at the cuts circumferences are interpolated.'),
    firstMl: z.number().describe('Between these heights, without the cap, in mL.'),
    secondMl: z.number(),
    differenceMl: z.number().describe('Second less first: negative where the limb has shrunk.'),
    percent: z.number().describe('Difference in per cent of the first.'),
    ply: z
      .int()
      .describe("Whole ply of sock to add (positive) or to take off, by the clinic's setting."),
    plyMeans: z.enum(PLY_MEANS).describe('Whether the clinic counts a ply in mL or per cent.'),
    perPly: z.number().describe('What one ply makes up for, in that unit.'),
    limitPercent: z.number().describe('A change past this asks for a decision.'),
    asks: ReasonView.nullable().describe('The question to the prosthetist; null within the limit.'),
    decision: VolumeDecisionView.nullable(),
  })
  .meta({ id: 'VolumeComparison' });
export type VolumeComparisonView = z.input<typeof VolumeComparisonView>;

/** The limb against its newest accepted cast. */
const sinceCast = {
  sinceCast: VolumeComparisonView.nullable().describe(
    'Against the measures of the newest accepted cast of the limb; null where there is none, or nothing newer.',
  ),
  notCompared: ReasonView.nullable().describe('Why the two cannot be compared, where they cannot.'),
};

export const MeasureSets = z
  .object({
    items: z.array(MeasureSetView).describe('The oldest first.'),
    ...sinceCast,
  })
  .meta({ id: 'MeasureSets' });
export type MeasureSets = z.input<typeof MeasureSets>;

export const MeasureSetTaken = z
  .object({ set: MeasureSetView, ...sinceCast })
  .meta({ id: 'MeasureSetTaken' });
export type MeasureSetTaken = z.input<typeof MeasureSetTaken>;

export const ComparisonQuery = z.strictObject({
  first: uuid().describe('A set of measures.'),
  second: uuid().describe('Another of the same limb.'),
});

export const ProfileQuery = z.strictObject({
  with: uuid().optional().describe('Another set of the limb, drawn dashed over it.'),
});

export const VolumeDecisionToMake = z
  .strictObject({
    firstSetId: uuid(),
    secondSetId: uuid(),
    decision: z.enum(VOLUME_DECISIONS),
    why: note(1000).optional(),
  })
  .meta({ id: 'VolumeDecisionToMake' });
export type VolumeDecisionToMake = z.output<typeof VolumeDecisionToMake>;

export const VolumeDecided = z
  .object({
    comparison: VolumeComparisonView,
    orderStage: z
      .enum(STAGES)
      .describe(
        'Of the order of the cast while that is open, else of the later set’s; after the decision.',
      ),
    whatNext: z
      .object({
        words: z.string(),
        method: z.literal('POST'),
        url: z.string().describe('The route that does it.'),
      })
      .nullable()
      .describe('After `new_cast`: how the order comes to its new cast.'),
  })
  .meta({ id: 'VolumeDecided' });
export type VolumeDecided = z.input<typeof VolumeDecided>;

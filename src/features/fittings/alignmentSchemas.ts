import { z } from 'zod';
import { ALIGNMENT_OCCASIONS } from '../../domain/alignment.ts';
import { POSITIONS, SIDES } from '../../domain/words.ts';
import { instantOut, note, signatureGiven, uuid } from '../../http/fields.ts';
import { ReasonView } from '../../http/reasonView.ts';

const values = {
  flexionDeg: z.number().min(-45).max(45).describe('Flexion +, extension −, degrees.'),
  adductionDeg: z.number().min(-30).max(30).describe('Adduction +, abduction −, degrees.'),
  anteriorOffsetMm: z.number().min(-120).max(120).describe('Pyramid anterior +, mm.'),
  lateralOffsetMm: z.number().min(-120).max(120).describe('Pyramid lateral +, mm.'),
  toeOutDeg: z.number().min(-45).max(60).describe('Toe-out +, degrees.'),
  // Wide, so that centimetres typed as millimetres are answered in words.
  heightToFloorMm: z
    .number()
    .min(1)
    .max(5000)
    .describe('Pyramid to the floor, mm; usually 120 to 550.'),
};
export const AlignmentBody = z.strictObject(values).meta({ id: 'Alignment' });

const DIRECTION =
  'Seen from above: 0 anterior, 90 lateral, 180 posterior, 270 medial; null where there is none.';
const tilt = {
  tiltDeg: z
    .number()
    .describe('Of the socket’s axis from the vertical: tan²tilt = tan²flexion + tan²adduction.'),
  towardsDeg: z.number().nullable().describe(`Which way the upper end leans. ${DIRECTION}`),
  towards: z.string().nullable().describe('The same in words, to the nearest 45°.'),
};

const Differences = z
  .array(
    z.object({
      component: z.string(),
      words: z.string(),
      unit: z.enum(['°', 'mm']),
      difference: z.number().describe('Measured less accepted.'),
      within: z.boolean().describe("Within the clinic's tolerance (R14)."),
    }),
  )
  .nullable()
  .describe('Null where no fit was accepted to compare with.');

const SCREW_SIDES = ['anterior', 'posterior', 'medial', 'lateral'] as const;
export const CorrectionView = z
  .object({
    tiltDeg: z.number().describe('The one turn that carries the measured axis into the accepted.'),
    towardsDeg: z.number().nullable().describe(DIRECTION),
    towards: z.string().nullable(),
    screws: z
      .array(
        z.object({
          plane: z.enum(['flexion', 'adduction']),
          changeDeg: z.number().describe('To be added to the angle, with its sign.'),
          loosen: z.enum(SCREW_SIDES),
          tighten: z.enum(SCREW_SIDES),
        }),
      )
      .describe(
        'What the opposite pairs of set screws must undo. From the geometry; common practice, no source.',
      ),
    shiftMm: z.number().describe('The pyramid’s shift; set screws cannot do this.'),
    shiftTowardsDeg: z.number().nullable().describe(DIRECTION),
    shiftTowards: z.string().nullable(),
    toeOutDeg: z.number().describe('To be added at the tube clamp or a rotatable adapter.'),
    heightMm: z.number().describe('To be added to the height.'),
  })
  .meta({ id: 'AlignmentCorrection' });
export type CorrectionView = z.input<typeof CorrectionView>;

const correction = CorrectionView.nullable().describe(
  'What must be undone so that it becomes the accepted one (C6); null where no fit was accepted.',
);

export const AlignmentWarnings = z
  .array(ReasonView)
  .describe(
    'Pyramid or adapter that the tilt is too much for, by its own document (C6): it stands in the way of delivery until it is changed or signed for.',
  );

export const AlignmentMeasured = z
  .object({
    alignmentId: z.uuid(),
    differences: Differences,
    correction,
    warnings: AlignmentWarnings,
  })
  .meta({ id: 'AlignmentMeasured' });
export type AlignmentMeasured = z.input<typeof AlignmentMeasured>;

const measured = {
  id: uuid(),
  socketId: uuid(),
  socketNumber: z.string(),
  occasion: z.enum(ALIGNMENT_OCCASIONS),
  measuredAt: instantOut(),
  measuredBy: z.string().describe('Printed name.'),
  differenceSigned: z.boolean().describe('A prosthetist accepted by signature that it differs.'),
  alignment: AlignmentBody,
  ...tilt,
};

const RangeView = z
  .object({
    position: z.enum(POSITIONS),
    item: z.string(),
    partId: uuid(),
    rangeDeg: z
      .number()
      .nullable()
      .describe('Either way, by the part’s own document, degrees; taken for the combined tilt.'),
    left: z
      .object({
        tiltDeg: z.number(),
        moreFlexionDeg: z.number(),
        moreExtensionDeg: z.number(),
        moreAdductionDeg: z.number(),
        moreAbductionDeg: z.number(),
      })
      .nullable()
      .describe('Degrees left each way while the other plane stays as it is.'),
    unknownBecause: z.string().nullable().describe('Why `left` is null, in words.'),
  })
  .meta({ id: 'AdapterRange' });
export type RangeView = z.input<typeof RangeView>;

export const Alignments = z
  .object({
    socketId: uuid(),
    socketNumber: z.string(),
    side: z.enum(SIDES),
    tolerance: z.object({
      angleDeg: z.number().describe('The clinic’s, degrees (R14).'),
      lengthMm: z.number().describe('Millimetres.'),
    }),
    accepted: z
      .object(measured)
      .nullable()
      .describe('Of the newest accepted fit of the order; null where there is none.'),
    items: z
      .array(
        z.object({
          ...measured,
          covers: z
            .boolean()
            .describe('Whether pyramid and adapter still sit as they did when it was measured.'),
          differences: Differences,
          correction,
        }),
      )
      .describe('Measured on this socket, the oldest first.'),
    ranges: z
      .array(RangeView)
      .describe('What pyramid and adapter in the socket have left from the newest alignment.'),
  })
  .meta({ id: 'Alignments' });
export type Alignments = z.input<typeof Alignments>;

export const AcceptDifference = z
  .strictObject({
    alignmentId: uuid().describe('The alignment that was seen: the newest of the socket.'),
    why: note(1000),
    signature: signatureGiven,
  })
  .meta({ id: 'AcceptDifference' });
export const DifferenceAccepted = z
  .object({ alignmentId: z.uuid(), signatureId: z.uuid() })
  .meta({ id: 'DifferenceAccepted' });

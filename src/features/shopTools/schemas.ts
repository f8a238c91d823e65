import { z } from 'zod';
import {
  PLACE_KINDS,
  SHOP_TOOL_KINDS,
  TORQUE_TOOL_CLASSES,
  TORQUE_TOOL_TYPES,
} from '../../domain/words.ts';
import { day, dayOut, instantOut, note, text, uuid, version } from '../../http/fields.ts';
import { pageOf, pageQuery } from '../../http/paging.ts';
import { ReasonView } from '../../http/reasonView.ts';

const serial = text(80);
const holePattern = text(60);
const newtonMetres = z.number().gt(0).max(1000);
const common = {
  name: text(80).describe('As on its label; once in the clinic.'),
  serial: serial.optional(),
  toPlaceId: uuid().describe('The bin that it is received into.'),
};

export const ShopToolToAdd = z
  .discriminatedUnion('kind', [
    z.strictObject({
      kind: z.literal('fabrication_dummy'),
      ...common,
      holePattern: holePattern.optional(),
    }),
    z.strictObject({
      kind: z.literal('tooling_plate'),
      ...common,
      holePattern: holePattern.optional(),
    }),
    z.strictObject({
      kind: z.literal('torque_tool'),
      ...common,
      toolType: z.enum(TORQUE_TOOL_TYPES).describe('ISO 6789-1 Type I indicates, Type II is set.'),
      toolClass: z.enum(TORQUE_TOOL_CLASSES),
      minNm: newtonMetres.describe('Least torque of its range, N·m.'),
      maxNm: newtonMetres.describe('Greatest torque of its range, N·m.'),
    }),
  ])
  .meta({ id: 'ShopToolToAdd' });
export type ShopToolToAdd = z.output<typeof ShopToolToAdd>;

const calibration = {
  calibratedOn: day(),
  certificate: text(120),
  laboratory: text(120),
};
const perCent = z.number().min(-100).max(100);
const deviationPercent = perCent.describe(
  'Greatest deviation found as the tool came in, per cent. Beyond the permissible one the tool proves nothing (R4, ISO 6789-1:2017, 5.1.5).',
);
const deviationAfterPercent = perCent.describe(
  'Greatest deviation left, per cent, where the laboratory adjusted the tool: then this decides whether it proves.',
);

export const CalibrationToAdd = z
  .strictObject({
    ...calibration,
    validUntil: day().optional().describe('Where the certificate itself names the next day.'),
    deviationPercent: deviationPercent.optional(),
    deviationAfterPercent: deviationAfterPercent.optional(),
  })
  .meta({ id: 'CalibrationToAdd' });
export type CalibrationToAdd = z.output<typeof CalibrationToAdd>;

const CalibrationView = z.object({
  id: uuid(),
  ...calibration,
  validUntil: dayOut().nullable(),
  deviationPercent: deviationPercent.nullable(),
  deviationAfterPercent: deviationAfterPercent.nullable(),
  inDoubt: z
    .object({
      confirmations: z
        .int()
        .describe('Torque confirmations with the tool since the calibration before.'),
      trace: z.string().describe('Where they are listed: the trace by this tool.'),
    })
    .nullable()
    .describe(
      'Null where the tool was found within its permissible deviation. Found beyond it, adjusted since or not, what it closed since the calibration before is in doubt.',
    ),
  recordedAt: instantOut(),
});

export const ShopToolView = z
  .object({
    id: uuid(),
    kind: z.enum(SHOP_TOOL_KINDS),
    name: z.string(),
    serial: z.string().nullable(),
    holePattern: z.string().nullable(),
    toolType: z.enum(TORQUE_TOOL_TYPES).nullable(),
    toolClass: z.enum(TORQUE_TOOL_CLASSES).nullable(),
    minNm: z.number().nullable().describe('Newton-metres.'),
    maxNm: z.number().nullable().describe('Newton-metres.'),
    permissibleDeviationPercent: z
      .number()
      .nullable()
      .describe(
        'Per cent of the reading, by type, class and greatest torque (ISO 6789-1:2017, 5.1.5); the accepted band is the setting less this (R4).',
      ),
    outOfService: z.boolean(),
    place: z.object({ id: uuid(), kind: z.enum(PLACE_KINDS), name: z.string() }).nullable(),
    calibrationDueOn: dayOut().nullable().describe('Null where it was never calibrated.'),
    calibrationToday: z
      .object({
        on: dayOut().describe('The day at the clinic.'),
        proves: z.boolean().describe('Whether one more reading with it would count today (R4).'),
        because: z.array(ReasonView).describe('Why not.'),
        usesSince: z
          .int()
          .describe(
            'Readings from the day of its newest calibration on, that day’s included, as the book counts them; a calibration of an older day resets nothing.',
          ),
        usesAllowed: z
          .int()
          .describe('Twelve months or so many uses, whichever comes first (ISO 6789-1:2017, 5.3).'),
        usesLeft: z.int(),
        daysLeft: z
          .int()
          .nullable()
          .describe('Until the day it is due; null where never calibrated.'),
      })
      .nullable()
      .describe('Null for what is no torque tool.'),
    calibrations: z.array(CalibrationView).describe('The newest first.'),
    createdAt: instantOut(),
    version: version(),
  })
  .meta({ id: 'ShopTool' });
export type ShopToolView = z.input<typeof ShopToolView>;
export const ShopToolPage = pageOf(ShopToolView).meta({ id: 'ShopToolPage' });

export const ShopToolQuery = z.strictObject({
  ...pageQuery,
  kind: z.enum(SHOP_TOOL_KINDS).optional(),
});
export type ShopToolQuery = z.output<typeof ShopToolQuery>;

export const ServiceWhy = z.strictObject({ why: note(500) }).meta({ id: 'ServiceWhy' });

import { z } from 'zod';
import { FASTENERS_MOST } from '../../domain/fasteners.ts';
import { UDI_ISSUERS } from '../../domain/udi.ts';
import {
  FASTENER_SIZES,
  JOINT_KINDS,
  PART_KINDS,
  PROPERTY_CLASSES,
  SIDES,
  TORQUE_UNITS,
} from '../../domain/words.ts';
import { instantOut, text, uuid, version } from '../../http/fields.ts';
import { pageOf, pageQuery } from '../../http/paging.ts';
import { ReasonView } from '../../http/reasonView.ts';
import { THREADLOCKER } from '../../store/catalogue.ts';

const kind = z.enum(PART_KINDS);
const catalogueNumber = text(80);
const entry = {
  name: text(120),
  holePattern: text(60).nullable().describe('How it bolts to its neighbours, as "4-hole 36 mm".'),
  thread: text(20).nullable().describe('Thread of the screws it takes or is, as "M6".'),
  pinFit: text(60).nullable().describe('Which pins a lock takes, or which locks a pin is for.'),
  side: z.enum(SIDES).nullable(),
  ratedBodyMassKg: z
    .number()
    .min(10)
    .max(350)
    .nullable()
    .describe("Kilograms, from the part's own label (R3)."),
  ratingDocument: text(200).nullable().describe('Where the rating stands: document and revision.'),
  singleUse: z.boolean(),
  leastClicks: z.int().min(1).max(30).nullable().describe('Clicks asked for at a lock check (R7).'),
  serviceIntervalDays: z.int().min(1).max(3660).nullable(),
  rangeDeg: z
    .number()
    .min(0)
    .max(360)
    .nullable()
    .describe(
      "How far a pyramid or adapter tilts either way, in degrees, by the part's own document (C6).",
    ),
  udiIssuer: z.enum(UDI_ISSUERS).nullable().describe('Whose codes its labels carry (C9).'),
  udiDeviceIdentifier: text(60)
    .nullable()
    .describe(
      'GS1: the 14 figures of the GTIN. HIBCC: labeler, product and unit of measure. Goes with its issuer.',
    ),
};

export const PartToAdd = z
  .strictObject({
    kind,
    catalogueNumber,
    name: entry.name,
    holePattern: entry.holePattern.default(null),
    thread: entry.thread.default(null),
    pinFit: entry.pinFit.default(null),
    side: entry.side.default(null),
    ratedBodyMassKg: entry.ratedBodyMassKg.default(null),
    ratingDocument: entry.ratingDocument.default(null),
    singleUse: entry.singleUse.default(false),
    leastClicks: entry.leastClicks.default(null),
    serviceIntervalDays: entry.serviceIntervalDays.default(null),
    rangeDeg: entry.rangeDeg.default(null),
    udiIssuer: entry.udiIssuer.default(null),
    udiDeviceIdentifier: entry.udiDeviceIdentifier.default(null),
  })
  .meta({ id: 'PartToAdd' });
export type PartToAdd = z.output<typeof PartToAdd>;

export const PartChange = z
  .strictObject({ ...entry, active: z.boolean() })
  .partial()
  .meta({ id: 'PartChange' });
export type PartChange = z.output<typeof PartChange>;

const setting = {
  jointKind: z.enum(JOINT_KINDS),
  fastenerCount: z.int().min(1).max(FASTENERS_MOST),
  fastenerSize: z.enum(FASTENER_SIZES),
  propertyClass: z.enum(PROPERTY_CLASSES),
  threadlocker: z.enum(THREADLOCKER),
  document: text(200).describe("The maker's document that states it."),
  revision: text(60),
};

export const TorqueSettingToAdd = z
  .strictObject({
    ...setting,
    torqueMin: z.number().gt(0).max(1000).describe('In `unit`.'),
    torqueMax: z.number().gt(0).max(1000).describe('In `unit`.'),
    unit: z.enum(TORQUE_UNITS).describe("The unit of the maker's document; kept in N·m."),
  })
  .meta({ id: 'TorqueSettingToAdd' });
export type TorqueSettingToAdd = z.output<typeof TorqueSettingToAdd>;

const ClampLoad = z
  .object({
    fromN: z.number().describe('Newtons, at the greatest nut factor.'),
    toN: z.number().describe('Newtons, at the least nut factor.'),
    nutFactor: z
      .object({ from: z.number(), to: z.number() })
      .describe('Friction as the nut factor K: between these the clamp load is reckoned.'),
    nutFactorSource: z.string(),
    diameterMm: z.number().describe('Nominal thread diameter d, millimetres (ISO 261).'),
    stressAreaMm2: z
      .number()
      .describe('As = π/4·(d − 0.9382·P)², square millimetres (ISO 898-1, clause 9).'),
    limitN: z.number().describe('Load up to which the fastener stays as long as it was, newtons.'),
    limitName: z.enum(['proof load', '0.2 % load']),
    limitSource: z.string(),
    percentOfLimitFrom: z.number(),
    percentOfLimitTo: z.number(),
  })
  .meta({
    id: 'ClampLoad',
    description:
      "Of one fastener at the setting's greatest torque, F = T/(K·d) (Shigley, 9th ed., section 8–8): an estimate, for torque alone scatters the clamp load by about a quarter either way (R5).",
  });

export const TorqueSettingView = z
  .object({
    id: uuid(),
    ...setting,
    torqueMinNm: z.number().describe('Newton-metres.'),
    torqueMaxNm: z.number().describe('Newton-metres.'),
    clampLoad: ClampLoad,
    questions: z
      .array(ReasonView)
      .describe('What is to be asked about it (R5); none where nothing is.'),
    recordedAt: instantOut(),
    supersededAt: instantOut().nullable().describe('Null for the one in force.'),
  })
  .meta({ id: 'TorqueSetting' });

export const PartView = z
  .object({
    id: uuid(),
    kind,
    catalogueNumber,
    ...entry,
    active: z.boolean(),
    settings: z.array(TorqueSettingView).describe('In force first, then what they superseded.'),
    createdAt: instantOut(),
    version: version(),
  })
  .meta({ id: 'Part' });
export type PartView = z.input<typeof PartView>;
export const PartPage = pageOf(PartView).meta({ id: 'PartPage' });

export const PartQuery = z.strictObject({
  ...pageQuery,
  kind: kind.optional(),
  active: z.enum(['true', 'false']).optional(),
});
export type PartQuery = z.output<typeof PartQuery>;

export const TorqueSettingAdded = z
  .object({
    part: PartView,
    clampLoad: ClampLoad,
    questions: z.array(ReasonView).describe('What is to be asked about this setting (R5).'),
  })
  .meta({ id: 'TorqueSettingAdded' });
export type TorqueSettingAdded = z.input<typeof TorqueSettingAdded>;

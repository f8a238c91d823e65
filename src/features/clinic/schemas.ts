import { z } from 'zod';
import { text, uuid, version } from '../../http/fields.ts';
import { isTimeZone } from '../../domain/days.ts';
import { LOCK_MINUTES, PIN_HOURS } from '../../domain/benchPin.ts';
import { SECOND_FACTOR_FOR } from '../../domain/secondFactor.ts';
import { PLY_MEANS } from '../../domain/limbVolume.ts';
import { PAPERS } from '../../store/clinic.ts';

const CURRENCIES = new Set(Intl.supportedValuesOf('currency'));

const usualDays = z.number().min(0).max(10_000).describe('Usual working days in the stage (C5).');

const settings = {
  name: text(200),
  timeZone: text(64)
    .refine(
      isTimeZone,
      'a place of the IANA time zone database, as Europe/Zurich, or UTC; no abbreviation',
    )
    .describe(
      'IANA name, as Europe/Zurich; days and times are shown in it. Abbreviations, and names that the database does not know, are refused.',
    ),
  paper: z.enum(PAPERS).describe('What documents are printed on.'),
  alignmentToleranceDeg: z.number().gt(0).max(10).describe('Degrees (R14).'),
  alignmentToleranceMm: z.number().gt(0).max(30).describe('Millimetres (R14).'),
  releaserMayBeSoleWorker: z
    .boolean()
    .describe('Whether who releases a delivery may have done all its bench work alone (R8).'),
  retentionYears: z.int().min(7).max(100).describe('Years that records are kept (R10).'),
  minorsUntilAge: z
    .int()
    .min(14)
    .max(25)
    .nullable()
    .describe(
      'Records of whoever was younger at the last entry are kept until this age, and the years after it (R10); null: no difference. Local law decides.',
    ),
  firstRecheckDays: z
    .int()
    .min(1)
    .max(365)
    .describe('Days from delivery to the first re-check of the joints (R15).'),
  // Limits of these are wide: the domain answers a slip in words, with what is usual.
  plyMeans: z.enum(PLY_MEANS).describe('Whether one ply of sock makes up for mL or per cent (C1).'),
  perPly: z.number().min(0).max(1000).describe('One ply of sock, in mL or per cent.'),
  volumeLimitPercent: z
    .number()
    .min(0)
    .max(1000)
    .describe('A limb that changed by more asks for a decision, per cent (C1).'),
  bagLossG: z.number().min(0).max(1e5).describe('Resin left in bag, tube and cup, grams (C3).'),
  resinMarginPercent: z.number().min(0).max(1000).describe('Added to each recipe, per cent (C3).'),
  scaleResolutionG: z.number().min(0).max(1000).describe("Step of the shop's scale, grams (C3)."),
  labourRatePerHourMinor: z
    .int()
    .min(0)
    .max(1e10)
    .nullable()
    .describe(
      'Labour for an hour in whole minor units (cents) of the currency (C7); in answers null for roles that do not see costs.',
    ),
  currency: z
    .string()
    .refine((code) => CURRENCIES.has(code), 'a currency of ISO 4217, as EUR')
    .nullable()
    .describe('ISO 4217; it stays while any price or rate is kept in it.'),
  reorderWindowDays: z
    .int()
    .min(0)
    .max(10_000)
    .describe('Use is looked at over so many days (C3).'),
  reorderLeadDays: z.int().min(0).max(10_000).describe('Days from an order of stock to the shelf.'),
  reorderCoverDays: z.int().min(0).max(10_000).describe('Days that an order of stock should last.'),
  wantedChance: z
    .number()
    .min(0)
    .max(100)
    .describe('The chance at which a day is offered, 0.5 to 0.99 (C5).'),
  atRiskBelow: z.number().min(0).max(100).describe('A day with less chance is at risk (C5).'),
  usualCastingDays: usualDays,
  usualCheckFittingDays: usualDays,
  usualLaminationDays: usualDays,
  usualDeliveryDays: usualDays,
  figuresByPerson: z
    .boolean()
    .describe('Whether quality figures may be told apart by technician (C8).'),
  secondFactorFor: z
    .enum(SECOND_FACTOR_FOR)
    .describe('Whom the clinic asks for a second factor; signers are its prosthetists.'),
  benchLockMinutes: z
    .int()
    .min(LOCK_MINUTES.least)
    .max(LOCK_MINUTES.most)
    .describe('Minutes without a touch until a bench device locks by itself.'),
  pinHours: z
    .int()
    .min(1)
    .max(PIN_HOURS.most)
    .describe('Hours from a full sign-in that a PIN set after it is good for.'),
};

export const ClinicView = z
  .object({
    id: uuid(),
    ...settings,
    numberPrefix: z.string().describe('The letters that begin every order number.'),
    version: version(),
  })
  .meta({ id: 'Clinic' });
export type ClinicView = z.input<typeof ClinicView>;

export const ClinicChange = z.strictObject(settings).partial().meta({ id: 'ClinicChange' });
export type ClinicChange = z.output<typeof ClinicChange>;

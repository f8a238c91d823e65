import { z } from 'zod';
import { OPENABLE } from '../../access/minimumNecessary.ts';
import { BODY_MASS_KG } from '../../domain/bodyMass.ts';
import { LIKENESSES } from '../../domain/lookAlikes.ts';
import { day, dayOut, instantOut, text, uuid, version } from '../../http/fields.ts';
import { pageOf, pageQuery } from '../../http/paging.ts';

const massKg = z
  .number()
  .min(BODY_MASS_KG.least)
  .max(BODY_MASS_KG.greatest)
  .describe('Body mass in kilograms, with the prosthesis as the clinic weighs.');
const phone = text(40).regex(/\d.*\d.*\d/, 'a phone number');
const massEntered = { massKg, measuredOn: day().describe('The day of weighing.') };
const confirmed = z
  .boolean()
  .default(false)
  .describe('True where the scale was read again after "body-mass-implausible".');

const who = {
  givenName: text(100),
  familyName: text(100),
  birthDate: day(),
};

export const PatientToAdd = z
  .strictObject({
    chartNumber: text(40),
    ...who,
    phone: phone.optional(),
    address: text(300).optional(),
    bodyMass: z.strictObject(massEntered),
    notTheSameAs: z
      .array(uuid())
      .max(50)
      .default([])
      .describe('Every look-alike that was looked at and is somebody else.'),
  })
  .meta({ id: 'PatientToAdd' });
export type PatientToAdd = z.output<typeof PatientToAdd>;

export const PatientChange = z
  .strictObject({ ...who, phone: phone.nullable(), address: text(300).nullable() })
  .partial()
  .meta({ id: 'PatientChange' });
export type PatientChange = z.output<typeof PatientChange>;

/** Fields marked optional are there only for roles that need them. */
const seen = {
  id: uuid(),
  chartNumber: z.string(),
  initials: z.string(),
  givenName: z.string().optional().describe('Only for roles that need to know who it is.'),
  familyName: z.string().optional(),
  birthDate: dayOut().optional(),
};
export const PatientSeenView = z.object(seen).meta({ id: 'PatientSeen' });

export const PatientView = z
  .object({
    ...seen,
    phone: z.string().nullable().optional().describe('Only for desk and fitting room.'),
    address: z.string().nullable().optional(),
    bodyMassKg: z.number().nullable().describe('The present body mass in kilograms.'),
    bodyMassMeasuredOn: dayOut().nullable(),
    createdAt: instantOut(),
    version: version(),
    more: z
      .object({
        mayOpen: z
          .array(z.enum(OPENABLE))
          .describe('Fields that the reader may open for a reason.'),
        openUntil: instantOut()
          .nullable()
          .describe('Until when they stand open; null: they do not.'),
      })
      .optional()
      .describe('Only on the patient’s own page, for roles that see less than may be opened.'),
  })
  .meta({ id: 'Patient' });
export type PatientView = z.input<typeof PatientView>;
export const PatientPage = pageOf(PatientView).meta({ id: 'PatientPage' });

export const PatientSearch = z
  .strictObject({
    name: text(200).optional().describe('Beginnings of names, in any order, accents or not.'),
    chartNumber: text(40).optional(),
    phone: phone.optional(),
    ...pageQuery,
  })
  .meta({
    id: 'PatientSearch',
    description: 'Sent as a body, so that no name stands in an address or a log.',
  });
export type PatientSearch = z.output<typeof PatientSearch>;

/** Patients are listed by chart number. */
export const PatientCursor = z.string();

export const LookAlikeQuestion = z
  .strictObject({ ...who, phone: phone.optional() })
  .meta({ id: 'LookAlikeQuestion' });
export type LookAlikeQuestion = z.output<typeof LookAlikeQuestion>;

export const LookAlikes = z
  .object({
    candidates: z.array(z.object({ patient: PatientView, because: z.enum(LIKENESSES) })),
  })
  .meta({ id: 'LookAlikes' });
export type LookAlikes = z.input<typeof LookAlikes>;

export const BodyMassToAdd = z
  .strictObject({ ...massEntered, confirmed })
  .meta({ id: 'BodyMassToAdd' });
export type BodyMassToAdd = z.output<typeof BodyMassToAdd>;

export const BodyMassView = z
  .object({
    id: uuid(),
    ...massEntered,
    recordedAt: instantOut(),
    recordedBy: z.string().describe('Printed name.'),
  })
  .meta({ id: 'BodyMass' });
export type BodyMassView = z.input<typeof BodyMassView>;
export const BodyMasses = z.object({ items: z.array(BodyMassView) }).meta({ id: 'BodyMasses' });

const Warning = z.object({
  code: z.string(),
  rule: z.string().nullable(),
  title: z.string(),
  detail: z.string(),
  wayOut: z.string(),
  socket: z
    .string()
    .describe('Number of the socket that the patient wears, or that is laid up for them.'),
  findingId: uuid().nullable().describe('The finding that was opened or stands open on it.'),
});

export const BodyMassRecorded = z
  .object({
    bodyMass: BodyMassView,
    warnings: z
      .array(Warning)
      .describe(
        'What the new body mass speaks against: parts that the patient wears (R3), layups that were made for less (C2).',
      ),
  })
  .meta({ id: 'BodyMassRecorded' });
export type BodyMassRecorded = z.input<typeof BodyMassRecorded>;

import { z } from 'zod';
import { text, uuid, version } from '../../http/fields.ts';
import { PAPERS } from '../../store/clinic.ts';

const isTimeZone = (name: string): boolean => {
  try {
    new Intl.DateTimeFormat('en', { timeZone: name });
    return true;
  } catch {
    return false;
  }
};

const settings = {
  name: text(200),
  timeZone: text(64)
    .refine(isTimeZone, 'a time zone of the IANA database, as Europe/Zurich')
    .describe('IANA name; days and times are shown in it.'),
  paper: z.enum(PAPERS).describe('What documents are printed on.'),
  alignmentToleranceDeg: z.number().gt(0).max(10).describe('Degrees (R14).'),
  alignmentToleranceMm: z.number().gt(0).max(30).describe('Millimetres (R14).'),
  releaserMayBeSoleWorker: z
    .boolean()
    .describe('Whether who releases a delivery may have done all its bench work alone (R8).'),
  retentionYears: z.int().min(7).max(100).describe('Years that records are kept (R10).'),
  firstRecheckDays: z
    .int()
    .min(1)
    .max(365)
    .describe('Days from delivery to the first re-check of the joints (R15).'),
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

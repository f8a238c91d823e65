import { z } from 'zod';
import { FABRIC_FORMS } from '../../domain/fabrics.ts';
import { instantOut, text, uuid, version } from '../../http/fields.ts';

const form = z
  .enum(FABRIC_FORMS)
  .describe('flat: from a roll, wrapped; tube: stockinette or braid, drawn over; strip: tape.');

/** The clinic's word for what a fabric is. */
export const material = text(40)
  .regex(/^[a-z][a-z0-9_]*$/, 'a name of lower-case letters, digits and underscores')
  .describe('What it is; rolls of several widths share it, and layup rules ask for it.');

// Limits are wide: the domain answers a slip in words, with what is usual.
const sheet = {
  name: text(120),
  material,
  arealDensityGm2: z
    .number()
    .min(0)
    .max(1e6)
    .describe('Of the dry fabric, g/m²; 1 oz/yd² is 33.9 g/m².'),
  widthMm: z
    .number()
    .min(0)
    .max(1e6)
    .describe('Of the roll, mm; of a tube laid flat, half its girth at rest.'),
  fibreDensityGcm3: z.number().min(0).max(1e4).describe('Of the fibre itself, g/cm³.'),
  stretchPercent: z
    .number()
    .min(0)
    .max(1e4)
    .describe('By how much the girth of a tube may grow, per cent; 0 for what does not give.'),
};

export const FabricToAdd = z.strictObject({ ...sheet, form }).meta({ id: 'FabricToAdd' });
export type FabricToAdd = z.output<typeof FabricToAdd>;

export const FabricChange = z
  .strictObject({ ...sheet, active: z.boolean() })
  .partial()
  .meta({ id: 'FabricChange' });
export type FabricChange = z.output<typeof FabricChange>;

export const FabricView = z
  .object({
    id: uuid(),
    ...sheet,
    form,
    active: z.boolean().describe('Not active: withdrawn, for no new layup and no new batch.'),
    createdAt: instantOut(),
    version: version(),
  })
  .meta({ id: 'Fabric' });
export type FabricView = z.input<typeof FabricView>;
export const Fabrics = z.object({ items: z.array(FabricView) }).meta({ id: 'Fabrics' });

export const FabricsQuery = z.strictObject({
  every: z.enum(['true', 'false']).default('false').describe('Those withdrawn too.'),
});

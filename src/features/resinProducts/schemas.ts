import { z } from 'zod';
import { RESIN_CHEMISTRIES, RESIN_RANGES } from '../../domain/resin.ts';
import type { Range } from '../../domain/ranges.ts';
import { instantOut, text, uuid, version } from '../../http/fields.ts';
import { pageOf, pageQuery } from '../../http/paging.ts';

/** A figure of the sheet; its range is answered in words by the domain. */
const figure = ({ what, least, greatest, unit, usual }: Range) =>
  z
    .number()
    .min(-1_000_000)
    .max(1_000_000)
    .describe(
      `${what}${unit === '' ? '' : `, ${unit}`}, ${least} to ${greatest}; usual: ${usual}.`,
    );

const chemistry = z
  .enum(RESIN_CHEMISTRIES)
  .describe('What cures it; a product of another chemistry is another product.');
const sheet = {
  name: text(120).describe('Once in the catalogue.'),
  partsResin: figure(RESIN_RANGES.partsResin),
  partsHardener: figure(RESIN_RANGES.partsHardener).describe(
    'Parts by mass, never by volume: 100A:38B is 38 g of hardener to 100 g of resin.',
  ),
  ratioTolerancePercent: figure(RESIN_RANGES.ratioTolerancePercent).describe(
    'By how many per cent the hardener may be off; 0.1 to 25, usual 2 to 5.',
  ),
  densityGcm3: figure(RESIN_RANGES.densityGcm3),
  potLifeMinutes: figure(RESIN_RANGES.potLifeMinutes).describe(
    'Pot life of `potLifeMassG` in a cup at `potLifeTemperatureC`, min.',
  ),
  potLifeMassG: figure(RESIN_RANGES.potLifeMassG),
  potLifeTemperatureC: figure(RESIN_RANGES.potLifeTemperatureC),
  cupLimitG: figure(RESIN_RANGES.cupLimitG).describe(
    'More than this in one cup heats by itself, g; 20 to 5000.',
  ),
  cureHours: figure(RESIN_RANGES.cureHours),
  cureTemperatureC: figure(RESIN_RANGES.cureTemperatureC),
  document: text(200).describe("The maker's sheet that states it."),
  revision: text(60),
};

export const ResinProductToAdd = z
  .strictObject({ chemistry, ...sheet })
  .meta({ id: 'ResinProductToAdd' });
export type ResinProductToAdd = z.output<typeof ResinProductToAdd>;

export const ResinProductChange = z
  .strictObject({ ...sheet, active: z.boolean() })
  .partial()
  .meta({ id: 'ResinProductChange' });
export type ResinProductChange = z.output<typeof ResinProductChange>;

export const ResinProductView = z
  .object({
    id: uuid(),
    chemistry,
    ...sheet,
    active: z.boolean(),
    createdAt: instantOut(),
    version: version(),
  })
  .meta({ id: 'ResinProduct' });
export type ResinProductView = z.input<typeof ResinProductView>;
export const ResinProductPage = pageOf(ResinProductView).meta({ id: 'ResinProductPage' });

export const ResinProductQuery = z.strictObject({
  ...pageQuery,
  active: z.enum(['true', 'false']).optional(),
});
export type ResinProductQuery = z.output<typeof ResinProductQuery>;

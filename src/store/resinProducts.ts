import { z } from 'zod';
import { reason } from '../domain/reasons/index.ts';
import { RESIN_CHEMISTRIES } from '../domain/resin.ts';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act } from './act.ts';
import { found } from './refused.ts';
import { parseFirst, parseRows } from './rows.ts';

export const ProductRow = z.object({
  id: z.string(),
  name: z.string(),
  chemistry: z.enum(RESIN_CHEMISTRIES),
  partsResin: z.number(),
  partsHardener: z.number(),
  ratioTolerancePercent: z.number(),
  densityGcm3: z.number(),
  potLifeMinutes: z.number(),
  potLifeMassG: z.number(),
  potLifeTemperatureC: z.number(),
  cupLimitG: z.number(),
  cureHours: z.number(),
  cureTemperatureC: z.number(),
  document: z.string(),
  revision: z.string(),
  active: z.boolean(),
  createdAt: z.date(),
  version: z.number(),
});
/** A resin product of the catalogue, as its sheet has it. */
export type ResinProductRow = z.infer<typeof ProductRow>;

const SELECT = Prisma.sql`
  select r.id, r.name, r.chemistry, r.parts_resin as "partsResin", r.parts_hardener as "partsHardener",
    r.ratio_tolerance_percent as "ratioTolerancePercent", r.density_gcm3 as "densityGcm3",
    r.pot_life_minutes as "potLifeMinutes", r.pot_life_mass_g as "potLifeMassG",
    r.pot_life_temperature_c as "potLifeTemperatureC", r.cup_limit_g as "cupLimitG", r.cure_hours as "cureHours",
    r.cure_temperature_c as "cureTemperatureC", r.document, r.revision, r.active, r.created_at as "createdAt", r.version
  from resin_product r`;

/** @throws Refused 'not-found' where the catalogue has no such product. */
export async function loadResinProduct(
  act: Act,
  productId: string,
  field?: string,
): Promise<ResinProductRow> {
  const row = parseFirst(
    ProductRow,
    await act.tx
      .$queryRaw`${SELECT} where r.clinic_id = ${act.clinicId}::uuid and r.id = ${productId}::uuid`,
  );
  return found(row, () => reason('not-found', { what: 'resin product', id: productId }, field));
}

export interface ResinProductQuery {
  readonly active: boolean | null;
  readonly afterName: string | null;
  readonly take: number;
}

/** Resin products by name. */
export async function listResinProducts(
  act: Act,
  query: ResinProductQuery,
): Promise<ResinProductRow[]> {
  const asked = [
    Prisma.sql`r.clinic_id = ${act.clinicId}::uuid`,
    query.active === null ? null : Prisma.sql`r.active = ${query.active}::boolean`,
    query.afterName === null ? null : Prisma.sql`r.name > ${query.afterName}`,
  ].filter((condition) => condition !== null);
  return parseRows(
    ProductRow,
    await act.tx.$queryRaw`
      ${SELECT} where ${Prisma.join(asked, ' and ')} order by r.name limit ${query.take}::int`,
  );
}

import { z } from 'zod';
import { FABRIC_FORMS } from '../domain/fabrics.ts';
import { reason } from '../domain/reasons/index.ts';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act } from './act.ts';
import { found } from './refused.ts';
import { parseFirst, parseRows } from './rows.ts';

const FabricRow = z.object({
  id: z.string(),
  name: z.string(),
  material: z.string(),
  form: z.enum(FABRIC_FORMS),
  arealDensityGm2: z.number(),
  widthMm: z.number(),
  fibreDensityGcm3: z.number(),
  stretchPercent: z.number(),
  active: z.boolean(),
  createdAt: z.date(),
  version: z.number(),
});

/** A fabric as the catalogue has it. */
export type FabricRecord = z.infer<typeof FabricRow>;

const SELECT = Prisma.sql`
  select id, name, material, form, areal_density_gm2 as "arealDensityGm2", width_mm as "widthMm",
    fibre_density_gcm3 as "fibreDensityGcm3", stretch_percent as "stretchPercent", active,
    created_at as "createdAt", version
  from fabric`;

/**
 * The fabrics of the catalogue: by material, within it those entered first and
 * the narrowest first. Rules that choose by the catalogue's order mean this one.
 * @param every those withdrawn too
 */
export async function listFabrics(act: Act, every: boolean): Promise<FabricRecord[]> {
  return parseRows(
    FabricRow,
    await act.tx.$queryRaw`
      ${SELECT} where clinic_id = ${act.clinicId}::uuid and (active or ${every}::boolean)
      order by material collate "C", created_at, width_mm, name collate "C"`,
  );
}

/**
 * @param field JSON Pointer to the request's field that names it
 * @throws Refused 'not-found' where the catalogue has no such fabric.
 */
export async function loadFabric(
  act: Act,
  fabricId: string,
  field?: string,
): Promise<FabricRecord> {
  const row = parseFirst(
    FabricRow,
    await act.tx
      .$queryRaw`${SELECT} where clinic_id = ${act.clinicId}::uuid and id = ${fabricId}::uuid`,
  );
  return found(row, () => reason('not-found', { what: 'fabric', id: fabricId }, field));
}

/**
 * Holds the clinic's fabrics and layup rules until the transaction ends: versions
 * of the rules count one by one, and a material keeps its one form.
 */
export async function holdFabricsAndRules(act: Act): Promise<void> {
  await act.tx.$queryRaw`select 1 from clinic where id = ${act.clinicId}::uuid for no key update`;
}

/** What is on the shelves of materials, and how fast it was used (C3). */
import { z } from 'zod';
import type { Day } from '../domain/days.ts';
import { BATCH_KINDS, BATCH_UNITS } from '../domain/words.ts';
import type { Act } from './act.ts';
import { parseRows } from './rows.ts';

const ShelfRow = z.object({
  kind: z.enum(BATCH_KINDS),
  resinProductId: z.string().nullable(),
  fabricId: z.string().nullable(),
  name: z.string(),
  unit: z.enum(BATCH_UNITS),
  used: z.number(),
  usesNotMeasured: z.number(),
  batches: z.array(
    z.object({
      batchId: z.string(),
      lot: z.string(),
      left: z.number(),
      expiresOn: z
        .string()
        .transform((day) => day as Day)
        .nullable(),
      quarantined: z.boolean(),
    }),
  ),
});
/** One material: the batches of which something is left, and what was used since the window began. */
export type ShelfRow = z.infer<typeof ShelfRow>;

/** Since when the clinic has records. */
export async function clinicBegan(act: Act): Promise<Date> {
  const { createdAt } = await act.tx.clinic.findUniqueOrThrow({
    where: { id: act.clinicId },
    select: { createdAt: true },
  });
  return createdAt;
}

/**
 * Every material that has something left or was used since `since`: resin and
 * hardener by product, fabric by its entry in the catalogue, all else (and batches
 * that name none) by kind and name; a unit is never added to another.
 */
export const loadShelves = async (act: Act, since: Date): Promise<ShelfRow[]> =>
  parseRows(
    ShelfRow,
    await act.tx.$queryRaw`
      with stock as (
        select b.id, b.lot, b.kind, b.resin_product_id, b.fabric_id, b.unit, b.expires_on, b.quarantined_at,
          case when b.resin_product_id is null and b.fabric_id is null then b.name end as own_name,
          greatest(0, b.quantity - coalesce(u.amount, 0)) as "left",
          coalesce(u.used, 0) as used, coalesce(u.not_measured, 0) as not_measured
        from batch b
        left join (
          select batch_id, sum(amount) as amount,
            sum(amount) filter (where used_at > ${since}::timestamptz) as used,
            count(*) filter (where used_at > ${since}::timestamptz and amount is null) as not_measured
          from batch_use where clinic_id = ${act.clinicId}::uuid group by batch_id) u on u.batch_id = b.id
        where b.clinic_id = ${act.clinicId}::uuid)
      select s.kind, s.resin_product_id as "resinProductId", s.fabric_id as "fabricId",
        coalesce(r.name, f.name, s.own_name) as name, s.unit, sum(s.used) as used,
        sum(s.not_measured)::int as "usesNotMeasured",
        coalesce(json_agg(json_build_object('batchId', s.id, 'lot', s.lot, 'left', s."left",
            'expiresOn', s.expires_on, 'quarantined', s.quarantined_at is not null) order by s.expires_on, s.id)
          filter (where s."left" > 0), '[]'::json) as batches
      from stock s
      left join resin_product r on r.clinic_id = ${act.clinicId}::uuid and r.id = s.resin_product_id
      left join fabric f on f.clinic_id = ${act.clinicId}::uuid and f.id = s.fabric_id
      group by s.kind, s.resin_product_id, s.fabric_id, s.own_name, r.name, f.name, s.unit
      having sum(s."left") > 0 or sum(s.used) > 0 or sum(s.not_measured) > 0
      order by s.kind, name, s.unit`,
  );

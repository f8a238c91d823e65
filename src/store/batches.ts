import { z } from 'zod';
import type { Day } from '../domain/days.ts';
import { BATCH_KINDS, BATCH_UNITS } from '../domain/words.ts';
import type { Tx } from './act.ts';
import { parseRows } from './rows.ts';

const BatchRow = z.object({
  id: z.string(),
  kind: z.enum(BATCH_KINDS),
  name: z.string(),
  lot: z.string(),
  receivedOn: z.string().transform((day) => day as Day),
  expiresOn: z
    .string()
    .transform((day) => day as Day)
    .nullable(),
  openedOn: z
    .string()
    .transform((day) => day as Day)
    .nullable(),
  quantity: z.number(),
  left: z.number(),
  unit: z.enum(BATCH_UNITS),
  quarantined: z.boolean(),
  quarantineReason: z.string().nullable(),
  version: z.number(),
});
/** A batch with what is left of it: what came less what was used. */
export type BatchRow = z.infer<typeof BatchRow>;

/**
 * The given batches of this clinic. With `lock` their rows are held, so that two
 * people drawing from one batch cannot both have the last of it.
 */
export async function loadBatches(
  tx: Tx,
  clinicId: string,
  ids: readonly string[],
  lock = false,
): Promise<BatchRow[]> {
  if (ids.length === 0) return [];
  if (lock) {
    await tx.$queryRaw`
      select 1 from batch where clinic_id = ${clinicId}::uuid and id = any(${ids}::uuid[]) order by id for no key update`;
  }
  return parseRows(
    BatchRow,
    await tx.$queryRaw`
      select b.id, b.kind, b.name, b.lot, b.received_on::text as "receivedOn", b.expires_on::text as "expiresOn",
        b.opened_on::text as "openedOn", b.quantity,
        b.quantity - coalesce((select sum(u.amount) from batch_use u
          where u.clinic_id = b.clinic_id and u.batch_id = b.id), 0) as left,
        b.unit, b.quarantined_at is not null as quarantined, b.quarantine_reason as "quarantineReason", b.version
      from batch b
      where b.clinic_id = ${clinicId}::uuid and b.id = any(${ids}::uuid[])`,
  );
}

/** Statements of live updates: what a reader missed. */
import { z } from 'zod';
import type { Tx } from './act.ts';
import type { Change } from './changes.ts';
import { parseFirst, parseRows } from './rows.ts';

const head = z.object({ seq: z.coerce.number().int() });

/** The number of the clinic's last event; 0 where there is none. */
export async function lastSeq(tx: Tx, clinicId: string): Promise<number> {
  const rows = await tx.$queryRaw`
    select seq::text as seq from event_head where clinic_id = ${clinicId}::uuid`;
  return parseFirst(head, rows)?.seq ?? 0;
}

const missed = z.object({
  seq: z.coerce.number().int(),
  subjectKind: z.string(),
  subjectId: z.string(),
  orderId: z.string().nullable(),
});

/** The changes after an event of the clinic, first first, at most `limit`. */
export async function changesSince(
  tx: Tx,
  clinicId: string,
  seq: number,
  limit: number,
): Promise<Change[]> {
  const rows = parseRows(
    missed,
    await tx.$queryRaw`
      select seq::text as seq, subject_kind as "subjectKind", subject_id as "subjectId", order_id as "orderId"
      from event where clinic_id = ${clinicId}::uuid and seq > ${seq} and kind not like '%.read'
      order by seq limit ${limit}`,
  );
  return rows.map((row) => ({ ...row, clinicId, state: null }));
}

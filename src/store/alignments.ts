/** The alignments of a socket, each with who measured it when, and whether it is still of the hardware there. */
import { z } from 'zod';
import { ALIGNMENT_OCCASIONS, type Alignment } from '../domain/alignment.ts';
import { Prisma } from '../generated/prisma/client.ts';
import type { Tx } from './act.ts';
import { parseFirst, parseRows } from './rows.ts';

const MeasuredRow = z.object({
  id: z.string(),
  socketId: z.string(),
  socketNumber: z.string(),
  occasion: z.enum(ALIGNMENT_OCCASIONS),
  flexionDeg: z.number(),
  adductionDeg: z.number(),
  anteriorOffsetMm: z.number(),
  lateralOffsetMm: z.number(),
  toeOutDeg: z.number(),
  heightToFloorMm: z.number(),
  /** None where pyramid or adapter has left since. */
  coversMoveIds: z.array(z.string()),
  measuredAt: z.date(),
  measuredBy: z.string(),
  differenceSigned: z.boolean(),
});
export type MeasuredAlignmentRecord = Alignment & z.infer<typeof MeasuredRow>;

const SELECT = Prisma.sql`
  select a.id, a.socket_id as "socketId", s.number as "socketNumber", a.occasion, a.flexion_deg as "flexionDeg",
    a.adduction_deg as "adductionDeg", a.anterior_offset_mm as "anteriorOffsetMm",
    a.lateral_offset_mm as "lateralOffsetMm", a.toe_out_deg as "toeOutDeg", a.height_to_floor_mm as "heightToFloorMm",
    case when a.departures_before = departures(a.clinic_id, a.socket_id, 'alignment')
      then a.covers_move_ids else '{}'::uuid[] end as "coversMoveIds",
    a.measured_at as "measuredAt", p.printed_name as "measuredBy",
    exists (select 1 from signature g where g.clinic_id = a.clinic_id and g.subject_id = a.id
      and g.meaning = 'alignment_difference_accepted') as "differenceSigned"
  from alignment a
  join socket s on s.clinic_id = a.clinic_id and s.id = a.socket_id
  join person p on p.clinic_id = a.clinic_id and p.id = a.measured_by_id`;

/** Every alignment measured on a socket, the oldest first. */
export async function alignmentsOf(
  tx: Tx,
  clinicId: string,
  socketId: string,
): Promise<MeasuredAlignmentRecord[]> {
  return parseRows(
    MeasuredRow,
    await tx.$queryRaw`
      ${SELECT} where a.clinic_id = ${clinicId}::uuid and a.socket_id = ${socketId}::uuid order by a.id`,
  );
}

/** As `acceptedAlignment`, with who measured it when and on which socket. */
export async function acceptedAlignmentOf(
  tx: Tx,
  clinicId: string,
  orderId: string,
): Promise<MeasuredAlignmentRecord | null> {
  const row = parseFirst(
    MeasuredRow,
    await tx.$queryRaw`
      ${SELECT} where a.clinic_id = ${clinicId}::uuid and a.id = (
        select f.alignment_id from fitting f
        join socket t on t.clinic_id = f.clinic_id and t.id = f.socket_id
        where f.clinic_id = ${clinicId}::uuid and t.order_id = ${orderId}::uuid and f.outcome = 'accepted'
        order by f.id desc limit 1)`,
  );
  return row ?? null;
}

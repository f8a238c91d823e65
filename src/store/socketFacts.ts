/**
 * Everything that the rules ask about one socket, loaded together: what it
 * holds, what joints that makes, what was checked and measured, what is open.
 */
import { z } from 'zod';
import {
  ALIGNMENT_POSITIONS,
  coversDifference,
  type Alignment,
  type PastRange,
} from '../domain/alignment.ts';
import { piecesPastRange, type PyramidAngles } from '../domain/alignmentGeometry.ts';
import { jointStates, moveIdsAt, type JointState } from '../domain/assembly.ts';
import type { Day } from '../domain/days.ts';
import type { UsedBatch, WearableFacts } from '../domain/gate.ts';
import { Prisma } from '../generated/prisma/client.ts';
import type { Tx } from './act.ts';
import {
  heldItems,
  newestEvidence,
  shopToolsIn,
  type HeldItemRow,
  type SocketEvidence,
} from './assembly.ts';
import { loadClinic } from './clinic.ts';
import { parseFirst } from './rows.ts';
import { acknowledgedMasses, wearerOf, type SocketFacts } from './sockets.ts';

const AlignmentValues = z.object({
  flexionDeg: z.number(),
  adductionDeg: z.number(),
  anteriorOffsetMm: z.number(),
  lateralOffsetMm: z.number(),
  toeOutDeg: z.number(),
  heightToFloorMm: z.number(),
});
const AlignmentRow = AlignmentValues.extend({
  id: z.string(),
  coversMoveIds: z.array(z.string()),
});
export type AlignmentRecord = Alignment & z.infer<typeof AlignmentRow>;

const ALIGNMENT = Prisma.sql`a.id, a.flexion_deg as "flexionDeg", a.adduction_deg as "adductionDeg",
  a.anterior_offset_mm as "anteriorOffsetMm", a.lateral_offset_mm as "lateralOffsetMm",
  a.toe_out_deg as "toeOutDeg", a.height_to_floor_mm as "heightToFloorMm"`;

export interface Assembly {
  readonly held: readonly HeldItemRow[];
  readonly joints: readonly JointState[];
  readonly evidence: SocketEvidence;
}

/** What a socket holds and the state of its joints and lock check. */
export async function loadAssembly(tx: Tx, clinicId: string, socketId: string): Promise<Assembly> {
  const held = await heldItems(tx, clinicId, socketId);
  const evidence = await newestEvidence(tx, clinicId, socketId);
  return { held, joints: jointStates(held, evidence.torque), evidence };
}

/** The newest alignment measured on a socket; it covers nothing where pyramid or adapter has left since. */
export async function newestAlignment(
  tx: Tx,
  clinicId: string,
  socketId: string,
): Promise<AlignmentRecord | null> {
  const row = parseFirst(
    AlignmentRow,
    await tx.$queryRaw`
      select ${ALIGNMENT},
        case when a.departures_before = departures(a.clinic_id, a.socket_id, 'alignment')
          then a.covers_move_ids else '{}'::uuid[] end as "coversMoveIds"
      from alignment a
      where a.clinic_id = ${clinicId}::uuid and a.socket_id = ${socketId}::uuid
      order by a.id desc limit 1`,
  );
  return row ?? null;
}

/** The alignment of the newest accepted fit of an order; null where check fitting was skipped. */
export async function acceptedAlignment(
  tx: Tx,
  clinicId: string,
  orderId: string,
): Promise<AlignmentRecord | null> {
  const row = parseFirst(
    AlignmentRow,
    await tx.$queryRaw`
      select ${ALIGNMENT}, a.covers_move_ids as "coversMoveIds"
      from fitting f
      join socket s on s.clinic_id = f.clinic_id and s.id = f.socket_id
      join alignment a on a.clinic_id = f.clinic_id and a.id = f.alignment_id
      where f.clinic_id = ${clinicId}::uuid and s.order_id = ${orderId}::uuid and f.outcome = 'accepted'
      order by f.id desc limit 1`,
  );
  return row ?? null;
}

/** The facts of `judgeWearable`: at delivery, and again at the end of each service visit. */
export async function wearableFacts(
  tx: Tx,
  clinicId: string,
  socket: SocketFacts,
): Promise<WearableFacts> {
  const { held, joints, evidence } = await loadAssembly(tx, clinicId, socket.id);
  const findings = await tx.finding.findMany({
    where: { clinicId, socketId: socket.id, disposition: null },
    orderBy: { id: 'asc' },
  });
  return {
    socket: socket.number,
    suspension: socket.suspension,
    wearer: wearerOf(socket),
    held,
    acknowledgedUpToKg: await acknowledgedMasses(tx, clinicId, socket.orderId),
    joints,
    lockCheck: evidence.lockCheck,
    shopToolsIn: (await shopToolsIn(tx, clinicId, socket.id)).map((tool) => tool.name),
    openFindings: findings.map(
      (finding) => `${finding.kind.replaceAll('_', ' ')}, ${finding.note.replace(/\.$/, '')}`,
    ),
    ...(await alignmentFacts(tx, clinicId, socket, held)),
  };
}

/** What a signature for a difference vouched for; before ranges were stated it named none. */
const SignedRow = z.object({
  accepted: AlignmentValues.nullable(),
  pastRange: z.array(z.object({ item: z.string(), rangeDeg: z.number() })).default([]),
});

export type AlignmentFacts = Pick<
  WearableFacts,
  | 'acceptedAlignment'
  | 'alignmentMoveIds'
  | 'alignmentTolerance'
  | 'alignmentPastRange'
  | 'alignmentDifferenceSigned'
> & { readonly measuredAlignment: AlignmentRecord | null };

/** The newest alignment of a socket, what it is judged by, and whether its difference is signed for. */
export async function alignmentFacts(
  tx: Tx,
  clinicId: string,
  socket: SocketFacts,
  held: readonly HeldItemRow[],
): Promise<AlignmentFacts> {
  const accepted = await acceptedAlignment(tx, clinicId, socket.orderId);
  const measured = await newestAlignment(tx, clinicId, socket.id);
  const clinic = await loadClinic(tx, clinicId);
  const pastRange = measured === null ? [] : pastRangeOf(measured, held);
  const signed =
    measured === null
      ? []
      : await tx.signature.findMany({
          where: { clinicId, subjectId: measured.id, meaning: 'alignment_difference_accepted' },
          select: { content: true },
        });
  return {
    acceptedAlignment: accepted,
    measuredAlignment: measured,
    alignmentMoveIds: moveIdsAt(held, ALIGNMENT_POSITIONS),
    alignmentTolerance: {
      angleDeg: clinic.alignmentToleranceDeg,
      lengthMm: clinic.alignmentToleranceMm,
    },
    alignmentPastRange: pastRange,
    alignmentDifferenceSigned: signed.some(({ content }) =>
      coversDifference(SignedRow.parse(content), accepted, pastRange),
    ),
  };
}

/** Pyramid and adapter in a socket that this tilt is too much for, by their own document. */
export const pastRangeOf = (angles: PyramidAngles, held: readonly HeldItemRow[]): PastRange[] =>
  piecesPastRange(
    angles,
    held
      .filter(({ position }) => ALIGNMENT_POSITIONS.includes(position))
      .map(({ label, part }) => ({ item: label, rangeDeg: part.rangeDeg })),
  );

interface UsedBatchRow {
  readonly lot: string;
  readonly usedOn: Day;
  readonly expiresOn: Day | null;
  readonly quarantined: boolean;
  readonly acceptedAsIs: boolean;
}

/**
 * The batches that went into a socket. One that was found bad counts as accepted
 * where a finding on the socket names it and was accepted as is, by signature.
 */
export const usedBatches = async (
  tx: Tx,
  clinicId: string,
  socketId: string,
  timeZone: string,
): Promise<UsedBatch[]> => tx.$queryRaw<UsedBatchRow[]>`
  select distinct b.lot, (u.used_at at time zone ${timeZone})::date::text as "usedOn",
    b.expires_on::text as "expiresOn", b.quarantined_at is not null as quarantined,
    exists (select 1 from finding f where f.clinic_id = u.clinic_id and f.socket_id = u.socket_id
      and f.batch_id = b.id and f.disposition = 'accept_as_is') as "acceptedAsIs"
  from batch_use u
  join batch b on b.clinic_id = u.clinic_id and b.id = u.batch_id
  where u.clinic_id = ${clinicId}::uuid and u.socket_id = ${socketId}::uuid`;

/** Everybody who did bench work on a socket: operations, moves into it, cups of resin, torque, lock checks. */
export async function workersOf(tx: Tx, clinicId: string, socketId: string): Promise<string[]> {
  const rows = await tx.$queryRaw<{ id: string }[]>`
    select r.recorded_by_id as id from operation_record r
      join operation o on o.clinic_id = r.clinic_id and o.id = r.operation_id
      where o.clinic_id = ${clinicId}::uuid and o.socket_id = ${socketId}::uuid
    union select m.moved_by_id from move m join place p on p.clinic_id = m.clinic_id and p.id = m.to_place_id
      where p.clinic_id = ${clinicId}::uuid and p.socket_id = ${socketId}::uuid
    union select w.recorded_by_id from resin_weighing w
      where w.clinic_id = ${clinicId}::uuid and w.socket_id = ${socketId}::uuid
    union select t.recorded_by_id from torque_confirmation t
      join joint j on j.clinic_id = t.clinic_id and j.id = t.joint_id
      where j.clinic_id = ${clinicId}::uuid and j.socket_id = ${socketId}::uuid
    union select l.recorded_by_id from lock_check l
      where l.clinic_id = ${clinicId}::uuid and l.socket_id = ${socketId}::uuid`;
  return rows.map((row) => row.id);
}

import { z } from 'zod';
import type { Evidence, HeldItem, ToolFound } from '../domain/assembly.ts';
import type { Day } from '../domain/days.ts';
import { foundOutOfTolerance } from '../domain/torqueTools.ts';
import {
  FASTENER_SIZES,
  JOINT_KINDS,
  PART_KINDS,
  POSITIONS,
  PROPERTY_CLASSES,
  SIDES,
  TORQUE_TOOL_CLASSES,
  TORQUE_TOOL_TYPES,
  type JointKind,
} from '../domain/words.ts';
import type { Tx } from './act.ts';
import { parseRows } from './rows.ts';
import { CALIBRATIONS } from './toolUses.ts';

const SettingRow = z.object({
  id: z.string(),
  jointKind: z.enum(JOINT_KINDS),
  fastenerCount: z.number(),
  fastenerSize: z.enum(FASTENER_SIZES),
  propertyClass: z.enum(PROPERTY_CLASSES),
  torqueMinNm: z.number(),
  torqueMaxNm: z.number(),
  threadlocker: z.enum(['none', 'required']),
  document: z.string(),
  revision: z.string(),
});

export const PartRow = z.object({
  id: z.string(),
  name: z.string(),
  kind: z.enum(PART_KINDS),
  holePattern: z.string().nullable(),
  thread: z.string().nullable(),
  pinFit: z.string().nullable(),
  side: z.enum(SIDES).nullable(),
  ratedBodyMassKg: z.number().nullable(),
  active: z.boolean(),
  leastClicks: z.number().nullable(),
  singleUse: z.boolean(),
});

const HeldRow = z.object({
  itemId: z.string(),
  label: z.string(),
  serial: z.string().nullable(),
  lot: z.string().nullable(),
  position: z.enum(POSITIONS),
  lastMoveId: z.string(),
  /** With the range that a pyramid or adapter states, either way, in degrees (C6). */
  part: PartRow.extend({ rangeDeg: z.number().nullable() }),
  settings: z.array(SettingRow),
});
export type HeldItemRow = HeldItem & z.infer<typeof HeldRow>;

/**
 * The hardware that a socket holds now, each item with its last move, its part
 * and the settings that its part carries, in the order of the positions.
 */
export async function heldItems(
  tx: Tx,
  clinicId: string,
  socketId: string,
): Promise<HeldItemRow[]> {
  const rows = parseRows(
    HeldRow,
    await tx.$queryRaw`
      select c.item_id as "itemId", pt.name || coalesce(' serial ' || i.serial, ' lot ' || i.lot) as label,
        i.serial, i.lot, p.position, c.last_move_id as "lastMoveId",
        json_build_object('id', pt.id, 'name', pt.name, 'kind', pt.kind, 'holePattern', pt.hole_pattern,
          'thread', pt.thread, 'pinFit', pt.pin_fit, 'side', pt.side, 'ratedBodyMassKg', pt.rated_body_mass_kg,
          'active', pt.active, 'leastClicks', pt.least_clicks, 'singleUse', pt.single_use, 'rangeDeg', pt.range_deg) as part,
        coalesce((select json_agg(json_build_object('id', t.id, 'jointKind', t.joint_kind,
            'fastenerCount', t.fastener_count, 'fastenerSize', t.fastener_size, 'propertyClass', t.property_class,
            'torqueMinNm', t.torque_min_nm, 'torqueMaxNm', t.torque_max_nm, 'threadlocker', t.threadlocker,
            'document', t.document, 'revision', t.revision))
          from torque_setting t
          where t.clinic_id = pt.clinic_id and t.part_id = pt.id and t.superseded_at is null), '[]'::json) as settings
      from place p
      join custody c on c.clinic_id = p.clinic_id and c.place_id = p.id
      join item i on i.clinic_id = c.clinic_id and i.id = c.item_id
      join part pt on pt.clinic_id = i.clinic_id and pt.id = i.part_id
      where p.clinic_id = ${clinicId}::uuid and p.socket_id = ${socketId}::uuid`,
  );
  return rows.sort((a, b) => POSITIONS.indexOf(a.position) - POSITIONS.indexOf(b.position));
}

const ToolIn = z.object({
  shopToolId: z.string(),
  name: z.string(),
  position: z.enum(POSITIONS),
  placeId: z.string(),
  holePattern: z.string().nullable(),
});

/** The shop tools (dummy, tooling plate) that a socket holds now. */
export const shopToolsIn = async (
  tx: Tx,
  clinicId: string,
  socketId: string,
): Promise<z.infer<typeof ToolIn>[]> =>
  parseRows(
    ToolIn,
    await tx.$queryRaw`
      select c.shop_tool_id as "shopToolId", t.name, p.position, p.id as "placeId", t.hole_pattern as "holePattern"
      from place p
      join custody c on c.clinic_id = p.clinic_id and c.place_id = p.id
      join shop_tool t on t.clinic_id = c.clinic_id and t.id = c.shop_tool_id
      where p.clinic_id = ${clinicId}::uuid and p.socket_id = ${socketId}::uuid`,
  );

const EvidenceRow = z.object({
  kind: z.string(),
  id: z.string(),
  good: z.boolean(),
  coversMoveIds: z.array(z.string()),
  /** The calibrations that tell what the tool was worth at the time, with the tool's own limits. */
  calibrated: z
    .array(
      z.object({
        tool: z.string(),
        type: z.enum(TORQUE_TOOL_TYPES),
        toolClass: z.enum(TORQUE_TOOL_CLASSES),
        maxNm: z.number(),
        calibratedOn: z.string().transform((text) => text as Day),
        certificate: z.string(),
        deviationPercent: z.number().nullable(),
      }),
    )
    .nullable(),
});

export interface SocketEvidence {
  readonly torque: Partial<Record<JointKind, Evidence>>;
  readonly lockCheck: Evidence | null;
}

/**
 * The newest torque confirmation of each joint of a socket, and its newest lock
 * check. A confirmation after which anything has left the joint covers nothing
 * any more. (A lock check covers both of its positions, so whatever leaves them
 * is one of its own.) What a tool closed hangs on the calibrations after it: on the
 * next one, and on any that was made before it but entered later.
 */
export async function newestEvidence(
  tx: Tx,
  clinicId: string,
  socketId: string,
): Promise<SocketEvidence> {
  const rows = parseRows(
    EvidenceRow,
    await tx.$queryRaw`
      (select distinct on (j.kind) j.kind, c.id, c.confirms as good,
          case when c.departures_before = departures(j.clinic_id, j.socket_id, j.kind)
            then c.covers_move_ids else '{}' end as "coversMoveIds",
          (select json_agg(json_build_object('tool', t.name, 'type', t.tool_type, 'toolClass', t.tool_class,
              'maxNm', t.max_nm, 'calibratedOn', k.calibrated_on, 'certificate', k.certificate,
              'deviationPercent', k.deviation_percent) order by k.calibrated_on, k.id)
            from shop_tool t, lateral ${CALIBRATIONS} k
            where t.clinic_id = c.clinic_id and t.id = c.tool_id and k.id <> c.calibration_id
              and c.recorded_at >= k.since and c.recorded_at < k.until) as calibrated
        from joint j
        join torque_confirmation c on c.clinic_id = j.clinic_id and c.joint_id = j.id
        where j.clinic_id = ${clinicId}::uuid and j.socket_id = ${socketId}::uuid
        order by j.kind, c.id desc)
      union all
      (select 'lock_check', l.id, l.passes, l.covers_move_ids, null
        from lock_check l
        where l.clinic_id = ${clinicId}::uuid and l.socket_id = ${socketId}::uuid
        order by l.id desc limit 1)`,
  );
  const torque: Partial<Record<JointKind, Evidence>> = {};
  let lockCheck: Evidence | null = null;
  for (const row of rows) {
    const joint = JOINT_KINDS.find((kind) => kind === row.kind);
    if (joint === undefined) lockCheck = row;
    else torque[joint] = { ...row, toolFound: foundBeyond(row) };
  }
  return { torque, lockCheck };
}

/** The calibration that puts a confirmation in doubt; null where none does. */
function foundBeyond({ calibrated }: z.infer<typeof EvidenceRow>): ToolFound | null {
  const found = (calibrated ?? []).find((each) => foundOutOfTolerance(each, each));
  if (found === undefined) return null;
  const { tool, calibratedOn, certificate } = found;
  return { tool, calibratedOn, certificate };
}

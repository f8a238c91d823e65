import { v7 as uuidv7 } from 'uuid';
import { z } from 'zod';
import type { Day } from '../domain/days.ts';
import { reason } from '../domain/reasons/index.ts';
import type { ToolCalibration, TorqueTool } from '../domain/torqueTools.ts';
import type { TorqueConfirmation } from '../domain/torque.ts';
import { TORQUE_TOOL_CLASSES, TORQUE_TOOL_TYPES, type JointKind } from '../domain/words.ts';
import type { Act, Tx } from './act.ts';
import { found } from './refused.ts';
import { parseFirst } from './rows.ts';
import { USES_SINCE } from './toolUses.ts';

const day = z.string().transform((text) => text as Day);

const ToolRow = z.object({
  id: z.string(),
  name: z.string(),
  serial: z.string().nullable(),
  type: z.enum(TORQUE_TOOL_TYPES),
  toolClass: z.enum(TORQUE_TOOL_CLASSES),
  minNm: z.number(),
  maxNm: z.number(),
  quarantined: z.boolean(),
  calibrationId: z.string().nullable(),
  calibratedOn: day.nullable(),
  validUntil: day.nullable(),
  deviationPercent: z.number().nullable(),
  deviationAfterPercent: z.number().nullable(),
  uses: z.number(),
});

export interface ToolInUse {
  readonly id: string;
  readonly tool: TorqueTool;
  readonly calibration: (ToolCalibration & { readonly id: string }) | null;
  /** Readings taken with it from that calibration's day on. */
  readonly usesSinceCalibration: number;
}

/**
 * A torque tool with its newest calibration not after `on`, and how often it was
 * used since. Out of service, in quarantine or scrapped all count as not to be used.
 */
export async function loadTorqueTool(
  tx: Tx,
  clinicId: string,
  toolId: string,
  on: Day,
): Promise<ToolInUse> {
  const row = parseFirst(
    ToolRow,
    await tx.$queryRaw`
      select t.id, t.name, t.serial, t.tool_type as type, t.tool_class as "toolClass", t.min_nm as "minNm",
        t.max_nm as "maxNm", t.out_of_service or coalesce(p.kind in ('quarantine', 'scrap'), false) as quarantined,
        k.id as "calibrationId", k.calibrated_on::text as "calibratedOn", k.valid_until::text as "validUntil",
        k.deviation_percent as "deviationPercent", k.deviation_after_percent as "deviationAfterPercent", ${USES_SINCE} as uses
      from shop_tool t
      left join lateral (
        select id, calibrated_on, valid_until, deviation_percent, deviation_after_percent from calibration k
        where k.clinic_id = t.clinic_id and k.tool_id = t.id and k.calibrated_on <= ${on}::date
        order by calibrated_on desc, id desc limit 1) k on true
      left join custody c on c.clinic_id = t.clinic_id and c.thing_id = t.id
      left join place p on p.clinic_id = c.clinic_id and p.id = c.place_id
      where t.clinic_id = ${clinicId}::uuid and t.id = ${toolId}::uuid and t.kind = 'torque_tool'`,
  );
  const tool = found(row, () => reason('not-found', { what: 'torque tool', id: toolId }));
  return {
    id: tool.id,
    tool: {
      name: tool.name,
      type: tool.type,
      toolClass: tool.toolClass,
      minNm: tool.minNm,
      maxNm: tool.maxNm,
      quarantined: tool.quarantined,
    },
    calibration:
      tool.calibrationId === null || tool.calibratedOn === null
        ? null
        : {
            id: tool.calibrationId,
            calibratedOn: tool.calibratedOn,
            validUntil: tool.validUntil,
            deviationPercent: tool.deviationPercent,
            deviationAfterPercent: tool.deviationAfterPercent,
          },
    usesSinceCalibration: tool.uses,
  };
}

const JointRow = z.object({ id: z.string() });

/** The id of a socket's joint of a kind; made the first time it is torqued. */
export async function jointOf(
  tx: Tx,
  clinicId: string,
  socketId: string,
  kind: JointKind,
): Promise<string> {
  const row = parseFirst(
    JointRow,
    await tx.$queryRaw`
      with made as (
        insert into joint (clinic_id, id, socket_id, kind)
        values (${clinicId}::uuid, ${uuidv7()}::uuid, ${socketId}::uuid, ${kind})
        on conflict (clinic_id, socket_id, kind) do nothing returning id)
      select id from made
      union all
      select id from joint where clinic_id = ${clinicId}::uuid and socket_id = ${socketId}::uuid and kind = ${kind}
      limit 1`,
  );
  if (row === undefined) throw new Error(`No joint ${kind} was made.`);
  return row.id;
}

export interface NewConfirmation {
  readonly id: string;
  readonly jointId: string;
  readonly torqueSettingId: string;
  readonly toolId: string;
  readonly calibrationId: string;
  readonly threadlockerBatchId: string | null;
  readonly judged: TorqueConfirmation;
  readonly coversMoveIds: readonly string[];
  /** The moves it was made upon, where it was recorded before it arrived. */
  readonly basedOnMoveIds: readonly string[];
}

/** Writes a confirmation with all its readings, whether it confirms or not (R4). */
export async function writeConfirmation(act: Act, written: NewConfirmation): Promise<void> {
  const { judged } = written;
  const because = judged.notConfirmedBecause.map(({ code, detail }) => ({ code, detail }));
  const readings = judged.readings.map((reading) => ({
    fastener: reading.fastener,
    pass: reading.pass,
    value: reading.value,
    unit: reading.unit,
    torque_nm: reading.torqueNm,
    in_band: reading.inBand,
    final: reading.final,
  }));
  await act.tx.$executeRaw`
    with confirmed as (
      insert into torque_confirmation (clinic_id, id, joint_id, torque_setting_id, tool_id, calibration_id,
        threadlocker_batch_id, confirms, because, accepted_from_nm, accepted_to_nm, deviation_percent,
        covers_move_ids, based_on_move_ids, bench_at, recorded_at, recorded_by_id)
      values (${act.clinicId}::uuid, ${written.id}::uuid, ${written.jointId}::uuid, ${written.torqueSettingId}::uuid,
        ${written.toolId}::uuid, ${written.calibrationId}::uuid, ${written.threadlockerBatchId}::uuid,
        ${judged.confirms}, ${JSON.stringify(because)}::jsonb, ${judged.acceptedBandNm.fromNm}::float8,
        ${judged.acceptedBandNm.toNm}::float8, ${judged.toleranceDeviationPercent}::float8,
        ${written.coversMoveIds}::uuid[], ${written.basedOnMoveIds}::uuid[], ${act.benchAt}::timestamptz, ${act.at}::timestamptz, ${act.by.personId}::uuid)
      returning clinic_id, id)
    insert into torque_reading (clinic_id, confirmation_id, fastener, pass, value, unit, torque_nm, in_band, final)
    select c.clinic_id, c.id, r.fastener, r.pass, r.value, r.unit, r.torque_nm, r.in_band, r.final
    from confirmed c, jsonb_to_recordset(${JSON.stringify(readings)}::jsonb) as r(
      fastener int, pass int, value float8, unit text, torque_nm float8, in_band boolean, final boolean)`;
}

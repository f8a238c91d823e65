import { z } from 'zod';
import type { Day } from '../domain/days.ts';
import { reason } from '../domain/reasons/index.ts';
import {
  PLACE_KINDS,
  SHOP_TOOL_KINDS,
  TORQUE_TOOL_CLASSES,
  TORQUE_TOOL_TYPES,
  type ShopToolKind,
} from '../domain/words.ts';
import { Prisma } from '../generated/prisma/client.ts';
import type { Act } from './act.ts';
import { found } from './refused.ts';
import { parseFirst, parseRows } from './rows.ts';
import { CALIBRATIONS, USES_SINCE } from './toolUses.ts';

const storedDay = z.string().transform((text) => text as Day);

const ToolRow = z.object({
  id: z.string(),
  kind: z.enum(SHOP_TOOL_KINDS),
  name: z.string(),
  serial: z.string().nullable(),
  holePattern: z.string().nullable(),
  toolType: z.enum(TORQUE_TOOL_TYPES).nullable(),
  toolClass: z.enum(TORQUE_TOOL_CLASSES).nullable(),
  minNm: z.number().nullable(),
  maxNm: z.number().nullable(),
  outOfService: z.boolean(),
  createdAt: z.date(),
  version: z.number(),
  place: z.object({ id: z.string(), kind: z.enum(PLACE_KINDS), name: z.string() }).nullable(),
  /** Readings taken with it from its newest calibration's day on. */
  uses: z.number(),
  calibrations: z.array(
    z.object({
      id: z.string(),
      calibratedOn: storedDay,
      validUntil: storedDay.nullable(),
      certificate: z.string(),
      laboratory: z.string(),
      deviationPercent: z.number().nullable(),
      deviationAfterPercent: z.number().nullable(),
      /** Torque confirmations with the tool since the calibration before. */
      confirmationsBefore: z.number(),
      recordedAt: z.coerce.date(),
    }),
  ),
});

/**
 * A shop tool, where it is now, its calibrations, the newest first, and how often it was
 * used since. Torques in N·m. A calibration is never of a coming day, so the newest counts.
 */
export type ShopToolRecord = z.infer<typeof ToolRow>;

const SELECT = Prisma.sql`
  select t.id, t.kind, t.name, t.serial, t.hole_pattern as "holePattern", t.tool_type as "toolType",
    t.tool_class as "toolClass", t.min_nm as "minNm", t.max_nm as "maxNm", t.out_of_service as "outOfService",
    t.created_at as "createdAt", t.version,
    (select json_build_object('id', p.id, 'kind', p.kind, 'name', p.name)
      from custody c join place p on p.clinic_id = c.clinic_id and p.id = c.place_id
      where c.clinic_id = t.clinic_id and c.thing_id = t.id) as place,
    coalesce((select ${USES_SINCE} from calibration k where k.clinic_id = t.clinic_id and k.tool_id = t.id
      order by k.calibrated_on desc, k.id desc limit 1), 0) as uses,
    coalesce((select json_agg(json_build_object('id', k.id, 'calibratedOn', k.calibrated_on, 'validUntil', k.valid_until,
        'certificate', k.certificate, 'laboratory', k.laboratory, 'deviationPercent', k.deviation_percent,
        'deviationAfterPercent', k.deviation_after_percent, 'recordedAt', k.recorded_at,
        'confirmationsBefore', (select count(*)::int from torque_confirmation c
          where c.clinic_id = k.clinic_id and c.tool_id = k.tool_id and c.calibration_id <> k.id
            and c.recorded_at >= k.since and c.recorded_at < k.until)) order by k.calibrated_on desc, k.id desc)
      from ${CALIBRATIONS} k), '[]'::json) as calibrations
  from shop_tool t`;

/** @throws Refused 'not-found' where the clinic has no such shop tool. */
export async function loadShopTool(act: Act, toolId: string): Promise<ShopToolRecord> {
  const row = parseFirst(
    ToolRow,
    await act.tx
      .$queryRaw`${SELECT} where t.clinic_id = ${act.clinicId}::uuid and t.id = ${toolId}::uuid`,
  );
  return found(row, () => reason('not-found', { what: 'shop tool', id: toolId }));
}

export interface ShopToolQuery {
  readonly kind: ShopToolKind | null;
  readonly afterName: string | null;
  readonly take: number;
}

/** Shop tools by name. */
export async function listShopTools(act: Act, query: ShopToolQuery): Promise<ShopToolRecord[]> {
  const asked = [
    Prisma.sql`t.clinic_id = ${act.clinicId}::uuid`,
    query.kind === null ? null : Prisma.sql`t.kind = ${query.kind}`,
    query.afterName === null ? null : Prisma.sql`t.name > ${query.afterName}`,
  ].filter((condition) => condition !== null);
  return parseRows(
    ToolRow,
    await act.tx.$queryRaw`
      ${SELECT} where ${Prisma.join(asked, ' and ')} order by t.name limit ${query.take}::int`,
  );
}

/**
 * Takes a tool out of service or back, where it is not so already.
 * @returns false where it was so, or was changed since it was read.
 */
export async function writeService(
  act: Act,
  toolId: string,
  version: number,
  outOfService: boolean,
): Promise<boolean> {
  const { count } = await act.tx.shopTool.updateMany({
    where: { clinicId: act.clinicId, id: toolId, version, outOfService: !outOfService },
    data: { outOfService, version: { increment: 1 } },
  });
  return count === 1;
}

import { v7 as uuidv7 } from 'uuid';
import { z } from 'zod';
import { addDays, daysBetween, isBefore, type Day } from '../../domain/days.ts';
import { reason, type Reason } from '../../domain/reasons/index.ts';
import { judgeCertificate } from '../../domain/toolCalibrations.ts';
import {
  CALIBRATION_USES,
  calibrationDueOn,
  foundOutOfTolerance,
  judgeTool,
  permissibleDeviationPercent,
} from '../../domain/torqueTools.ts';
import { pageFrom, readCursor, type Page } from '../../http/paging.ts';
import type { Act } from '../../store/act.ts';
import { todayAtClinic } from '../../store/clinic.ts';
import { binPlace, insertMove } from '../../store/custody.ts';
import { asStored } from '../../store/days.ts';
import { isUniqueClash } from '../../store/failures.ts';
import { Refused, refuseIfAny } from '../../store/refused.ts';
import {
  listShopTools,
  loadShopTool,
  writeService,
  type ShopToolRecord,
} from '../../store/shopTools.ts';
import type { CalibrationToAdd, ShopToolQuery, ShopToolToAdd, ShopToolView } from './schemas.ts';

export const readShopTool = async (act: Act, toolId: string): Promise<ShopToolView> =>
  toolView(await loadShopTool(act, toolId), await todayAtClinic(act));

export async function findShopTools(act: Act, query: ShopToolQuery): Promise<Page<ShopToolView>> {
  const rows = await listShopTools(act, {
    kind: query.kind ?? null,
    afterName: readCursor(z.string(), query.after) ?? null,
    take: query.limit + 1,
  });
  const today = await todayAtClinic(act);
  return pageFrom(
    rows,
    query.limit,
    (row) => row.name,
    (row) => toolView(row, today),
  );
}

/**
 * Enters a shop tool and receives it into a bin: its custody begins (R1).
 * @throws Refused 'tool-name-taken', 'tool-class-not-of-type', 'tool-range-upside-down'.
 */
export async function addShopTool(act: Act, input: ShopToolToAdd): Promise<ShopToolView> {
  const { tx, clinicId } = act;
  if (input.kind === 'torque_tool') refuseIfAny(judgeTorqueTool(input));
  const bin = await binPlace(tx, clinicId, input.toPlaceId);
  const id = uuidv7();
  const { toPlaceId, ...entry } = input;
  try {
    await tx.shopTool.create({
      data: {
        clinicId,
        id,
        kind: entry.kind,
        name: entry.name,
        serial: entry.serial ?? null,
        ...(entry.kind === 'torque_tool'
          ? {
              toolType: entry.toolType,
              toolClass: entry.toolClass,
              minNm: entry.minNm,
              maxNm: entry.maxNm,
            }
          : { holePattern: entry.holePattern ?? null }),
        createdAt: act.at,
      },
    });
  } catch (failure) {
    if (!isUniqueClash(failure, 'name')) throw failure;
    throw new Refused([reason('tool-name-taken', { name: input.name }, '/name')], {
      cause: failure,
    });
  }
  const { serial, ...rest } = entry;
  const holePattern = 'holePattern' in rest ? (rest.holePattern ?? null) : null;
  act.record({
    kind: 'shop_tool.added',
    subjectKind: 'shop_tool',
    subjectId: id,
    data: { ...rest, serial: serial ?? null, holePattern, bin: bin.name },
  });
  await insertMove(act, {
    thing: { shopToolId: id },
    fromPlaceId: null,
    toPlaceId,
    reason: 'received',
  });
  return readShopTool(act, id);
}

/**
 * Enters a torque tool's certificate of calibration. One that finds the tool out of
 * tolerance is kept like any other: the tool was found so, and proves nothing.
 * @throws Refused 'tool-is-not-for-torque', 'day-in-future', 'day-order-wrong',
 *   'tool-calibrated-that-day', 'certificate-already-entered'.
 */
export async function addCalibration(
  act: Act,
  toolId: string,
  input: CalibrationToAdd,
): Promise<ShopToolView> {
  const tool = await loadShopTool(act, toolId);
  const { calibratedOn, certificate, laboratory } = input;
  const today = await todayAtClinic(act);
  const validUntil = input.validUntil ?? null;
  const against: Reason[] = [];
  if (tool.kind !== 'torque_tool') {
    against.push(reason('tool-is-not-for-torque', { tool: tool.name, kind: tool.kind }));
  }
  if (isBefore(today, calibratedOn)) {
    const facts = { what: 'The day of calibration', day: calibratedOn, today };
    against.push(reason('day-in-future', facts, '/calibratedOn'));
  }
  if (validUntil !== null && !isBefore(calibratedOn, validUntil)) {
    const facts = {
      what: 'The end of the calibration',
      day: validUntil,
      earliest: addDays(calibratedOn, 1),
    };
    against.push(reason('day-order-wrong', facts, '/validUntil'));
  }
  against.push(...judgeCertificate(tool.name, tool.calibrations, { certificate, calibratedOn }));
  refuseIfAny(against);
  const id = uuidv7();
  const deviationPercent = input.deviationPercent ?? null;
  const deviationAfterPercent = input.deviationAfterPercent ?? null;
  await act.tx.calibration.create({
    data: {
      clinicId: act.clinicId,
      id,
      toolId,
      calibratedOn: asStored(calibratedOn),
      validUntil: validUntil === null ? null : asStored(validUntil),
      certificate,
      laboratory,
      deviationPercent,
      deviationAfterPercent,
      recordedAt: act.at,
      recordedById: act.by.personId,
    },
  });
  act.record({
    kind: 'shop_tool.calibrated',
    subjectKind: 'shop_tool',
    subjectId: toolId,
    data: {
      calibrationId: id,
      calibratedOn,
      validUntil,
      certificate,
      laboratory,
      deviationPercent,
      deviationAfterPercent,
    },
  });
  return readShopTool(act, toolId);
}

/** Takes a tool out of service, or back into it: out of service it proves nothing (R4). */
export async function setService(
  act: Act,
  toolId: string,
  outOfService: boolean,
  why: string,
): Promise<ShopToolView> {
  const tool = await loadShopTool(act, toolId);
  if (!(await writeService(act, toolId, tool.version, outOfService))) {
    throw new Refused([reason('tool-service-unchanged', { tool: tool.name, outOfService })]);
  }
  act.record({
    kind: outOfService ? 'shop_tool.taken_out_of_service' : 'shop_tool.put_back_in_service',
    subjectKind: 'shop_tool',
    subjectId: toolId,
    data: { before: tool.outOfService, after: outOfService, why },
  });
  return readShopTool(act, toolId);
}

function judgeTorqueTool(tool: Extract<ShopToolToAdd, { kind: 'torque_tool' }>): Reason[] {
  const { toolType: type, toolClass, minNm, maxNm } = tool;
  const reasons: Reason[] = [];
  if (minNm >= maxNm) reasons.push(reason('tool-range-upside-down', { minNm, maxNm }, '/minNm'));
  const deviation = permissibleDeviationPercent({ type, toolClass, maxNm });
  return deviation.ok ? reasons : [...reasons, ...deviation.reasons];
}

function toolView(tool: ShopToolRecord, today: Day): ShopToolView {
  const { toolType, toolClass, maxNm } = tool;
  const deviation =
    toolType === null || toolClass === null || maxNm === null
      ? null
      : permissibleDeviationPercent({ type: toolType, toolClass, maxNm });
  const [newest] = tool.calibrations;
  return {
    ...tool,
    permissibleDeviationPercent: deviation?.ok === true ? deviation.value : null,
    calibrationDueOn: newest === undefined ? null : calibrationDueOn(newest),
    calibrationToday: calibrationOn(tool, today),
    calibrations: tool.calibrations.map(({ confirmationsBefore, ...calibration }) => ({
      ...calibration,
      inDoubt:
        toolType !== null &&
        toolClass !== null &&
        maxNm !== null &&
        foundOutOfTolerance({ type: toolType, toolClass, maxNm }, calibration)
          ? { confirmations: confirmationsBefore, trace: `/api/v1/trace?tool=${tool.id}` }
          : null,
    })),
  };
}

/** What a torque tool's calibration is worth on a day: the same judgement as when it is used (R4). */
function calibrationOn(tool: ShopToolRecord, on: Day): ShopToolView['calibrationToday'] {
  const { name, toolType: type, toolClass, minNm, maxNm, uses, place } = tool;
  if (type === null || toolClass === null || minNm === null || maxNm === null) return null;
  const quarantined = tool.outOfService || place?.kind === 'quarantine' || place?.kind === 'scrap';
  const calibration = tool.calibrations[0] ?? null;
  const judged = judgeTool({
    tool: { name, type, toolClass, minNm, maxNm, quarantined },
    calibration,
    usesSinceCalibration: uses,
    on,
  });
  return {
    on,
    proves: judged.ok,
    because: judged.ok ? [] : [...judged.reasons],
    usesSince: uses,
    usesAllowed: CALIBRATION_USES,
    usesLeft: Math.max(0, CALIBRATION_USES - uses),
    daysLeft: calibration === null ? null : daysBetween(on, calibrationDueOn(calibration)),
  };
}

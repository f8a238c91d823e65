/** A torque tool as the domain judges it, and what it makes of a setting. */
import { judgeToolForSetting, type TorqueBand, type TorqueTool } from '../../domain/torqueTools.ts';
import type { Verdict } from '../../domain/verdict.ts';
import type { Schemas } from '../api.ts';
import { said } from '../words/said.ts';
import type { Joint } from './record.ts';

type Setting = NonNullable<Joint['setting']>;

/** Undefined for what is no torque tool. */
function torqueTool(tool: Schemas['ShopTool']): TorqueTool | undefined {
  const { name, toolType, toolClass, minNm, maxNm, outOfService } = tool;
  if (toolType === null || toolClass === null || minNm === null || maxNm === null) return undefined;
  return { name, type: toolType, toolClass, minNm, maxNm, quarantined: outOfService };
}

/** The band that proves a setting with a tool, or why it cannot. */
export function bandWith(
  tool: Schemas['ShopTool'],
  setting: Setting,
): Verdict<{ acceptedBandNm: TorqueBand; deviationPercent: number }> | undefined {
  const known = torqueTool(tool);
  return known === undefined ? undefined : judgeToolForSetting(known, setting);
}

/** Everything against using a tool on a setting today, in words: nothing where it may be used. */
export function againstTool(tool: Schemas['ShopTool'], setting: Setting): readonly string[] {
  const today = tool.calibrationToday?.because.map(({ detail }) => detail) ?? [];
  const judged = bandWith(tool, setting);
  return judged === undefined || judged.ok
    ? today
    : [...today, ...judged.reasons.map((each) => said(each).detail)];
}

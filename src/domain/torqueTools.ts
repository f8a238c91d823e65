/**
 * Torque tools (R4, C4). A tool can prove a torque only where its class is
 * known, its range covers the setting, its calibration is valid that day and found
 * it (or left it) within its permissible deviation, and the setting is wide enough
 * for that deviation.
 */
import { addMonths, isBefore, type Day } from './days.ts';
import { reason } from './reasons/index.ts';
import type { Reason } from './reasons/index.ts';
import { granted, refused, unless, type Verdict } from './verdict.ts';
import type { TorqueToolClass, TorqueToolType } from './words.ts';

/** A torque tool. Torques in N·m; `maxNm` is the tool's greatest value, not a reading. */
export interface TorqueTool {
  readonly name: string;
  readonly type: TorqueToolType;
  readonly toolClass: TorqueToolClass;
  readonly minNm: number;
  readonly maxNm: number;
  readonly quarantined: boolean;
}

/** A calibration of a tool. */
export interface ToolCalibration {
  readonly calibratedOn: Day;
  /** The day on which the certificate itself asks for the next one; null where it names none. */
  readonly validUntil: Day | null;
  /** Greatest deviation found as the tool came in, per cent; null where the certificate names none. */
  readonly deviationPercent: number | null;
  /** Greatest deviation left after adjustment, per cent; null where it was not adjusted. */
  readonly deviationAfterPercent: number | null;
}

/** A band of torques in N·m, ends included. */
export interface TorqueBand {
  readonly fromNm: number;
  readonly toNm: number;
}

/**
 * Two torques that differ by less than this are the same torque: it takes up
 * the round-off of converting units and of multiplying by 1.04, and is a
 * thousand times finer than any torque tool shows.
 */
export const TORQUE_ROUND_OFF_NM = 1e-6;

/** Calibration is due after twelve months or 5 000 uses, whichever comes first (ISO 6789-1:2017, 5.3). */
export const CALIBRATION_MONTHS = 12;
export const CALIBRATION_USES = 5_000;

type Deviation = 'by_tool_maximum' | 'six_percent';

/**
 * ISO 6789-1:2017, 5.1.5: wrenches by the tool's maximum, screwdrivers and
 * flexion bars 6 %. Type I (indicating) A torsion or flexion bar, B dial wrench,
 * C electronic wrench, D screwdriver, E electronic screwdriver; Type II
 * (setting) A adjustable wrench with scale, B fixed, C adjustable without
 * scale, D to F the same as screwdrivers, G flexion bar. The split for wrenches
 * is quoted in a maker's manual; the division into classes is from memory.
 */
const DEVIATIONS: Readonly<
  Record<TorqueToolType, Readonly<Partial<Record<TorqueToolClass, Deviation>>>>
> = {
  indicating: {
    A: 'six_percent',
    B: 'by_tool_maximum',
    C: 'by_tool_maximum',
    D: 'six_percent',
    E: 'by_tool_maximum',
  },
  setting: {
    A: 'by_tool_maximum',
    B: 'by_tool_maximum',
    C: 'by_tool_maximum',
    D: 'six_percent',
    E: 'six_percent',
    F: 'six_percent',
    G: 'six_percent',
  },
};

/** The classes that ISO 6789-1 has for a type of tool: indicating A to E, setting A to G. */
export const toolClassesOf = (type: TorqueToolType): readonly TorqueToolClass[] =>
  Object.keys(DEVIATIONS[type]) as TorqueToolClass[];

/**
 * The permissible deviation of a tool in per cent of the reading (ISO 6789-1:2017, 5.1.5).
 * The split between 4 % and 6 % is by the tool's greatest torque: 6 % up to and with 10 N·m.
 * @returns 4 or 6, or 'tool-class-not-of-type'
 */
export function permissibleDeviationPercent(
  tool: Pick<TorqueTool, 'type' | 'toolClass' | 'maxNm'>,
): Verdict<number> {
  const { type, toolClass, maxNm } = tool;
  const deviation = DEVIATIONS[type][toolClass];
  if (deviation === undefined) {
    const classes = toolClassesOf(type);
    return refused([reason('tool-class-not-of-type', { type, toolClass, classes })]);
  }
  return granted(deviation === 'six_percent' || maxNm <= 10 ? 6 : 4);
}

/**
 * The deviation where it is more than the tool is allowed (ISO 6789-1:2017, 5.1.5);
 * null where it is not, or was not measured.
 */
const beyondPermissible = (
  tool: Pick<TorqueTool, 'type' | 'toolClass' | 'maxNm'>,
  deviationPercent: number | null,
): { readonly deviationPercent: number; readonly permissibleDeviationPercent: number } | null => {
  const permissible = permissibleDeviationPercent(tool);
  return permissible.ok &&
    deviationPercent !== null &&
    Math.abs(deviationPercent) > permissible.value
    ? { deviationPercent, permissibleDeviationPercent: permissible.value }
    : null;
};

/**
 * Whether a calibration found the tool out of tolerance as it came in. Then every joint
 * that it closed since the calibration before is in doubt, adjusted since or not.
 */
export const foundOutOfTolerance = (
  tool: Pick<TorqueTool, 'type' | 'toolClass' | 'maxNm'>,
  found: Pick<ToolCalibration, 'deviationPercent'>,
): boolean => beyondPermissible(tool, found.deviationPercent) !== null;

/** What is asked about a tool on the day it is used. */
export interface ToolQuestion {
  readonly tool: TorqueTool;
  /** The tool's latest calibration up to `on`; null where it never had one. */
  readonly calibration: ToolCalibration | null;
  /** Readings from the calibration's own day on, that day's included. */
  readonly usesSinceCalibration: number;
  /** Uses about to be added, one for each reading; 1 where not given. */
  readonly usesAsked?: number;
  readonly on: Day;
}

/**
 * The day on which a calibration is no longer valid: twelve months after it
 * (29 February to 28 February), or the day its certificate names if earlier.
 */
export function calibrationDueOn(calibration: ToolCalibration): Day {
  const { calibratedOn, validUntil } = calibration;
  const afterTwelveMonths = addMonths(calibratedOn, CALIBRATION_MONTHS);
  return validUntil !== null && isBefore(validUntil, afterTwelveMonths)
    ? validUntil
    : afterTwelveMonths;
}

/**
 * Judges whether a tool may prove a torque on a day (R4).
 * @returns the day its calibration is due and the uses left after those asked,
 *   or every one of 'tool-out-of-service', 'tool-calibration-missing',
 *   'tool-calibration-expired', 'tool-found-out-of-tolerance', 'tool-uses-exceeded'
 *   that stands against it
 */
export function judgeTool(question: ToolQuestion): Verdict<{ dueOn: Day; usesLeft: number }> {
  const { tool, calibration, usesSinceCalibration, usesAsked = 1, on } = question;
  const against: Reason[] = [];
  if (tool.quarantined) against.push(reason('tool-out-of-service', { tool: tool.name }));

  // A calibration made later says nothing about the tool on this day.
  if (calibration === null || isBefore(on, calibration.calibratedOn)) {
    against.push(reason('tool-calibration-missing', { tool: tool.name, on }));
    return refused(against);
  }
  const { calibratedOn } = calibration;
  const dueOn = calibrationDueOn(calibration);
  if (!isBefore(on, dueOn)) {
    against.push(reason('tool-calibration-expired', { tool: tool.name, calibratedOn, dueOn, on }));
  }
  // What it was found with counts until it is adjusted; then what was left counts.
  const { deviationPercent, deviationAfterPercent } = calibration;
  const beyond = beyondPermissible(tool, deviationAfterPercent ?? deviationPercent);
  if (beyond !== null) {
    against.push(
      reason('tool-found-out-of-tolerance', { tool: tool.name, calibratedOn, ...beyond }),
    );
  }
  const usesLeft = CALIBRATION_USES - usesSinceCalibration - usesAsked;
  if (usesLeft < 0) {
    against.push(
      reason('tool-uses-exceeded', {
        tool: tool.name,
        usesSinceCalibration,
        usesAsked,
        usesAllowed: CALIBRATION_USES,
      }),
    );
  }
  return unless(against, { dueOn, usesLeft });
}

/**
 * The band of readings that prove a setting: the setting's band drawn in at
 * both ends by the tool's permissible deviation.
 *
 * This is our own, cautious rule in the manner of the guard band of
 * JCGM 106:2012, 8.3. There the guard band comes from the uncertainty of
 * measurement; a tool's permissible deviation is a limit of error instead.
 * @returns the band in N·m, or 'torque-band-empty'
 */
export function acceptedBandNm(
  setting: { readonly minNm: number; readonly maxNm: number },
  deviationPercent: number,
): Verdict<TorqueBand> {
  const fromNm = setting.minNm * (1 + deviationPercent / 100);
  const toNm = setting.maxNm * (1 - deviationPercent / 100);
  return unless(
    fromNm > toNm
      ? [
          reason('torque-band-empty', {
            torqueMinNm: setting.minNm,
            torqueMaxNm: setting.maxNm,
            deviationPercent,
          }),
        ]
      : [],
    { fromNm, toNm },
  );
}

/**
 * Judges whether a tool can prove a setting at all (R4), so that an unfit tool
 * is refused before the first screw is turned.
 * @returns the accepted band and the deviation behind it, or every one of
 *   'tool-range-too-small', 'tool-class-not-of-type', 'torque-band-empty'
 */
export function judgeToolForSetting(
  tool: TorqueTool,
  setting: { readonly torqueMinNm: number; readonly torqueMaxNm: number },
): Verdict<{ acceptedBandNm: TorqueBand; deviationPercent: number }> {
  const { torqueMinNm, torqueMaxNm } = setting;
  const against: Reason[] = [];
  if (
    tool.minNm > torqueMinNm + TORQUE_ROUND_OFF_NM ||
    tool.maxNm < torqueMaxNm - TORQUE_ROUND_OFF_NM
  ) {
    against.push(
      reason('tool-range-too-small', {
        tool: tool.name,
        toolMinNm: tool.minNm,
        toolMaxNm: tool.maxNm,
        torqueMinNm,
        torqueMaxNm,
      }),
    );
  }
  const deviation = permissibleDeviationPercent(tool);
  if (!deviation.ok) return refused([...against, ...deviation.reasons]);
  const band = acceptedBandNm({ minNm: torqueMinNm, maxNm: torqueMaxNm }, deviation.value);
  if (!band.ok) return refused([...against, ...band.reasons]);
  return unless(against, { acceptedBandNm: band.value, deviationPercent: deviation.value });
}

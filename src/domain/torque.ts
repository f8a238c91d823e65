/**
 * R4. A torque confirmation says, for one joint, that every fastener was
 * brought inside its setting by a tool that can prove it. It counts while
 * nothing in the joint has moved since.
 *
 * A proposal that proves nothing (an unfit tool, no threadlocker, a reading for
 * a screw that is not there) is refused and nothing is stored. Readings that
 * were properly taken but do not confirm the joint are kept, with the reasons.
 */
import { isBefore, type Day } from './days.ts';
import { coversLastMoves } from './lastMoves.ts';
import { reason } from './reasons/index.ts';
import type { Reason } from './reasons/index.ts';
import {
  judgeTool,
  judgeToolForSetting,
  TORQUE_ROUND_OFF_NM,
  type ToolCalibration,
  type TorqueBand,
  type TorqueTool,
} from './torqueTools.ts';
import { toNewtonMetres } from './torqueUnits.ts';
import { granted, refused, type Verdict } from './verdict.ts';
import {
  TORQUE_UNITS,
  type BatchKind,
  type FastenerSize,
  type JointKind,
  type PropertyClass,
  type TorqueUnit,
} from './words.ts';

/** The torque setting of a joint, and the document and revision it was read from. */
export interface TorqueSetting {
  readonly jointKind: JointKind;
  readonly fastenerCount: number;
  readonly fastenerSize: FastenerSize;
  readonly propertyClass: PropertyClass;
  readonly torqueMinNm: number;
  readonly torqueMaxNm: number;
  readonly threadlocker: 'none' | 'required';
  readonly document: string;
  readonly revision: string;
}

/** The batch named as threadlocker. */
export interface ThreadlockerFacts {
  readonly lot: string;
  readonly kind: BatchKind;
  /** The last day on which it may be used; null where it does not expire. */
  readonly expiresOn: Day | null;
  readonly quarantined: boolean;
}

/** What a torque confirmation is judged by. */
export interface TorqueConfirmationFacts {
  readonly setting: TorqueSetting;
  readonly tool: TorqueTool;
  readonly calibration: ToolCalibration | null;
  readonly usesSinceCalibration: number;
  readonly threadlocker: ThreadlockerFacts | null;
  /** The clinic's day of the work. */
  readonly on: Day;
}

/** A reading as the tool showed it: fastener 1 to the joint's count, pass from 1. */
export interface TorqueReading {
  readonly fastener: number;
  readonly pass: number;
  readonly value: number;
  readonly unit: TorqueUnit;
}

/** A reading in N·m; `final` where it is the one of its fastener's highest pass. */
export interface JudgedTorqueReading extends TorqueReading {
  readonly torqueNm: number;
  readonly inBand: boolean;
  readonly final: boolean;
}

/** A torque confirmation as it is to be stored. */
export interface TorqueConfirmation {
  readonly readings: readonly JudgedTorqueReading[];
  readonly confirms: boolean;
  readonly notConfirmedBecause: readonly Reason[];
  readonly acceptedBandNm: TorqueBand;
  readonly toleranceDeviationPercent: number;
  /** Uses that this confirmation adds to the tool: one for each reading. */
  readonly usesCounted: number;
}

/** Past this many times the setting's greatest torque a reading is a typing error. Common practice, no source. */
const IMPLAUSIBLE_TIMES = 5;

function againstThreadlocker(facts: TorqueConfirmationFacts): Reason[] {
  const { setting, threadlocker, on } = facts;
  if (threadlocker === null) {
    return setting.threadlocker === 'required' ? [reason('threadlocker-missing', {})] : [];
  }
  // A batch that is named is judged even where none is asked for: it is on the threads.
  const { lot, kind, expiresOn, quarantined } = threadlocker;
  const against: Reason[] = [];
  if (kind !== 'threadlocker') against.push(reason('threadlocker-wrong-kind', { lot, kind }));
  if (expiresOn !== null && isBefore(expiresOn, on)) {
    against.push(reason('threadlocker-expired', { lot, expiresOn, on }));
  }
  if (quarantined) against.push(reason('threadlocker-quarantined', { lot }));
  return against;
}

/** The unit, if any, in which the figure would lie inside the setting. */
function unitThatWouldFit(value: number, setting: TorqueSetting): TorqueUnit | null {
  const fitting = TORQUE_UNITS.find((unit) => {
    const torqueNm = toNewtonMetres(value, unit);
    return torqueNm >= setting.torqueMinNm && torqueNm <= setting.torqueMaxNm;
  });
  return fitting ?? null;
}

function againstReadings(setting: TorqueSetting, readings: readonly TorqueReading[]): Reason[] {
  const { fastenerCount, torqueMaxNm } = setting;
  if (readings.length === 0) {
    return [reason('torque-readings-missing', { fastenerCount }, '/readings')];
  }
  const against: Reason[] = [];
  const seen = new Set<string>();
  for (const [at, { fastener, pass, value, unit }] of readings.entries()) {
    if (!Number.isInteger(fastener) || fastener < 1 || fastener > fastenerCount) {
      against.push(
        reason('torque-fastener-unknown', { fastener, fastenerCount }, `/readings/${at}/fastener`),
      );
    }
    if (!Number.isInteger(pass) || pass < 1) {
      against.push(reason('torque-pass-unknown', { fastener, pass }, `/readings/${at}/pass`));
    }
    const key = `${fastener} in ${pass}`;
    if (seen.has(key)) {
      against.push(reason('torque-reading-twice', { fastener, pass }, `/readings/${at}`));
    }
    seen.add(key);
    const torqueNm = toNewtonMetres(value, unit);
    // Said the positive way round, so that a value that is not a number is refused too.
    if (!(torqueNm > 0 && torqueNm <= IMPLAUSIBLE_TIMES * torqueMaxNm)) {
      const perhapsUnit = unitThatWouldFit(value, setting);
      against.push(
        reason(
          'torque-reading-implausible',
          { fastener, pass, value, unit, torqueNm, torqueMaxNm, perhapsUnit },
          `/readings/${at}/value`,
        ),
      );
    }
  }
  return against;
}

/** Why properly taken readings do not confirm the joint, fastener by fastener. */
function notConfirmed(
  fastenerCount: number,
  readings: readonly JudgedTorqueReading[],
  band: TorqueBand,
): Reason[] {
  const because: Reason[] = [];
  for (let fastener = 1; fastener <= fastenerCount; fastener += 1) {
    const ofFastener = readings.filter((reading) => reading.fastener === fastener);
    if (ofFastener.length === 0) {
      because.push(reason('fastener-without-reading', { fastener, fastenerCount }));
    }
    for (const { final, inBand, pass, torqueNm } of ofFastener) {
      if (final && !inBand) {
        because.push(
          reason('torque-out-of-band', {
            fastener,
            readingNm: torqueNm,
            acceptedFromNm: band.fromNm,
            acceptedToNm: band.toNm,
          }),
        );
      }
      if (!final && torqueNm > band.toNm + TORQUE_ROUND_OFF_NM) {
        because.push(
          reason('fastener-over-torqued', {
            fastener,
            pass,
            readingNm: torqueNm,
            acceptedToNm: band.toNm,
          }),
        );
      }
    }
  }
  return because;
}

/**
 * Judges a torque confirmation (R4).
 *
 * Of each fastener the reading of its highest pass counts; readings of lower
 * passes (snug, half) are kept, and one above the accepted band means that the
 * fastener was over-torqued, which a later reading does not undo. Readings are
 * compared with the band to within `TORQUE_ROUND_OFF_NM`.
 * @param readings in any order, in any unit
 * @returns what is to be stored, `confirms` false with the reasons where the
 *   joint is not confirmed by it; or every reason to store nothing, with
 *   JSON Pointers into `{ readings }` where a reading is to blame
 */
export function judgeTorqueConfirmation(
  facts: TorqueConfirmationFacts,
  readings: readonly TorqueReading[],
): Verdict<TorqueConfirmation> {
  const { setting, tool } = facts;
  const toolThatDay = judgeTool({ ...facts, usesAsked: readings.length });
  const toolForSetting = judgeToolForSetting(tool, setting);
  const against = [
    ...(toolThatDay.ok ? [] : toolThatDay.reasons),
    ...(toolForSetting.ok ? [] : toolForSetting.reasons),
    ...againstThreadlocker(facts),
    ...againstReadings(setting, readings),
  ];
  if (!toolForSetting.ok || against.length > 0) return refused(against);

  const { acceptedBandNm: band, deviationPercent } = toolForSetting.value;
  const judged = readings.map((reading): JudgedTorqueReading => {
    const torqueNm = toNewtonMetres(reading.value, reading.unit);
    return {
      ...reading,
      torqueNm,
      inBand:
        torqueNm >= band.fromNm - TORQUE_ROUND_OFF_NM &&
        torqueNm <= band.toNm + TORQUE_ROUND_OFF_NM,
      final: readings.every(
        (other) => other.fastener !== reading.fastener || other.pass <= reading.pass,
      ),
    };
  });
  const notConfirmedBecause = notConfirmed(setting.fastenerCount, judged, band);
  return granted({
    readings: judged,
    confirms: notConfirmedBecause.length === 0,
    notConfirmedBecause,
    acceptedBandNm: band,
    toleranceDeviationPercent: deviationPercent,
    usesCounted: readings.length,
  });
}

/**
 * Whether a confirmation still counts: it confirmed, and no item of the joint
 * has moved, come or gone since (see `coversLastMoves`). A later move reopens
 * the joint by itself.
 * @param currentMoveIds the last move of each item that is in the joint now
 */
export const isStillConfirmed = (
  confirmation: { readonly confirms: boolean; readonly coversMoveIds: readonly string[] },
  currentMoveIds: readonly string[],
): boolean => confirmation.confirms && coversLastMoves(confirmation.coversMoveIds, currentMoveIds);

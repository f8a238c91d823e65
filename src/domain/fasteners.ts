/**
 * Fasteners (C4): what a screw can carry, what a torque makes of it, and in
 * which order the screws of a joint are tightened. A torque setting that cannot
 * be right for its fastener is questioned before it is saved (R5).
 */
import { reason } from './reasons/index.ts';
import { fromNewtonMetres, toNewtonMetres } from './torqueUnits.ts';
import { granted, refused, type Verdict } from './verdict.ts';
import type { FastenerSize, PropertyClass, Side, TorqueUnit } from './words.ts';

/** Nominal diameter and pitch of the coarse metric thread (ISO 261), in mm. */
const COARSE_THREADS = {
  M4: { diameterMm: 4, pitchMm: 0.7 },
  M5: { diameterMm: 5, pitchMm: 0.8 },
  M6: { diameterMm: 6, pitchMm: 1 },
  M8: { diameterMm: 8, pitchMm: 1.25 },
  M10: { diameterMm: 10, pitchMm: 1.5 },
} as const satisfies Record<FastenerSize, { diameterMm: number; pitchMm: number }>;

/** @returns the nominal thread diameter in mm. */
export const nominalDiameterMm = (size: FastenerSize): number => COARSE_THREADS[size].diameterMm;

/**
 * Stress area of the coarse thread in mm², As = π/4·(d − 0.9382·P)²
 * (ISO 898-1, clause 9).
 */
export function stressAreaMm2(size: FastenerSize): number {
  const { diameterMm, pitchMm } = COARSE_THREADS[size];
  return (Math.PI / 4) * (diameterMm - 0.9382 * pitchMm) ** 2;
}

type SteelClass = '8.8' | '10.9' | '12.9';
type StainlessClass = Exclude<PropertyClass, SteelClass>;

/**
 * Proof loads in N as printed in ISO 898-1, Table 5 (coarse thread). The printed
 * loads are not exactly As times the proof stress (M6, 8.8: 11 600 N, not 11 658 N).
 * Galvanised M8 and M10 with thread 6az carry less (ISO 10684, Annex A).
 */
const PROOF_LOADS_N = {
  '8.8': { M4: 5_100, M5: 8_230, M6: 11_600, M8: 21_200, M10: 33_700 },
  '10.9': { M4: 7_290, M5: 11_800, M6: 16_700, M8: 30_400, M10: 48_100 },
  '12.9': { M4: 8_520, M5: 13_800, M6: 19_500, M8: 35_500, M10: 56_300 },
} as const satisfies Record<SteelClass, Record<FastenerSize, number>>;

/** Stress at 0.2 % permanent strain in MPa, ISO 3506-1; the same for A2 and A4. */
const RP02_MPA = {
  'A2-50': 210,
  'A2-70': 450,
  'A2-80': 600,
  'A4-50': 210,
  'A4-70': 450,
  'A4-80': 600,
} as const satisfies Record<StainlessClass, number>;

/** The load up to which a fastener stays as long as it was, and what that load is called. */
export interface LoadLimit {
  readonly newtons: number;
  readonly name: 'proof load' | '0.2 % load';
}

const isSteel = (propertyClass: PropertyClass): propertyClass is SteelClass =>
  propertyClass in PROOF_LOADS_N;

/**
 * The load limit of a fastener: the printed proof load for carbon steel
 * (ISO 898-1); for austenitic stainless steel, which has no proof load in that
 * sense, the 0.2 % load Rp0.2·As (ISO 3506-1).
 */
export const loadLimit = (size: FastenerSize, propertyClass: PropertyClass): LoadLimit =>
  isSteel(propertyClass)
    ? { newtons: PROOF_LOADS_N[propertyClass][size], name: 'proof load' }
    : { newtons: RP02_MPA[propertyClass] * stressAreaMm2(size), name: '0.2 % load' };

/** Nut factors K between which a fastener is expected to lie. */
export interface NutFactorRange {
  readonly from: number;
  readonly to: number;
}

/**
 * Clean to zinc plated fasteners, by the nut factors of Shigley's Mechanical Engineering
 * Design, 9th ed., Table 8–15 (zinc plated 0.20, lubricated 0.18, anti-seize 0.12).
 */
export const NUT_FACTORS_USUAL: NutFactorRange = { from: 0.12, to: 0.2 };

/** While wet, anaerobic threadlocker lubricates. Range: common practice, no source. */
export const NUT_FACTORS_WET_THREADLOCKER: NutFactorRange = { from: 0.15, to: 0.2 };

/**
 * Clamp load F = T/(K·d) (Shigley's Mechanical Engineering Design, 9th ed., section 8–8).
 * An estimate: torque alone scatters the clamp load by about a quarter either way.
 * @param torqueNm torque in N·m
 * @param nutFactor K, above zero
 * @param diameterMm nominal thread diameter in mm
 * @returns the clamp load in N
 */
export const clampLoadN = (torqueNm: number, nutFactor: number, diameterMm: number): number =>
  (torqueNm * 1000) / (nutFactor * diameterMm);

/** What is asked about a torque setting before it is saved. */
export interface TorqueSettingQuestion {
  readonly torqueMinNm: number;
  readonly torqueMaxNm: number;
  readonly size: FastenerSize;
  readonly propertyClass: PropertyClass;
  readonly nutFactor?: NutFactorRange;
  /** The unit in which the person typed the setting; N·m where not given. */
  readonly typedIn?: TorqueUnit;
}

/** What a plausible setting makes of its fastener. */
export interface TorqueSettingAnswer {
  /** Clamp load at the greatest torque, at the greatest nut factor. */
  readonly clampLoadFromN: number;
  /** Clamp load at the greatest torque, at the least nut factor; may pass the limit. */
  readonly clampLoadToN: number;
  readonly limit: LoadLimit;
  readonly percentOfLimitFrom: number;
  readonly percentOfLimitTo: number;
}

/**
 * Questions a torque setting (R5). It is refused only where it cannot be right:
 * where the clamp load at the greatest torque passes the fastener's load limit
 * even at the greatest nut factor. If the same figures in pound-inches would
 * be carried, the refusal asks whether the unit was mistaken.
 * @returns the clamp load to expect, or 'torque-setting-upside-down', or
 *   'torque-setting-implausible'
 */
export function questionTorqueSetting(
  question: TorqueSettingQuestion,
): Verdict<TorqueSettingAnswer> {
  const { torqueMinNm, torqueMaxNm, size, propertyClass, typedIn = 'N.m' } = question;
  const nutFactor = question.nutFactor ?? NUT_FACTORS_USUAL;
  // Said the positive way round, so that a torque that is not a number is refused too.
  if (!(torqueMinNm > 0 && torqueMinNm <= torqueMaxNm && Number.isFinite(torqueMaxNm))) {
    return refused([reason('torque-setting-upside-down', { torqueMinNm, torqueMaxNm })]);
  }
  const limit = loadLimit(size, propertyClass);
  const leastClampN = (torqueNm: number): number =>
    clampLoadN(torqueNm, nutFactor.to, nominalDiameterMm(size));
  const clampLoadFromN = leastClampN(torqueMaxNm);
  const clampLoadToN = clampLoadN(torqueMaxNm, nutFactor.from, nominalDiameterMm(size));
  const percentOfLimitFrom = (100 * clampLoadFromN) / limit.newtons;

  if (clampLoadFromN > limit.newtons) {
    const asPoundInchesNm = toNewtonMetres(fromNewtonMetres(torqueMaxNm, typedIn), 'lbf.in');
    return refused([
      reason('torque-setting-implausible', {
        torqueMaxNm,
        size,
        propertyClass,
        nutFactor: nutFactor.to,
        clampLoadN: clampLoadFromN,
        loadLimitN: limit.newtons,
        loadLimitName: limit.name,
        percentOfLimit: percentOfLimitFrom,
        typedIn,
        asPoundInchesNm: leastClampN(asPoundInchesNm) <= limit.newtons ? asPoundInchesNm : null,
      }),
    ]);
  }
  return granted({
    clampLoadFromN,
    clampLoadToN,
    limit,
    percentOfLimitFrom,
    percentOfLimitTo: (100 * clampLoadToN) / limit.newtons,
  });
}

/** The most fasteners a joint may have. */
export const FASTENERS_MOST = 8;

/**
 * Fasteners are numbered around the joint; across and star patterns bring the
 * joint down evenly. Common practice, no source.
 */
const TIGHTENING_ORDERS: readonly (readonly number[])[] = [
  [1],
  [1, 2],
  [1, 2, 3],
  [1, 3, 2, 4],
  [1, 3, 5, 2, 4],
  [1, 4, 2, 5, 3, 6],
  [1, 4, 7, 3, 6, 2, 5],
  [1, 5, 3, 7, 2, 6, 4, 8],
];

/**
 * The order in which the fasteners of a joint are tightened, numbered 1 to
 * `count` around it: across for four, star for five. Common practice, no source.
 * @throws RangeError where `count` is not 1 to 8: a fault of the program
 */
export function tighteningOrder(count: number): readonly number[] {
  const order = TIGHTENING_ORDERS[count - 1];
  if (order === undefined) throw new RangeError(`no tightening order for ${count} fasteners`);
  return order;
}

/**
 * The passes of a tightening, each over all fasteners in order, with the share
 * of the setting to aim for. Common practice, no source.
 */
export const TIGHTENING_PASSES = [
  { pass: 1, name: 'snug', share: 0.3 },
  { pass: 2, name: 'half', share: 0.5 },
  { pass: 3, name: 'full', share: 1 },
] as const;

/**
 * Where the screws lie around the joint, the front of the socket upwards,
 * numbered clockwise as seen from below; a single one lies in the middle.
 * @returns unit offsets from the middle, y downwards
 */
export function screwPlaces(count: number): { readonly x: number; readonly y: number }[] {
  if (count === 1) return [{ x: 0, y: 0 }];
  return Array.from({ length: count }, (_, at) => {
    const turn = (2 * Math.PI * (at + 0.5)) / count;
    return { x: Math.sin(turn), y: -Math.cos(turn) };
  });
}

/**
 * From below with the front upwards, the patient's left is on the right: for a
 * left leg the outer (lateral) side is therefore on the right of the drawing.
 */
export const lateralIsOnTheRight = (side: Side): boolean => side === 'left';

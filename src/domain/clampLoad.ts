/**
 * What a torque setting on record makes of its fasteners (C4, R5): the clamp load
 * to expect at its greatest torque over the range of friction, set against what
 * one fastener carries, and the question that this leaves.
 */
import {
  clampLoadN,
  loadLimit,
  nominalDiameterMm,
  NUT_FACTORS_USUAL,
  NUT_FACTORS_WET_THREADLOCKER,
  questionTorqueSetting,
  stressAreaMm2,
  type NutFactorRange,
} from './fasteners.ts';
import { reason, type Reason } from './reasons/index.ts';
import type { TorqueSetting } from './torque.ts';
import type { TorqueUnit } from './words.ts';

/** What of a setting its clamp load depends on. */
export type ClampedBy = Pick<
  TorqueSetting,
  'torqueMinNm' | 'torqueMaxNm' | 'fastenerSize' | 'propertyClass' | 'threadlocker'
>;

/** Of one fastener at the greatest torque of its setting: an estimate, F = T/(K·d). */
export interface ClampLoad {
  readonly nutFactor: NutFactorRange;
  readonly nutFactorSource: string;
  readonly diameterMm: number;
  readonly stressAreaMm2: number;
  readonly limitN: number;
  readonly limitName: 'proof load' | '0.2 % load';
  readonly limitSource: string;
  /** At the greatest nut factor; the least clamp load. */
  readonly fromN: number;
  /** At the least nut factor. */
  readonly toN: number;
  readonly percentOfLimitFrom: number;
  readonly percentOfLimitTo: number;
}

const NUT_FACTORS = {
  none: {
    range: NUT_FACTORS_USUAL,
    source: "Shigley's Mechanical Engineering Design, 9th ed., Table 8–15",
  },
  required: {
    range: NUT_FACTORS_WET_THREADLOCKER,
    source: 'wet anaerobic threadlocker: common practice, no source',
  },
} as const satisfies Record<
  TorqueSetting['threadlocker'],
  { range: NutFactorRange; source: string }
>;

const LIMIT_SOURCES = {
  'proof load': 'ISO 898-1, Table 5, coarse thread',
  '0.2 % load': 'Rp0.2·As, ISO 3506-1',
} as const satisfies Record<ClampLoad['limitName'], string>;

/** The friction that a setting has to reckon with. */
export const nutFactorsOf = ({ threadlocker }: Pick<ClampedBy, 'threadlocker'>): NutFactorRange =>
  NUT_FACTORS[threadlocker].range;

/**
 * The clamp load of a setting, and what is to be asked about it: everything that
 * would refuse it today ('torque-setting-upside-down', 'torque-setting-implausible',
 * where it was entered under other rules), or 'torque-setting-near-limit' where the
 * clamp load passes the limit at the least friction only.
 */
export function clampLoadOf(
  setting: ClampedBy,
  typedIn: TorqueUnit = 'N.m',
): { readonly clampLoad: ClampLoad; readonly questions: Reason[] } {
  const { torqueMinNm, torqueMaxNm, fastenerSize: size, propertyClass, threadlocker } = setting;
  const { range: nutFactor, source: nutFactorSource } = NUT_FACTORS[threadlocker];
  const limit = loadLimit(size, propertyClass);
  const diameterMm = nominalDiameterMm(size);
  const atFactor = (factor: number): number => clampLoadN(torqueMaxNm, factor, diameterMm);
  const [fromN, toN] = [atFactor(nutFactor.to), atFactor(nutFactor.from)];
  const percent = (newtons: number): number => (100 * newtons) / limit.newtons;
  const clampLoad: ClampLoad = {
    nutFactor,
    nutFactorSource,
    diameterMm,
    stressAreaMm2: stressAreaMm2(size),
    limitN: limit.newtons,
    limitName: limit.name,
    limitSource: LIMIT_SOURCES[limit.name],
    fromN,
    toN,
    percentOfLimitFrom: percent(fromN),
    percentOfLimitTo: percent(toN),
  };
  const asked = questionTorqueSetting({
    torqueMinNm,
    torqueMaxNm,
    size,
    propertyClass,
    nutFactor,
    typedIn,
  });
  if (!asked.ok) return { clampLoad, questions: [...asked.reasons] };
  const near = {
    torqueMaxNm,
    size,
    propertyClass,
    nutFactor: nutFactor.from,
    clampLoadN: toN,
    loadLimitN: limit.newtons,
    loadLimitName: limit.name,
    percentOfLimit: clampLoad.percentOfLimitTo,
  };
  return {
    clampLoad,
    questions: toN > limit.newtons ? [reason('torque-setting-near-limit', near)] : [],
  };
}

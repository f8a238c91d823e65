/** Torques of a setting as they are printed and drawn. */
import type { TorqueSetting } from '../domain/torque.ts';
import { fromNewtonMetres, TORQUE_UNIT_SYMBOLS } from '../domain/torqueUnits.ts';
import type { TorqueUnit } from '../domain/words.ts';
import { figure } from './traveller/sheet.ts';

/** One hundred thousandth: takes up the round-off of converting, far below any tool's scale. */
const ROUND_OFF = 1e-5;

/**
 * A band in a unit, rounded inwards, so that what is printed never allows more
 * than the setting does.
 */
export function bandWords(minNm: number, maxNm: number, unit: TorqueUnit): string {
  const step = unit === 'N.m' ? 0.01 : 0.1;
  const least = fromNewtonMetres(minNm, unit);
  const most = fromNewtonMetres(maxNm, unit);
  const from = Math.ceil(least / step - ROUND_OFF) * step;
  const to = Math.floor(most / step + ROUND_OFF) * step;
  const symbol = TORQUE_UNIT_SYMBOLS[unit];
  // A band narrower than a step has no round figure inside it.
  if (from > to + step / 2 || minNm === maxNm) {
    const words = [...new Set([figure(least, 2), figure(most, 2)])];
    return `${words.join(' to ')} ${symbol}`;
  }
  return `${[...new Set([figure(from, 2), figure(to, 2)])].join(' to ')} ${symbol}`;
}

/** The torque to aim for in a pass: its share of the middle of the band, N·m. */
export const aimNm = (
  { torqueMinNm, torqueMaxNm }: Pick<TorqueSetting, 'torqueMinNm' | 'torqueMaxNm'>,
  share: number,
): number => (share * (torqueMinNm + torqueMaxNm)) / 2;

const ORDINALS = ['1st', '2nd', '3rd', '4th', '5th', '6th', '7th', '8th'] as const;
export const ordinal = (n: number): string => ORDINALS[n - 1] ?? `${n}th`;

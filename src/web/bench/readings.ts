/** The readings of a joint as they are taken: pass by pass, in the order of tightening. */
import { TIGHTENING_PASSES } from '../../domain/fasteners.ts';
import type { TorqueReading } from '../../domain/torque.ts';
import { TORQUE_ROUND_OFF_NM, type TorqueBand } from '../../domain/torqueTools.ts';
import { fromNewtonMetres, TORQUE_UNIT_SYMBOLS, toNewtonMetres } from '../../domain/torqueUnits.ts';
import type { TorqueUnit } from '../../domain/words.ts';
import { inFigures } from './figures.ts';

/** One turn of the tool: which screw in which pass. */
export interface Turn {
  readonly pass: number;
  readonly fastener: number;
}

export const LAST_PASS = Math.max(...TIGHTENING_PASSES.map(({ pass }) => pass));

/** Every turn of a joint, in the order in which they are made. */
export const turnsOf = (order: readonly number[]): readonly Turn[] =>
  TIGHTENING_PASSES.flatMap(({ pass }) => order.map((fastener) => ({ pass, fastener })));

export const readingAt = (
  readings: readonly TorqueReading[],
  { pass, fastener }: Turn,
): TorqueReading | undefined =>
  readings.find((reading) => reading.pass === pass && reading.fastener === fastener);

/** A torque in the unit of the tool. */
export const torqueWords = (torqueNm: number, unit: TorqueUnit): string =>
  `${inFigures(fromNewtonMetres(torqueNm, unit), unit === 'lbf.in' ? 0 : 1)} ${TORQUE_UNIT_SYMBOLS[unit]}`;

/** A band in the unit of the tool, drawn in at both ends so that no rounding widens it. */
export function bandWords({ fromNm, toNm }: TorqueBand, unit: TorqueUnit): string {
  const decimals = unit === 'lbf.in' ? 0 : 1;
  const step = 10 ** decimals;
  const from = Math.ceil(fromNewtonMetres(fromNm, unit) * step - 1e-6) / step;
  const to = Math.floor(fromNewtonMetres(toNm, unit) * step + 1e-6) / step;
  return `${inFigures(from, decimals)} – ${inFigures(to, decimals)} ${TORQUE_UNIT_SYMBOLS[unit]}`;
}

/**
 * Where a reading stands: of the last pass it must lie in the band; of an earlier one it
 * must not lie above it, for turning back does not undo that.
 */
export function standing(
  { value, unit, pass }: Pick<TorqueReading, 'value' | 'unit' | 'pass'>,
  { fromNm, toNm }: TorqueBand,
): 'fits' | 'below' | 'above' {
  const torqueNm = toNewtonMetres(value, unit);
  if (torqueNm > toNm + TORQUE_ROUND_OFF_NM) return 'above';
  return pass === LAST_PASS && torqueNm < fromNm - TORQUE_ROUND_OFF_NM ? 'below' : 'fits';
}

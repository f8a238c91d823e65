/**
 * Torque units (C4). Torque is typed in the unit the tool or the maker's sheet
 * shows and stored in newton-metres (R4).
 *
 * Source of the factors: NIST SP 811 (2008), Appendix B. They are exact, being
 * products of exact definitions: 1 lb = 0.453 592 37 kg, standard gravity
 * 9.806 65 m/s², hence 1 lbf = 4.448 221 615 260 5 N; 1 in = 0.0254 m; 1 ft = 0.3048 m.
 */
import type { TorqueUnit } from './words.ts';

const NEWTON_METRES_IN = {
  'N.m': 1,
  'lbf.in': 0.1129848290276167,
  // eslint-disable-next-line no-loss-of-precision -- the exact figure, to the digits it is defined by
  'lbf.ft': 1.3558179483314004,
} as const satisfies Record<TorqueUnit, number>;

/** How each unit is printed and shown. */
export const TORQUE_UNIT_SYMBOLS = {
  'N.m': 'N·m',
  'lbf.in': 'lbf·in',
  'lbf.ft': 'lbf·ft',
} as const satisfies Record<TorqueUnit, string>;

/** @returns the torque in newton-metres, unrounded. */
export const toNewtonMetres = (value: number, unit: TorqueUnit): number =>
  value * NEWTON_METRES_IN[unit];

/** @returns a torque given in newton-metres, in `unit`, unrounded. */
export const fromNewtonMetres = (torqueNm: number, unit: TorqueUnit): number =>
  torqueNm / NEWTON_METRES_IN[unit];

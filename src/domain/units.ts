/**
 * Units of length and mass, and which a person likes to read. Records are in millimetres,
 * kilograms and newton-metres; what is typed in another unit is converted once, and what is
 * shown is rounded for the eye alone.
 *
 * Source of the factors: NIST SP 811 (2008), Appendix B.8: 1 in = 2.54 cm and
 * 1 lb = 0.453 592 37 kg, both exact.
 */
import type { TorqueUnit } from './words.ts';

const MILLIMETRES_IN = { mm: 1, cm: 10, in: 25.4 } as const;
export type LengthUnit = keyof typeof MILLIMETRES_IN;
export const LENGTH_UNITS = Object.keys(MILLIMETRES_IN) as readonly LengthUnit[];

const KILOGRAMS_IN = { kg: 1, lb: 0.45359237 } as const;
export type MassUnit = keyof typeof KILOGRAMS_IN;
export const MASS_UNITS = Object.keys(KILOGRAMS_IN) as readonly MassUnit[];

/** @returns millimetres, unrounded. */
export const toMillimetres = (value: number, unit: LengthUnit): number =>
  value * MILLIMETRES_IN[unit];
/** @returns a length of millimetres in `unit`, unrounded. */
export const fromMillimetres = (mm: number, unit: LengthUnit): number => mm / MILLIMETRES_IN[unit];

/** @returns kilograms, unrounded. */
export const toKilograms = (value: number, unit: MassUnit): number => value * KILOGRAMS_IN[unit];
/** @returns a mass of kilograms in `unit`, unrounded. */
export const fromKilograms = (kg: number, unit: MassUnit): number => kg / KILOGRAMS_IN[unit];

/** What a person reads and types in. */
export interface Units {
  /** Of limbs; small things stay in millimetres where this is metric (see `smallUnit`). */
  readonly length: LengthUnit;
  readonly mass: MassUnit;
  readonly torque: TorqueUnit;
}

/** As the record is kept. */
export const METRIC: Units = { length: 'mm', mass: 'kg', torque: 'N.m' };

/** Walls, widths, offsets: nobody writes them in centimetres. */
export const smallUnit = (unit: LengthUnit): 'mm' | 'in' => (unit === 'in' ? 'in' : 'mm');

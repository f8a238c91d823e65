/**
 * Lengths as they are typed, in the unit that the person likes, and as they are sent: in
 * millimetres. What a cell means in millimetres is kept beside its text, so that turning to
 * another unit and back changes no measure.
 */
import { fromMillimetres, toMillimetres, type LengthUnit } from '../../domain/units.ts';
import { figureTyped, inFigures } from '../words/figures.ts';

/** Decimals that are written, to the quarter of a millimetre or finer. */
const DECIMALS = { mm: 1, cm: 2, in: 2 } as const satisfies Record<LengthUnit, number>;

export interface Cell {
  readonly text: string;
  /** In millimetres; null where nothing, or no number, is typed. */
  readonly mm: number | null;
}

export const EMPTY: Cell = { text: '', mm: null };

/** A decimal comma is a decimal point; anything else that is no number is none. */
export function typed(text: string, unit: LengthUnit): Cell {
  const value = figureTyped(text) ?? NaN;
  if (!Number.isFinite(value)) return { text, mm: null };
  return { text, mm: roundedMm(toMillimetres(value, unit)) };
}

/** A length as a cell, in the given unit. */
export const written = (mm: number, unit: LengthUnit): Cell => ({
  text: inFigures(fromMillimetres(mm, unit), DECIMALS[unit]),
  mm,
});

/** The same cell in another unit; what is no number stays as it was typed. */
export const inUnit = (cell: Cell, unit: LengthUnit): Cell =>
  cell.mm === null ? cell : written(cell.mm, unit);

/** Something is typed and it is no number. */
export const isNoNumber = ({ text, mm }: Cell): boolean => text.trim() !== '' && mm === null;

/** Without the dust of binary fractions: 9.1 in is 231.14 mm. */
const roundedMm = (mm: number): number => Number(mm.toFixed(3));

/** The components of an alignment as they are printed, each with what its signs mean. */
import type { Alignment } from '../domain/alignment.ts';
import { figure } from '../domain/reasons/figures.ts';

export const ALIGNMENT_COMPONENTS = [
  { key: 'flexionDeg', words: 'Flexion (extension −)', unit: '°' },
  { key: 'adductionDeg', words: 'Adduction (abduction −)', unit: '°' },
  { key: 'toeOutDeg', words: 'Toe-out (toe-in −)', unit: '°' },
  { key: 'anteriorOffsetMm', words: 'Offset to the front (back −)', unit: ' mm' },
  { key: 'lateralOffsetMm', words: 'Offset outwards (inwards −)', unit: ' mm' },
  { key: 'heightToFloorMm', words: 'Height to the floor', unit: ' mm' },
] as const satisfies readonly { key: keyof Alignment; words: string; unit: string }[];

/** To the tenth, with its sign; nought without. */
export function signed(value: number, unit: string): string {
  const size = figure(Math.abs(value), 1);
  const sign = size === '0' ? '' : value > 0 ? '+' : '−';
  return `${sign}${size}${unit}`;
}

/** A component's value; a height has no sign. */
export const valueWords = (alignment: Alignment, key: keyof Alignment, unit: string): string =>
  key === 'heightToFloorMm' ? `${figure(alignment[key], 1)}${unit}` : signed(alignment[key], unit);

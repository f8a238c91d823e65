/**
 * Ranges of the bench's figures: each with its unit and what is usual there, so
 * that a slip of the keys or of the unit is answered, and nothing is clamped.
 */
import { reason, type Reason } from './reasons/index.ts';

/** The values that are taken, both ends included, and what is usual. */
export interface Range {
  readonly what: string;
  readonly least: number;
  readonly greatest: number;
  /** As it stands behind the figure; empty for a bare number. */
  readonly unit: string;
  readonly usual: string;
}

/** 'value-out-of-range' where a value is outside its range or no number at all. */
export function questionRange(value: number, range: Range, field: string): Reason[] {
  // Said the positive way round, so that a value that is not a number is refused too.
  if (value >= range.least && value <= range.greatest) return [];
  return [reason('value-out-of-range', { ...range, value }, field)];
}

/**
 * Questions every value that has a range.
 * @param at JSON Pointer to the record that holds the values
 */
export function questionFields<K extends string>(
  values: Readonly<Record<NoInfer<K>, number>>,
  ranges: Readonly<Record<K, Range>>,
  at = '',
): Reason[] {
  return (Object.keys(ranges) as K[]).flatMap((key) =>
    questionRange(values[key], ranges[key], `${at}/${key}`),
  );
}

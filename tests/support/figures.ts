/** Figures for property tests. */
import fc from 'fast-check';

/**
 * Figures spread evenly over a range, the ends more often. fc.double spreads them over what a
 * double can write: of a range that holds nought nearly every figure is next to nought.
 */
export const evenly = (least: number, greatest: number): fc.Arbitrary<number> =>
  fc.integer({ min: 0, max: 1e6 }).map((n) => least + ((greatest - least) * n) / 1e6);

import { inRange, usualIn } from './measures.ts';
import { entry } from './reason.ts';

/** Refusals of figures that the bench does not take. */
export const RANGE_REASONS = {
  'value-out-of-range': entry<{
    what: string;
    value: number;
    least: number;
    greatest: number;
    unit: string;
    usual: string;
  }>({
    rule: null,
    kind: 'invalid',
    title: 'A figure outside its range',
    words: (f, m) => {
      const { of, unit, units } = inRange(f, m);
      const value = Number.isNaN(f.value) ? 'not a number' : `${of(f.value)} ${unit}`.trim();
      const most = `${of(f.greatest)} ${unit}`.trim();
      return `${f.what} is ${value}; taken are ${of(f.least)} to ${most}. Usual: ${usualIn(f.usual, f.unit, units)}.`;
    },
    wayOut: () => 'Check the figure and its unit against the sheet, the tape or the scale.',
  }),
};

import { figure } from './figures.ts';
import { entry } from './reason.ts';

const withUnit = (value: number, unit: string): string => `${figure(value)} ${unit}`.trim();

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
    words: (f) =>
      `${f.what} is ${Number.isNaN(f.value) ? 'not a number' : withUnit(f.value, f.unit)}; taken are ${figure(f.least)} to ${withUnit(f.greatest, f.unit)}. Usual: ${f.usual}.`,
    wayOut: () => 'Check the figure and its unit against the sheet, the tape or the scale.',
  }),
};

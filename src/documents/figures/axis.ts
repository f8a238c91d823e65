/** Axes of charts: round steps, and what stands at them. */
import type { Shape } from './figure.ts';

/** Steps of 1, 2 or 5 times a power of ten, so that figures at an axis are read at a glance. */
const ROUND = [1, 2, 5, 10] as const;

export interface Scale {
  readonly from: number;
  readonly to: number;
  /** Values that get a mark, rising, both ends included. */
  readonly marks: readonly number[];
}

/**
 * The least round scale that holds all values.
 * @param values at least one
 * @param about how many steps are wanted
 */
export function roundScale(values: readonly number[], about = 5): Scale {
  const [least, greatest] = [Math.min(...values), Math.max(...values)];
  const span = greatest - least || Math.abs(greatest) || 1;
  const power = 10 ** Math.floor(Math.log10(span / about));
  const step = (ROUND.find((each) => each * power * about >= span) ?? 10) * power;
  const first = Math.floor(least / step);
  const last = Math.max(first + 1, Math.ceil(greatest / step));
  const marks = Array.from({ length: last - first + 1 }, (_, at) =>
    Number(((first + at) * step).toPrecision(12)),
  );
  return { from: marks[0] ?? 0, to: marks.at(-1) ?? 1, marks };
}

/** The place for drawing between margins, in points. */
export interface Plot {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** Where a value stands, upwards. */
export const heightOf = (value: number, { from, to }: Scale, { top, bottom }: Plot): number =>
  bottom - ((value - from) / (to - from)) * (bottom - top);

/** The upright axis: a hair line across at each mark with its figure on the left. */
export const uprightAxis = (
  scale: Scale,
  plot: Plot,
  words: (value: number) => string = String,
): Shape[] =>
  scale.marks.flatMap((mark): Shape[] => {
    const y = heightOf(mark, scale, plot);
    return [
      {
        kind: 'path',
        points: [
          { x: plot.left, y },
          { x: plot.right, y },
        ],
        weightPt: 0.5,
        ink: 'light',
      },
      { kind: 'text', text: words(mark), at: { x: plot.left - 6, y: y + 4 }, anchor: 'end' },
    ];
  });

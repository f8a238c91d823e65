import type { Point, Shape } from './figure.ts';

type Path = Extract<Shape, { kind: 'path' }>;
export type LineStyle = Omit<Path, 'kind' | 'points'>;

/** Straight pieces through the points. */
export const path = (points: readonly Point[], style: LineStyle = {}): Path => ({
  kind: 'path',
  points,
  ...style,
});

/** One straight piece between two points, each as x and y. */
export const straight = (
  [x1, y1]: readonly [number, number],
  [x2, y2]: readonly [number, number],
  style: LineStyle = {},
): Path =>
  path(
    [
      { x: x1, y: y1 },
      { x: x2, y: y2 },
    ],
    style,
  );

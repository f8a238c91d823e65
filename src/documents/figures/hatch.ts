/** Hatching of what a drawing encloses: parallel lines, cut off at its outline. */
import type { Ink, Point, Shape } from './figure.ts';

export interface Hatch {
  /** Against the horizontal, anticlockwise as it is seen. */
  readonly angleDeg: number;
  readonly gapPt: number;
  readonly ink: Ink;
}

const WEIGHT_PT = 0.6;

/** Turns a point about the origin, y being down. */
const turned = ({ x, y }: Point, angleRad: number): Point => ({
  x: x * Math.cos(angleRad) + y * Math.sin(angleRad),
  y: y * Math.cos(angleRad) - x * Math.sin(angleRad),
});

/**
 * The lines of a hatch inside a polygon. They lie at whole gaps from the origin,
 * so that neighbours with one hatch run on into each other.
 * @param outline its corners in order; it may be concave
 */
export function hatchIn(outline: readonly Point[], { angleDeg, gapPt, ink }: Hatch): Shape[] {
  const angle = (angleDeg * Math.PI) / 180;
  const corners = outline.map((corner) => turned(corner, -angle));
  const heights = corners.map(({ y }) => y);
  const lines: Shape[] = [];
  const last = Math.max(...heights);
  for (let y = Math.ceil(Math.min(...heights) / gapPt) * gapPt; y < last; y += gapPt) {
    const crossed = crossings(corners, y);
    for (let at = 0; at + 1 < crossed.length; at += 2) {
      const points = [crossed[at], crossed[at + 1]].map((x = 0) => turned({ x, y }, angle));
      lines.push({ kind: 'path', points, weightPt: WEIGHT_PT, ink });
    }
  }
  return lines;
}

/** Where a level line crosses the outline, from the left; an even number. */
function crossings(corners: readonly Point[], y: number): number[] {
  const found: number[] = [];
  for (const [at, to] of corners.entries()) {
    const from = corners.at(at - 1);
    // The lower end of an edge counts and its upper end does not, so that a corner is met once.
    if (from === undefined || from.y <= y === to.y <= y) continue;
    found.push(from.x + ((y - from.y) / (to.y - from.y)) * (to.x - from.x));
  }
  return found.sort((a, b) => a - b);
}

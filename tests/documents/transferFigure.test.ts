/** The drawing of a transfer: what moves has an arrow, what stays has none, what is replaced comes fresh. */
import { describe, expect, it } from 'vitest';
import { INKS, type Shape } from '../../src/documents/figures/figure.ts';
import { svgOf } from '../../src/documents/figures/svg.ts';
import {
  transferFigure,
  type Arrives,
  type LeftBehind,
  type TransferAt,
} from '../../src/documents/figures/transfer.ts';
import type { Position } from '../../src/domain/words.ts';

const at = (position: Position, old: LeftBehind, arrives: Arrives): TransferAt => ({
  position,
  label: position.replaceAll('_', ' '),
  old,
  oldWords: `old ${old}`,
  new: arrives,
  newWords: `new ${arrives}`,
});
const drawn = (...of: readonly TransferAt[]) =>
  transferFigure({
    title: 'Hardware',
    description: 'Two sockets',
    oldTitle: 'Old',
    oldNumber: 'KB-26-00417-I/C1',
    newTitle: 'New',
    newNumber: 'KB-26-00417-I/D1',
    at: of,
  });
const texts = (shapes: readonly Shape[]) =>
  shapes.flatMap((shape) => (shape.kind === 'text' ? [shape] : []));
/** Heads of arrows: triangles filled in black. */
const arrows = (shapes: readonly Shape[]) =>
  shapes.filter((shape) => shape.kind === 'path' && shape.points.length === 3).length;

describe('a transfer, drawn', () => {
  const figure = drawn(
    at('pyramid', 'moves', 'comes'),
    at('distal_screws', 'stays', 'fresh'),
    at('lock_spring', 'stays', 'awaited'),
    at('adapter', 'empty', 'empty'),
    at('lock', 'moves', 'comes'),
    at('pin', 'moves', 'there'),
  );

  it('has an arrow for each piece that moves, and none into a place that is taken', () => {
    expect(arrows(figure.shapes)).toBe(2);
  });

  it('draws both sockets with every position, from the limb downwards', () => {
    const left = texts(figure.shapes)
      .filter(({ at: { x }, bold }) => x < 150 && bold === true)
      .toSorted((a, b) => a.at.y - b.at.y)
      .map(({ text }) => text);
    expect(left).toEqual([
      'Old',
      'pin',
      'lock',
      'lock spring',
      'pyramid',
      'distal screws',
      'adapter',
    ]);
    const told = texts(figure.shapes).map(({ text }) => text);
    for (const words of ['new fresh', 'new awaited', 'old stays', 'old empty', 'new there']) {
      expect(told).toContain(words);
    }
  });

  it('writes on black in white, and shrinks what would not fit its box', () => {
    expect(
      texts(figure.shapes)
        .filter(({ ink }) => ink === 'white')
        .map(({ text }) => text),
    ).toEqual(['distal screws', 'new fresh']);
    const long = drawn({ ...at('lock', 'moves', 'comes'), oldWords: 'x'.repeat(60) });
    const [words] = texts(long.shapes).filter(({ text }) => text.startsWith('xxx'));
    expect((words?.sizePt ?? 99) * 60 * 0.57).toBeLessThanOrEqual(112);
  });

  it('stays within its frame, also where nothing sits inside the socket', () => {
    for (const each of [figure, drawn(at('pyramid', 'moves', 'comes')), drawn()]) {
      for (const shape of each.shapes) {
        const points = shape.kind === 'path' ? shape.points : [shape.at];
        for (const { x, y } of points) {
          expect(x).toBeGreaterThanOrEqual(0);
          expect(x).toBeLessThanOrEqual(each.widthPt);
          expect(y).toBeLessThanOrEqual(each.heightPt);
        }
      }
    }
    expect(svgOf(figure)).toContain(INKS.light);
  });
});

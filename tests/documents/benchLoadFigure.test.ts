/** The drawn load of the benches: every bar in its place, and the same in words. */
import { describe, expect, it } from 'vitest';
import { benchLoadFigure } from '../../src/documents/figures/benchLoad.ts';
import type { Shape } from '../../src/documents/figures/figure.ts';
import { benchLoad, type WorkToPlan } from '../../src/domain/benchLoad.ts';
import { addDays } from '../../src/domain/days.ts';
import { CLINIC, MONDAY } from '../support/timelines.ts';

const BENCHES = [
  { name: 'Oven', people: 1 },
  { name: 'Assembly', people: 2 },
];
const work = (minutes: number, bench = 'Oven'): WorkToPlan => ({
  order: 'KL-26-00001-X',
  bench,
  minutes,
  from: MONDAY,
  to: MONDAY,
});
function drawn(days: number, ...all: readonly WorkToPlan[]) {
  const to = addDays(MONDAY, days - 1);
  const load = benchLoad(CLINIC, BENCHES, all, { from: MONDAY, to });
  if (!load.ok) throw new Error('no load');
  return benchLoadFigure({ from: MONDAY, to, items: load.value });
}
const texts = (shapes: readonly Shape[]) =>
  shapes.flatMap((shape) => (shape.kind === 'text' ? [shape.text] : []));
const bars = (shapes: readonly Shape[]) =>
  shapes.flatMap((shape) =>
    shape.kind === 'path' && shape.closed === true
      ? [{ fill: shape.fill, heightPt: shape.points[0]!.y - shape.points[1]!.y }]
      : [],
  );

describe('the drawn load of the benches', () => {
  it('has a bar as high as its share of what is manned, black where that is passed', () => {
    const { shapes } = drawn(5, work(240), work(480, 'Assembly'));
    const [half, alsoHalf] = bars(shapes);
    expect(half).toEqual({ fill: 'grey', heightPt: 14 });
    expect(alsoHalf).toEqual(half);
    expect(bars(drawn(5, work(480)).shapes)).toEqual([{ fill: 'grey', heightPt: 28 }]);
    const over = drawn(5, work(481));
    expect(bars(over.shapes)[0]?.fill).toBe('black');
    // Never rounded down to what would be just enough.
    expect(texts(over.shapes)).toContain('101 %');
  });

  it('cuts a bar off at twice what is manned, and writes the whole figure', () => {
    const { shapes } = drawn(5, work(4_800));
    expect(bars(shapes)).toEqual([{ fill: 'black', heightPt: 56 }]);
    expect(texts(shapes)).toContain('1000 %');
  });

  it('names every day where there is room, else the first of each week', () => {
    const days = (count: number) =>
      texts(drawn(count, work(60)).shapes).filter((text) => /^\d+ Mar$/.test(text));
    expect(days(5)).toEqual(['2 Mar', '3 Mar', '4 Mar', '5 Mar', '6 Mar']);
    expect(days(62)).toEqual(['2 Mar', '9 Mar', '16 Mar', '23 Mar', '30 Mar']);
  });

  it('says the same in words, and stays within its frame', () => {
    expect(drawn(5, work(60)).description).toBe(
      'Minutes of waiting operations against the minutes that each bench is manned: 2 benches, 5 working days. No bench is overloaded.',
    );
    const figure = drawn(62, work(900));
    expect(figure.description).toBe(
      'Minutes of waiting operations against the minutes that each bench is manned: 2 benches, 45 working days. Overloaded: Oven on Mon 2 Mar 2026: 900 minutes planned, 480 manned, for KL-26-00001-X.',
    );
    for (const shape of figure.shapes) {
      for (const { x, y } of shape.kind === 'path' ? shape.points : [shape.at]) {
        expect(x).toBeGreaterThanOrEqual(0);
        expect(x).toBeLessThanOrEqual(figure.widthPt);
        expect(y).toBeGreaterThanOrEqual(0);
        expect(y).toBeLessThanOrEqual(figure.heightPt);
      }
    }
  });

  it('of a time without a working day says so', () => {
    const load = benchLoadFigure({ from: MONDAY, to: MONDAY, items: [] });
    expect(texts(load.shapes)).toContain('no working day in this time');
  });
});

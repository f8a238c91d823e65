/** Charts and the two ways in which a drawing is put out. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { heightOf, roundScale } from '../../src/documents/figures/axis.ts';
import { controlChartFigure } from '../../src/documents/figures/controlChart.ts';
import type { Figure } from '../../src/documents/figures/figure.ts';
import { figureOnPaper } from '../../src/documents/figures/onPaper.ts';
import { sharesFigure } from '../../src/documents/figures/shares.ts';
import { svgOf } from '../../src/documents/figures/svg.ts';
import { makeDocument } from '../../src/documents/page.ts';
import { individualsChart, proportion } from '../../src/domain/quality.ts';

describe('an axis', () => {
  test('is marked at round figures around all of its values', () => {
    expect(roundScale([0, 17]).marks).toEqual([0, 5, 10, 15, 20]);
    expect(roundScale([0.12, 0.31]).marks).toEqual([0.1, 0.15, 0.2, 0.25, 0.3, 0.35]);
    expect(roundScale([-3, 44]).marks).toEqual([-10, 0, 10, 20, 30, 40, 50]);
    expect(roundScale([8]).marks).toEqual([8, 10]);
  });

  test('holds whatever values it is made for, with few marks', () => {
    const value = fc.double({ min: -1e6, max: 1e6, noNaN: true });
    fc.assert(
      fc.property(fc.array(value, { minLength: 1, maxLength: 30 }), (values) => {
        const { from, to, marks } = roundScale(values);
        expect(from).toBeLessThanOrEqual(Math.min(...values) + 1e-6);
        expect(to).toBeGreaterThanOrEqual(Math.max(...values) - 1e-6);
        expect(to).toBeGreaterThan(from);
        expect(marks.length).toBeLessThanOrEqual(8);
      }),
    );
  });

  test('goes up the paper as values rise', () => {
    const plot = { left: 0, top: 10, right: 100, bottom: 110 };
    const scale = { from: 0, to: 50, marks: [0, 50] };
    expect([0, 25, 50].map((value) => heightOf(value, scale, plot))).toEqual([110, 60, 10]);
  });
});

/** The NIST/SEMATECH e-Handbook's flow rates, section 6.3.2.2. */
const FLOW = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1];

describe('a control chart', () => {
  const chart = individualsChart(FLOW);
  if (chart === null) throw new Error('ten values make a chart');
  const orders = FLOW.map((value, at) => ({ label: `run ${at + 1}`, value }));
  const figure = controlChartFigure('Turnaround', orders, chart);

  test('says in words what it shows, and that ten values are few', () => {
    // Checked against the handbook's own figures in tests/reference/quality.test.ts.
    expect(figure.description).toMatch(/Mean 50\.8, natural limits 45\.8 to 55\.8 days; 0 outside/);
    expect(figure.description).toContain('only 10 orders: the limits are still moving');
  });

  test('has a point for each order, higher the longer it took', () => {
    const points = figure.shapes.flatMap((shape) => (shape.kind === 'circle' ? [shape.at] : []));
    expect(points).toHaveLength(10);
    const byHeight = points.map(({ y }, at) => [y, FLOW[at]] as const).sort(([a], [b]) => b - a);
    expect(byHeight.map(([, value]) => value)).toEqual([...FLOW].sort((a, b) => a - b));
  });

  test('of the last of many says so, in the drawing and in words', () => {
    const values = Array.from({ length: 200 }, (_, at) => 5 + (at % 3));
    const many = individualsChart(values);
    if (many === null) throw new Error('200 values make a chart');
    const drawn = controlChartFigure(
      'Turnaround',
      values.map((value, at) => ({ label: String(at), value })),
      many,
      640,
    );
    expect(drawn.description).toContain('the last 200 of 640 orders');
    const texts = drawn.shapes.flatMap((shape) => (shape.kind === 'text' ? [shape.text] : []));
    expect(texts).toContain('the last 200 of 640 orders');
    expect(figure.description).not.toContain('the last');
  });

  test('rings what is outside its limits', () => {
    const values = [5, 6, 5, 6, 5, 6, 5, 6, 40];
    const odd = individualsChart(values);
    if (odd === null) throw new Error('nine values make a chart');
    const drawn = controlChartFigure(
      'Turnaround',
      values.map((value, at) => ({ label: String(at), value })),
      odd,
    );
    const fills = drawn.shapes.flatMap((shape) => (shape.kind === 'circle' ? [shape.fill] : []));
    expect(fills).toEqual([...Array<string>(8).fill('black'), 'white']);
  });
});

describe('shares', () => {
  const figure = sharesFigure('First fits', [
    { words: 'March', share: proportion(3, 4) },
    { words: 'April', share: proportion(0, 0) },
  ]);

  test('stand with their counts and their interval, or say that there is nothing to count', () => {
    expect(figure.description).toBe(
      'March: 3 of 4, 75 %, interval 30 % to 95 %. April: nothing to count.',
    );
    const texts = figure.shapes.flatMap((shape) => (shape.kind === 'text' ? [shape.text] : []));
    expect(texts).toContain('3 of 4 (75 %)');
    expect(texts).toContain('nothing to count');
  });
});

const SAMPLE: Figure = {
  title: 'A & B <"x">',
  description: 'A line,\u0000 a circle and a word.',
  widthPt: 200,
  heightPt: 100,
  shapes: [
    {
      kind: 'path',
      points: [
        { x: 10, y: 10 },
        { x: 190.123456, y: 90 },
      ],
      dashed: true,
    },
    {
      kind: 'path',
      closed: true,
      bare: true,
      fill: 'light',
      points: [
        { x: 0, y: 0 },
        { x: 5, y: 0 },
        { x: 5, y: 5 },
      ],
    },
    { kind: 'circle', at: { x: 50, y: 50 }, radiusPt: 4, fill: 'grey' },
    { kind: 'text', text: '5 < 6 & "more"', at: { x: 100, y: 50 }, anchor: 'middle', bold: true },
  ],
};

describe('a drawing', () => {
  test('as SVG escapes its words, names itself, and carries no style and no script', () => {
    const svg = svgOf(SAMPLE);
    expect(svg).toContain('<title>A &amp; B &lt;&quot;x&quot;&gt;</title>');
    expect(svg).toContain('<desc>A line,\ufffd a circle and a word.</desc>');
    expect(svg).toContain('>5 &lt; 6 &amp; &quot;more&quot;</text>');
    expect(svg).toContain('M10 10L190.12 90');
    expect(svg).toContain('stroke-dasharray="5 3"');
    expect(svg).toContain('viewBox="0 0 200 100" role="img"');
    expect(svg).not.toMatch(/style=|<script|\bon\w+=|href/);
    expect(svgOf(SAMPLE)).toBe(svg);
  });

  test('on paper keeps its proportions, and is never enlarged past what was said', async () => {
    const doc = makeDocument({
      paper: 'A4',
      title: 'Sample',
      madeAt: new Date('2026-03-02T09:00:00Z'),
      footer: ['sample'],
    });
    const block = figureOnPaper(doc, SAMPLE, 1.5);
    expect(block.heightPt(100)).toBe(50);
    expect(block.heightPt(900)).toBe(150);
    const tall = figureOnPaper(doc, { ...SAMPLE, heightPt: 2 * doc.pageHeightPt }, 1.5);
    expect(tall.heightPt(900)).toBeCloseTo(doc.pageHeightPt, 6);
    doc.place(block);
    const bytes = await doc.finish();
    expect(bytes.subarray(0, 5).toString('latin1')).toBe('%PDF-');
  });
});

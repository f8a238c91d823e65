/** A control chart of turnaround (C8): each order's working days, their mean and the natural limits. */
import type { ControlChart } from '../../domain/quality.ts';
import { heightOf, roundScale, uprightAxis, type Plot } from './axis.ts';
import type { Figure, Shape } from './figure.ts';

export interface ChartedOrder {
  /** What stands at the axis: a day. */
  readonly label: string;
  readonly value: number;
}

const SIZE = { widthPt: 700, heightPt: 330 } as const;
const PLOT: Plot = { left: 46, top: 34, right: 610, bottom: 280 };
const LABELS_MOST = 8;

const days = (value: number): string => `${Number(value.toFixed(1))}`;

/**
 * @param orders in the order of their delivery, as many as the chart has values
 * @param inAll how many there were, where only the last of them are drawn
 */
export function controlChartFigure(
  title: string,
  orders: readonly ChartedOrder[],
  chart: ControlChart,
  inAll: number = orders.length,
): Figure {
  const { centre, lower, upper, provisional } = chart;
  const scale = roundScale([0, upper, ...orders.map(({ value }) => value)]);
  const x = (at: number): number =>
    PLOT.left + ((at + 0.5) / orders.length) * (PLOT.right - PLOT.left);
  const line = (value: number, words: string, dashed: boolean): Shape[] => {
    const y = heightOf(value, scale, PLOT);
    return [
      {
        kind: 'path',
        points: [
          { x: PLOT.left, y },
          { x: PLOT.right, y },
        ],
        dashed,
        weightPt: 1,
      },
      { kind: 'text', text: `${words} ${days(value)}`, at: { x: PLOT.right + 6, y: y + 4 } },
    ];
  };
  const points = orders.map(({ value }, at) => ({ x: x(at), y: heightOf(value, scale, PLOT) }));
  const every = Math.ceil(orders.length / LABELS_MOST);
  const outside = chart.values.filter((each) => each.outside).length;
  const last = inAll > orders.length ? `the last ${orders.length} of ${inAll} orders` : '';
  const note = provisional ? `only ${orders.length} orders: the limits are still moving` : last;
  return {
    title,
    description:
      `Working days from opening to delivery of ${orders.length} orders. Mean ${days(centre)}, ` +
      `natural limits ${days(Math.max(0, lower))} to ${days(upper)} days; ${outside} outside. ${note}`.trim(),
    ...SIZE,
    shapes: [
      { kind: 'text', text: title, at: { x: PLOT.left, y: 16 }, bold: true, sizePt: 13 },
      { kind: 'text', text: note, at: { x: SIZE.widthPt - 6, y: 16 }, anchor: 'end' },
      ...uprightAxis(scale, PLOT),
      ...line(centre, 'mean', false),
      ...line(upper, 'upper', true),
      ...(lower > 0 ? line(lower, 'lower', true) : []),
      { kind: 'path', points, weightPt: 0.8, ink: 'grey' },
      ...points.map((at, index): Shape => {
        const isOutside = chart.values[index]?.outside === true;
        return {
          kind: 'circle',
          at,
          radiusPt: isOutside ? 5 : 3,
          fill: isOutside ? 'white' : 'black',
          weightPt: isOutside ? 2 : 1,
        };
      }),
      ...orders.flatMap(({ label }, at): Shape[] =>
        at % every === 0
          ? [
              {
                kind: 'text',
                text: label,
                at: { x: x(at), y: PLOT.bottom + 18 },
                anchor: 'middle',
                sizePt: 10,
              },
            ]
          : [],
      ),
      {
        kind: 'text',
        text: 'working days from opening to delivery, by day of delivery; rings are outside the limits',
        at: { x: PLOT.left, y: SIZE.heightPt - 12 },
        sizePt: 10,
      },
    ],
  };
}

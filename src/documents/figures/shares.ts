/** Shares with their counts and intervals (C8), one row each: never a bare per cent of three. */
import type { Proportion } from '../../domain/quality.ts';
import type { Figure, Shape } from './figure.ts';

export interface ShareRow {
  readonly words: string;
  readonly share: Proportion;
}

const WIDTH_PT = 700;
const ROW_PT = 24;
const HEAD_PT = 40;
const FOOT_PT = 44;
const LEFT = 190;
const RIGHT = 560;
const MARKS = [0, 0.25, 0.5, 0.75, 1] as const;

const percent = (value: number): string => `${Math.round(100 * value)} %`;
const x = (share: number): number => LEFT + share * (RIGHT - LEFT);

/** @param rows at least one; a row without anything to count says so */
export function sharesFigure(title: string, rows: readonly ShareRow[]): Figure {
  const bottom = HEAD_PT + rows.length * ROW_PT;
  return {
    title,
    description: rows
      .map(({ words, share }) =>
        share.share === null
          ? `${words}: nothing to count.`
          : `${words}: ${share.count} of ${share.of}, ${percent(share.share)}, interval ${percent(share.from)} to ${percent(share.to)}.`,
      )
      .join(' '),
    widthPt: WIDTH_PT,
    heightPt: bottom + FOOT_PT,
    shapes: [
      { kind: 'text', text: title, at: { x: 6, y: 16 }, bold: true, sizePt: 13 },
      ...MARKS.flatMap((mark): Shape[] => [
        {
          kind: 'path',
          points: [
            { x: x(mark), y: HEAD_PT - 6 },
            { x: x(mark), y: bottom },
          ],
          weightPt: 0.5,
          ink: 'light',
        },
        { kind: 'text', text: percent(mark), at: { x: x(mark), y: bottom + 16 }, anchor: 'middle' },
      ]),
      ...rows.flatMap((row, at) => rowShapes(row, HEAD_PT + (at + 0.5) * ROW_PT)),
      {
        kind: 'text',
        text: 'square: share; line: 95 % Wilson interval in which it may truly lie; figures: counted of all',
        at: { x: 6, y: bottom + 36 },
        sizePt: 10,
      },
    ],
  };
}

function rowShapes({ words, share }: ShareRow, y: number): Shape[] {
  const label: Shape = { kind: 'text', text: words, at: { x: LEFT - 12, y: y + 4 }, anchor: 'end' };
  if (share.share === null) {
    return [label, { kind: 'text', text: 'nothing to count', at: { x: RIGHT + 12, y: y + 4 } }];
  }
  const [middle, half] = [x(share.share), 4];
  return [
    label,
    {
      kind: 'path',
      points: [
        { x: x(share.from), y },
        { x: x(share.to), y },
      ],
      weightPt: 2,
      ink: 'dark',
    },
    {
      kind: 'path',
      closed: true,
      fill: 'black',
      points: [
        { x: middle - half, y: y - half },
        { x: middle + half, y: y - half },
        { x: middle + half, y: y + half },
        { x: middle - half, y: y + half },
      ],
    },
    {
      kind: 'text',
      text: `${share.count} of ${share.of} (${percent(share.share)})`,
      at: { x: RIGHT + 12, y: y + 4 },
    },
  ];
}

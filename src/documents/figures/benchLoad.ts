/** The load of the benches (C5): a row for each bench, a bar for each working day. */
import type { BenchDay } from '../../domain/benchLoad.ts';
import type { Day } from '../../domain/days.ts';
import { dayWords } from '../dates.ts';
import type { Figure, Shape } from './figure.ts';

const WIDTH_PT = 740;
const LEFT = 130;
const RIGHT = 724;
const HEAD_PT = 44;
const ROW_PT = 76;
/** Of a row, from its base up. */
const FULL_PT = 56;
const FOOT_PT = 50;
/** Bars end here, as so many times what is manned; what is more is written above. */
const MOST = 2;
const BAR_MOST_PT = 26;
/** Narrower than this, a day has no room for its figures. */
const LABEL_LEAST_PT = 24;

export interface DrawnLoad {
  readonly from: Day;
  readonly to: Day;
  /** Days in order, benches in the same order within each. */
  readonly items: readonly BenchDay[];
}

const shareOf = ({ plannedMinutes, mannedMinutes }: BenchDay): number =>
  mannedMinutes > 0 ? plannedMinutes / mannedMinutes : plannedMinutes > 0 ? Infinity : 0;

/** Rounded up, so that an overload never reads as 100 %. */
const percent = (share: number): string =>
  Number.isFinite(share) ? `${Math.ceil(100 * share - 1e-6)} %` : 'nobody';

export function benchLoadFigure({ from, to, items }: DrawnLoad): Figure {
  const benches = [...new Set(items.map(({ bench }) => bench))];
  const days = [...new Set(items.map(({ day }) => day))];
  const title = `Load of the benches, ${dayWords(from)} to ${dayWords(to)}`;
  const column = (RIGHT - LEFT) / Math.max(1, days.length);
  const bottom = HEAD_PT + benches.length * ROW_PT;
  return {
    title,
    description: describe(items, benches.length, days.length),
    widthPt: WIDTH_PT,
    heightPt: bottom + FOOT_PT,
    shapes: [
      { kind: 'text', text: title, at: { x: 6, y: 18 }, bold: true, sizePt: 13 },
      ...benches.flatMap((bench, at) =>
        rowShapes(
          bench,
          items.filter((item) => item.bench === bench),
          { base: HEAD_PT + (at + 1) * ROW_PT - 8, column },
        ),
      ),
      ...dayMarks(days, column, bottom + 8),
      {
        kind: 'text',
        text:
          days.length === 0
            ? 'no working day in this time'
            : 'dashed: all minutes that the bench is manned; bars: minutes of waiting operations, cut off at 200 %; black: overload',
        at: { x: 6, y: bottom + 40 },
        sizePt: 10,
      },
    ],
  };
}

function rowShapes(
  bench: string,
  days: readonly BenchDay[],
  { base, column }: { readonly base: number; readonly column: number },
): Shape[] {
  const manned = base - FULL_PT / MOST;
  const line = (y: number, more: object): Shape => ({
    kind: 'path',
    points: [
      { x: LEFT, y },
      { x: RIGHT, y },
    ],
    weightPt: 0.75,
    ...more,
  });
  return [
    { kind: 'text', text: shortened(bench), at: { x: 6, y: base - 4 }, bold: true },
    { kind: 'text', text: '100 %', at: { x: LEFT - 6, y: manned + 4 }, anchor: 'end', sizePt: 9 },
    ...days.flatMap((day, at) => barShapes(day, LEFT + (at + 0.5) * column, base, column)),
    line(base, {}),
    line(manned, { dashed: true, ink: 'dark' }),
  ];
}

/** As much of a bench's name as stands beside its bars. */
const shortened = (name: string): string => (name.length > 17 ? `${name.slice(0, 16)}…` : name);

function barShapes(day: BenchDay, x: number, base: number, column: number): Shape[] {
  const share = shareOf(day);
  if (share === 0) return [];
  const half = Math.min(BAR_MOST_PT, column * 0.8) / 2;
  const top = base - (Math.min(share, MOST) / MOST) * FULL_PT;
  const written = column >= LABEL_LEAST_PT && (day.overloaded || share > MOST);
  return [
    {
      kind: 'path',
      closed: true,
      fill: day.overloaded ? 'black' : 'grey',
      ink: 'dark',
      weightPt: 0.5,
      points: [
        { x: x - half, y: base },
        { x: x - half, y: top },
        { x: x + half, y: top },
        { x: x + half, y: base },
      ],
    },
    ...(written
      ? [
          {
            kind: 'text' as const,
            text: percent(share),
            at: { x, y: top - 3 },
            anchor: 'middle' as const,
            sizePt: 9,
          },
        ]
      : []),
  ];
}

/** Every day where there is room, else the first working day of each week. */
function dayMarks(days: readonly Day[], column: number, y: number): Shape[] {
  const each = column >= 36;
  return days.flatMap((day, at): Shape[] => {
    const [weekday = '', ofMonth = '', month = ''] = dayWords(day).split(' ');
    const before = days[at - 1];
    const opensWeek = before === undefined || order(weekday) < order(dayWords(before).slice(0, 3));
    if (!each && !opensWeek) return [];
    const x = LEFT + (at + 0.5) * column;
    return [
      { kind: 'text', text: weekday, at: { x, y: y + 6 }, anchor: 'middle', sizePt: 9 },
      {
        kind: 'text',
        text: `${ofMonth} ${month}`,
        at: { x, y: y + 17 },
        anchor: 'middle',
        sizePt: 9,
      },
    ];
  });
}

const order = (weekday: string): number => 'Mon Tue Wed Thu Fri Sat Sun'.indexOf(weekday);

function describe(items: readonly BenchDay[], benches: number, days: number): string {
  const drawn = `Minutes of waiting operations against the minutes that each bench is manned: ${benches} ${benches === 1 ? 'bench' : 'benches'}, ${days} working ${days === 1 ? 'day' : 'days'}.`;
  const over = items.filter(({ overloaded }) => overloaded);
  const lines = over.map(
    (day) =>
      `${day.bench} on ${dayWords(day.day)}: ${Math.round(day.plannedMinutes)} minutes planned, ${day.mannedMinutes} manned, for ${day.orders.join(', ')}.`,
  );
  return `${drawn} ${lines.length === 0 ? 'No bench is overloaded.' : `Overloaded: ${lines.join(' ')}`}`;
}

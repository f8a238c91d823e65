/**
 * A layup as a section of the laminate, unrolled: the inside at the bottom, each
 * layer as thick as it is expected to be, at the places where the thickness
 * differs. Strips lie only where they run, the tooling plate only at the distal end.
 * A layup of more lines than a page has room for keeps its type, and draws its rows
 * closer: beside each layer stands its name alone, the rest is for a table.
 */
import type { LayupFigures, SectionLayer } from '../../domain/layup.ts';
import type { LayupLine } from '../../domain/layupRules.ts';
import type { Figure, Ink, Point, Shape } from './figure.ts';
import { hatchIn, type Hatch } from './hatch.ts';
import {
  HEAD_PT,
  LEFT_PT,
  placesOf,
  stack,
  type Laid,
  type SectionPlace,
} from './sectionPlaces.ts';

export interface SectionRecord {
  readonly socketNumber: string;
  /** Of the layup, within the socket. */
  readonly running: number;
  readonly approved: boolean;
  readonly lines: readonly LayupLine[];
  readonly figures: Pick<LayupFigures, 'section'>;
}

/** As wide as a printed page between its margins, in type that is read at arm's length. */
const WIDTH_PT = 515;
const FOOT_PT = 90;
const ROW_PT = 31;
/** A row with the name alone, where the page is short: between these. */
const CLOSE_ROW_PT = { least: 12.5, most: 20 } as const;
const LEGEND_PT = { swatch: 294, text: 322, width: 22, height: 14 } as const;
const LEAST_DRAWN_PT = 130;
/** As many letters of a name as the legend has room for; the cut list has all of them. */
const NAME_LETTERS = 30;

interface Look {
  readonly fill: Ink;
  readonly hatches: readonly Hatch[];
}
const line = (angleDeg: number, gapPt: number, ink: Ink = 'dark'): Hatch => ({
  angleDeg,
  gapPt,
  ink,
});
/** One for each fabric, in the order in which they come; told apart in grey. */
const LOOKS: readonly Look[] = [
  { fill: 'white', hatches: [] },
  { fill: 'dark', hatches: [] },
  { fill: 'light', hatches: [line(45, 5)] },
  { fill: 'grey', hatches: [] },
  { fill: 'white', hatches: [line(-45, 4)] },
  { fill: 'light', hatches: [line(45, 6), line(-45, 6)] },
  { fill: 'white', hatches: [line(90, 4)] },
  { fill: 'dark', hatches: [line(45, 5, 'white')] },
];
const PLATE: Look = { fill: 'black', hatches: [] };

const mm = (thickness: number): string => `${thickness.toFixed(2)} mm`;

const drawnHeightPt = (lines: number, rowPt: number): number =>
  Math.max(LEAST_DRAWN_PT, lines * rowPt);

/** Whether a section has room for all that is said of each layer. */
export const saysAll = (section: readonly SectionLayer[], mostHeightPt: number): boolean =>
  HEAD_PT + drawnHeightPt(section.length, ROW_PT) + FOOT_PT <= mostHeightPt;

function rowFor(section: readonly SectionLayer[], mostHeightPt: number): number {
  if (saysAll(section, mostHeightPt)) return ROW_PT;
  const { least, most } = CLOSE_ROW_PT;
  return Math.min(most, Math.max(least, (mostHeightPt - HEAD_PT - FOOT_PT) / section.length));
}

/**
 * Draws a layup; see the head of this file.
 * @param mostHeightPt of the page that it goes on; a screen has no such height
 */
export function sectionFigure(record: SectionRecord, mostHeightPt = Infinity): Figure {
  const { socketNumber, running, approved, lines } = record;
  const { section } = record.figures;
  const places = placesOf(section);
  const drawnPt = drawnHeightPt(section.length, rowFor(section, mostHeightPt));
  const wordsOf = saysAll(section, mostHeightPt)
    ? (layer: SectionLayer) => layerWords(layer, lines)
    : () => null;
  const laid = stack(section, places, drawnPt);
  const looks = looksOf(section);
  const state = approved ? 'approved' : 'draft, not approved';
  const title = `Layup ${running} of ${socketNumber}, ${state}`;
  return {
    title,
    description: described(section, lines, places),
    widthPt: WIDTH_PT,
    heightPt: HEAD_PT + drawnPt + FOOT_PT,
    shapes: [
      { kind: 'text', text: title, at: { x: LEFT_PT, y: 14 }, bold: true },
      ...section.flatMap((layer, index) => layerShapes(layer, index, laid, looks[index] ?? PLATE)),
      ...feet(places, laid),
      ...section.flatMap((layer, index) =>
        legendRow(
          { layer, index, of: section.length, words: wordsOf(layer) },
          laid,
          looks[index] ?? PLATE,
        ),
      ),
    ],
  };
}

/** The same look for the same fabric. */
function looksOf(section: readonly SectionLayer[]): Look[] {
  const names = [
    ...new Set(section.filter(({ where }) => where !== 'end').map(({ what }) => what)),
  ];
  return section.map(({ what, where }) =>
    where === 'end' ? PLATE : (LOOKS[names.indexOf(what) % LOOKS.length] ?? PLATE),
  );
}

/** A layer at every place where it is, run on from place to place, running out where it ends. */
function layerShapes(layer: SectionLayer, index: number, laid: Laid, look: Look): Shape[] {
  return runsOf(laid, index).flatMap((run): Shape[] => {
    const edge = (share: number): Point[] =>
      run.map(({ x, fromPt, thickPt }) => ({ x, y: laid.baseY - fromPt - share * thickPt }));
    const outline = [...edge(0), ...edge(1).reverse()];
    const plies = Array.from({ length: Math.max(0, layer.layers - 1) }, (_, ply): Shape => {
      const points = edge((ply + 1) / layer.layers);
      return { kind: 'path', points, weightPt: 0.5, ink: look.fill === 'dark' ? 'white' : 'black' };
    });
    return [
      { kind: 'path', points: outline, closed: true, fill: look.fill, bare: true },
      ...look.hatches.flatMap((hatch) => hatchIn(outline, hatch)),
      ...plies,
      { kind: 'path', points: outline, closed: true, weightPt: 0.8 },
    ];
  });
}

interface Station {
  readonly x: number;
  readonly fromPt: number;
  readonly thickPt: number;
}

/** The stretches of neighbouring places that have the layer, with the edges of the places beside them. */
function runsOf(laid: Laid, index: number): Station[][] {
  const bands = laid.bands[index] ?? [];
  const runs: Station[][] = [];
  let run: Station[] = [];
  for (const [at, { fromPt, thickPt }] of bands.entries()) {
    const { left, right } = laid.columns[at] ?? { left: 0, right: 0 };
    const there = thickPt > 0;
    if (there && run.length === 0 && at > 0) {
      const before = bands[at - 1]?.fromPt ?? 0;
      run.push({ x: laid.columns[at - 1]?.right ?? left, fromPt: before, thickPt: 0 });
    }
    if (there) run.push({ x: left, fromPt, thickPt }, { x: right, fromPt, thickPt });
    if (!there && run.length > 0) {
      run.push({ x: left, fromPt, thickPt: 0 });
      runs.push(run);
      run = [];
    }
  }
  return run.length > 0 ? [...runs, run] : runs;
}

/** What stands under the section: the base, the places with their thickness, the scale. */
function feet(places: readonly SectionPlace[], laid: Laid): Shape[] {
  const { baseY, columns, ptPerMm } = laid;
  const right = columns.at(-1)?.right ?? LEFT_PT;
  const wallPt = (places[0]?.thicknessMm ?? 0) * ptPerMm;
  const barMm = ptPerMm >= 20 ? 1 : 5;
  const bar = { y: baseY + FOOT_PT - 12, from: LEFT_PT, to: LEFT_PT + barMm * ptPerMm };
  const small = (text: string, x: number, y: number, anchor: 'start' | 'middle' = 'start') =>
    ({ kind: 'text', text, at: { x, y }, anchor }) as const;
  return [
    {
      kind: 'path',
      points: [
        { x: LEFT_PT, y: baseY },
        { x: right, y: baseY },
      ],
      weightPt: 2,
    },
    small('outside', LEFT_PT, baseY - wallPt - 6),
    small('inside, towards the limb', LEFT_PT, baseY + 12),
    ...places.flatMap(({ name, thicknessMm }, at): Shape[] => {
      const { left, right: end } = columns[at] ?? { left: 0, right: 0 };
      const middle = (left + end) / 2;
      return [
        {
          kind: 'text',
          text: mm(thicknessMm),
          at: { x: middle, y: baseY + 29 },
          anchor: 'middle',
          bold: true,
        },
        ...name.map((text, row) => small(text, middle, baseY + 42 + 12 * row, 'middle')),
      ];
    }),
    {
      kind: 'path',
      points: [
        { x: bar.from, y: bar.y - 3 },
        { x: bar.from, y: bar.y + 3 },
        { x: bar.from, y: bar.y },
        { x: bar.to, y: bar.y },
        { x: bar.to, y: bar.y - 3 },
        { x: bar.to, y: bar.y + 3 },
      ],
    },
    small(`${barMm} mm of thickness; widths and plate are not to scale`, bar.to + 6, bar.y + 3),
  ];
}

/** What a layer is, beside the section, the outermost on top, with a line to it at the distal end. */
function legendRow(
  row: {
    readonly layer: SectionLayer;
    readonly index: number;
    readonly of: number;
    /** Under its name; null where there is no room. */
    readonly words: string | null;
  },
  laid: Laid,
  look: Look,
): Shape[] {
  const { layer, index, of, words } = row;
  const { baseY, topY, columns } = laid;
  const heightPt = (baseY - topY) / of;
  const y = topY + (of - 1 - index + 0.5) * heightPt;
  const band = laid.bands[index]?.at(-1) ?? { fromPt: 0, thickPt: 0 };
  const right = columns.at(-1)?.right ?? LEFT_PT;
  const { swatch, text, width } = LEGEND_PT;
  const height = Math.min(LEGEND_PT.height, heightPt - 3);
  const box = [
    { x: swatch, y: y - height / 2 },
    { x: swatch + width, y: y - height / 2 },
    { x: swatch + width, y: y + height / 2 },
    { x: swatch, y: y + height / 2 },
  ];
  return [
    {
      kind: 'path',
      points: [
        { x: right, y: baseY - band.fromPt - band.thickPt / 2 },
        { x: right + 6, y: baseY - band.fromPt - band.thickPt / 2 },
        { x: swatch - 6, y },
        { x: swatch, y },
      ],
      weightPt: 0.6,
    },
    { kind: 'path', points: box, closed: true, fill: look.fill, weightPt: 0.8 },
    ...look.hatches.flatMap((hatch) => hatchIn(box, hatch)),
    {
      kind: 'text',
      text: `${layer.line}  ${shortened(layer.what)}`,
      at: { x: text, y: words === null ? y + 4 : y - 2 },
      bold: true,
    },
    ...(words === null ? [] : [{ kind: 'text', text: words, at: { x: text, y: y + 11 } } as const]),
  ];
}

const shortened = (name: string): string =>
  name.length <= NAME_LETTERS ? name : `${name.slice(0, NAME_LETTERS - 1).trimEnd()}…`;

/** Layers, direction and thickness of a line. */
export function layerWords(
  { line: place, layers, direction, thicknessMm }: SectionLayer,
  lines: readonly LayupLine[],
): string {
  if (thicknessMm === null || direction === null) return 'at the distal end';
  const of = lines[place - 1];
  const reflected = of?.kind === 'fabric' && of.reflected ? ', reflected' : '';
  const count = layers === 1 ? '1 layer' : `${layers} layers`;
  return `${count}, ${direction.replaceAll('_', '-')}${reflected}; ${mm(thicknessMm)}`;
}

function described(
  section: readonly SectionLayer[],
  lines: readonly LayupLine[],
  places: readonly SectionPlace[],
): string {
  const layers = section.map((layer) => `${layer.line} ${layer.what}: ${layerWords(layer, lines)}`);
  const thick = places.map(({ name, thicknessMm }) => `${name.join(' ')} ${mm(thicknessMm)}`);
  return `From the inside to the outside: ${layers.join('. ')}. Expected thickness: ${thick.join(', ')}.`;
}

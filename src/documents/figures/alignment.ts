/**
 * How the pyramid sits under a socket, from the front and from the outer side: the
 * newest alignment drawn out, the accepted one dashed, every figure written. Angles
 * and offsets are to scale; the height is shortened and only written.
 */
import {
  compareAlignments,
  type Alignment,
  type AlignmentTolerance,
} from '../../domain/alignment.ts';
import { combinedTilt, towardsWords } from '../../domain/alignmentGeometry.ts';
import { figure } from '../../domain/reasons/figures.ts';
import type { Side } from '../../domain/words.ts';
import { ALIGNMENT_COMPONENTS, signed, valueWords } from '../alignmentWords.ts';
import { drawView, scaleFor, VIEW_PT, VIEWS, VIEWS_END_PT } from './alignmentViews.ts';
import type { Figure, Shape } from './figure.ts';
import { straight } from './lines.ts';

const WIDTH_PT = 520;
const HEAD_PT = 18;
const BAR_MM = 20;
const ROW_PT = 16;

/** An alignment and what it is called: `KL-26-00001-X/C1, Tue 10 Mar 2026 15:05`. */
export interface DrawnAlignment {
  readonly label: string;
  readonly values: Alignment;
}

/** At least one of the two alignments is there. */
export interface AlignmentDrawing {
  readonly socket: string;
  readonly side: Side;
  readonly tolerance: AlignmentTolerance;
  readonly accepted: DrawnAlignment | null;
  /** Null where none was measured on the socket, or it is the accepted one itself. */
  readonly measured: DrawnAlignment | null;
  /** What must be said beside it: that hardware has moved since. */
  readonly note: string | null;
}

export function alignmentFigure(record: AlignmentDrawing): Figure {
  const { accepted, measured, side } = record;
  const solid = measured ?? accepted;
  const dashed = measured === null ? null : accepted;
  const [out, under] = [solid?.values ?? null, dashed?.values ?? null];
  const scale = scaleFor([out, under].filter((each) => each !== null));
  const foot = footOf(record, scale, VIEWS_END_PT + 24);
  return {
    title: `Alignment of socket ${record.socket}, ${side} leg`,
    description: describe(record),
    widthPt: WIDTH_PT,
    heightPt: foot.bottom,
    shapes: [
      { kind: 'text', text: side.toUpperCase(), at: { x: 0, y: HEAD_PT }, sizePt: 18, bold: true },
      { kind: 'text', text: `the patient’s ${side} leg`, at: { x: 76, y: HEAD_PT } },
      {
        kind: 'text',
        text: record.socket,
        at: { x: WIDTH_PT, y: HEAD_PT },
        anchor: 'end',
        bold: true,
      },
      ...VIEWS.flatMap((view, at) =>
        drawView(view, at * (WIDTH_PT - VIEW_PT), side, scale, out, under),
      ),
      ...foot.shapes,
    ],
  };
}

const tiltWords = ({ values }: DrawnAlignment): string => {
  const { tiltDeg, towardsDeg } = combinedTilt(values);
  const size = `${figure(tiltDeg, 1)}°`;
  return towardsDeg === null ? `tilt ${size}` : `tilt ${size} towards ${towardsWords(towardsDeg)}`;
};

/** What is drawn out and what dashed, each with its combined tilt; the scale; the table; the note. */
function footOf(
  record: AlignmentDrawing,
  scale: number,
  top: number,
): { readonly shapes: readonly Shape[]; readonly bottom: number } {
  const { accepted, measured, note } = record;
  let y = top;
  const shapes: Shape[] = [];
  const legend = (what: string, { label }: DrawnAlignment, tilt: string, dashed: boolean): void => {
    shapes.push(
      straight(
        [0, y - 4],
        [34, y - 4],
        dashed ? { weightPt: 1.6, ink: 'dark', dashed } : { weightPt: 2.4 },
      ),
      { kind: 'text', text: `${what} on ${label}: ${tilt}`, at: { x: 42, y }, bold: !dashed },
    );
    y += ROW_PT;
  };
  if (measured !== null) legend('measured', measured, tiltWords(measured), false);
  if (accepted !== null) legend('accepted', accepted, tiltWords(accepted), measured !== null);
  shapes.push(straight([0, y - 4], [BAR_MM * scale, y - 4], { weightPt: 2.4, ink: 'grey' }), {
    kind: 'text',
    text: `bar ${BAR_MM} mm; angles and offsets are to scale, the height is shortened`,
    at: { x: 42, y },
  });
  y += ROW_PT + 8;
  shapes.push(...tableOf(record, y));
  y += ROW_PT * (ALIGNMENT_COMPONENTS.length + 1);
  if (note !== null) {
    shapes.push({ kind: 'text', text: note, at: { x: 0, y: y + 4 }, bold: true });
    y += ROW_PT;
  }
  return { shapes, bottom: y };
}

const COLUMNS = { accepted: 270, measured: 345, difference: 425, verdict: 436 } as const;

function tableOf({ accepted, measured, tolerance }: AlignmentDrawing, top: number): Shape[] {
  const cell = (text: string, x: number, y: number, bold = false): Shape => ({
    kind: 'text',
    text,
    at: { x, y },
    anchor: 'end',
    bold,
  });
  const heads: Shape[] = [
    ...(accepted === null ? [] : [cell('accepted', COLUMNS.accepted, top)]),
    ...(measured === null ? [] : [cell('measured', COLUMNS.measured, top)]),
    ...(accepted === null || measured === null
      ? []
      : [cell('difference', COLUMNS.difference, top)]),
    straight([0, top + 4], [WIDTH_PT, top + 4], { weightPt: 1.2 }),
  ];
  const differences =
    accepted === null || measured === null
      ? []
      : compareAlignments(accepted.values, measured.values, tolerance);
  return ALIGNMENT_COMPONENTS.reduce<Shape[]>((shapes, { key, words, unit }, at) => {
    const y = top + (at + 1) * ROW_PT + 2;
    shapes.push({ kind: 'text', text: words, at: { x: 0, y } });
    if (accepted !== null) {
      shapes.push(cell(valueWords(accepted.values, key, unit), COLUMNS.accepted, y));
    }
    if (measured !== null) {
      shapes.push(cell(valueWords(measured.values, key, unit), COLUMNS.measured, y, true));
    }
    const difference = differences.find(({ component }) => component === key);
    if (difference !== undefined) {
      const { within, difference: by } = difference;
      const limit = unit === '°' ? tolerance.angleDeg : tolerance.lengthMm;
      shapes.push(cell(signed(by, unit), COLUMNS.difference, y, !within), {
        kind: 'text',
        text: `${within ? 'within' : 'outside'} ± ${figure(limit, 1)}${unit}`,
        at: { x: COLUMNS.verdict, y },
        bold: !within,
      });
    }
    return shapes;
  }, heads);
}

const describe = (record: AlignmentDrawing): string => {
  const said = (what: string, drawn: DrawnAlignment | null): string[] =>
    drawn === null
      ? []
      : [
          `${what} on ${drawn.label}: ${ALIGNMENT_COMPONENTS.map(
            ({ key, words, unit }) => `${words} ${valueWords(drawn.values, key, unit)}`,
          ).join(', ')}; ${tiltWords(drawn)}.`,
        ];
  return [
    ...said('Measured', record.measured),
    ...said('Accepted', record.accepted),
    ...(record.note === null ? [] : [record.note]),
  ].join(' ');
};

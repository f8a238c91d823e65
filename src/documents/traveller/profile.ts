/** The cast's outline, true to scale in both directions, from its circumferences. */
import type { LimbMeasure } from '../../domain/measures.ts';
import { RULES, rule, STYLES, type Block, type PaperDocument } from '../page.ts';
import { lineHeightPt } from '../text.ts';
import { figure } from './sheet.ts';

const POINTS_PER_MM = 72 / 25.4;
/** A drawing is 1 : n of the limb. */
const REDUCTIONS = [1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10] as const;
/** Room for the figures beside the outline. */
const LABELS_PT = { left: 46, right: 46 } as const;
const HEAD_PT = 26;
const FOOT_PT = 46;

/** Half the width of a round section of that circumference. */
export const radiusMm = (circumferenceMm: number): number => circumferenceMm / (2 * Math.PI);

/** The least reduction at which the limb fits, so that the drawing is as large as can be. */
export function reductionFor(
  measures: readonly LimbMeasure[],
  roomWidthPt: number,
  roomHeightPt: number,
): number {
  const widthMm = 2 * Math.max(...measures.map((each) => radiusMm(each.circumferenceMm)));
  const heightMm = Math.max(...measures.map((each) => each.heightMm));
  const fits = REDUCTIONS.find(
    (n) =>
      (widthMm * POINTS_PER_MM) / n <= roomWidthPt &&
      (heightMm * POINTS_PER_MM) / n <= roomHeightPt,
  );
  return fits ?? 12;
}

/**
 * The outline as if every section were round, the distal end down and closed by
 * half an ellipse; heights on its left, circumferences on its right, and a bar of 50 mm.
 * @param mostPt greatest height of the whole figure
 */
export function profileFigure(
  doc: PaperDocument,
  measures: readonly LimbMeasure[],
  mostPt: number,
): Block {
  const upwards = [...measures].sort((a, b) => a.heightMm - b.heightMm);
  const highestMm = upwards.at(-1)?.heightMm ?? 0;
  const reductionAt = (widthPt: number): number =>
    reductionFor(upwards, widthPt - LABELS_PT.left - LABELS_PT.right, mostPt - HEAD_PT - FOOT_PT);
  const heightPt = (widthPt: number): number =>
    HEAD_PT + (highestMm * POINTS_PER_MM) / reductionAt(widthPt) + FOOT_PT;
  return {
    heightPt,
    draw: (xPt, yPt, widthPt) => {
      const reduction = reductionAt(widthPt);
      const scale = POINTS_PER_MM / reduction;
      const room = widthPt - LABELS_PT.left - LABELS_PT.right;
      const frame = {
        axis: xPt + LABELS_PT.left + room / 2,
        floor: yPt + heightPt(widthPt) - FOOT_PT,
        scale,
      };
      drawOutline(doc, upwards, frame);
      drawLabels(doc, upwards, frame, xPt, xPt + widthPt, yPt);
      drawScale(doc, frame.axis, frame.floor + 14, 50 * scale, `1 : ${reduction}, bar 50 mm`);
    },
  };
}

interface Frame {
  readonly axis: number;
  readonly floor: number;
  /** Points a millimetre. */
  readonly scale: number;
}

const halfPt = (each: LimbMeasure, { scale }: Frame): number =>
  radiusMm(each.circumferenceMm) * scale;
const heightAt = (each: LimbMeasure, { floor, scale }: Frame): number =>
  floor - each.heightMm * scale;

/** Down the left side, around the distal end, up the right side; a section across at each height. */
function drawOutline(doc: PaperDocument, upwards: readonly LimbMeasure[], frame: Frame): void {
  const { pdf } = doc;
  const [lowest] = upwards;
  if (lowest === undefined) return;
  for (const each of upwards) {
    const half = halfPt(each, frame);
    rule(doc, frame.axis - half, heightAt(each, frame), 2 * half, RULES.hair);
  }
  pdf.lineWidth(2).strokeColor('black').lineJoin('round');
  for (const [at, each] of [...upwards].reverse().entries()) {
    const point = [frame.axis - halfPt(each, frame), heightAt(each, frame)] as const;
    if (at === 0) pdf.moveTo(...point);
    else pdf.lineTo(...point);
  }
  drawEnd(doc, frame.axis, frame.floor, halfPt(lowest, frame), lowest.heightMm * frame.scale);
  for (const each of upwards) pdf.lineTo(frame.axis + halfPt(each, frame), heightAt(each, frame));
  pdf.stroke();
}

/** Heights on the left and circumferences on the right, as many as do not run into one another. */
function drawLabels(
  doc: PaperDocument,
  upwards: readonly LimbMeasure[],
  frame: Frame,
  leftPt: number,
  rightPt: number,
  topPt: number,
): void {
  const { type, pdf } = doc;
  const flushRight = (text: string, y: number): number => {
    const x = rightPt - type.widthPt(text, STYLES.strong);
    type.line(text, x, y, STYLES.strong);
    return x;
  };
  type.line('height', leftPt, topPt, STYLES.body);
  type.line('around', rightPt - type.widthPt('around', STYLES.body), topPt, STYLES.body);
  let labelled = Number.POSITIVE_INFINITY;
  for (const each of upwards) {
    const y = heightAt(each, frame);
    if (labelled - y < lineHeightPt(STYLES.body) * 0.95) continue;
    labelled = y;
    const top = y - STYLES.body.sizePt * 0.66;
    const label = figure(each.heightMm);
    type.line(label, leftPt, top, STYLES.body);
    const from = leftPt + type.widthPt(label, STYLES.body) + 4;
    const to = flushRight(figure(each.circumferenceMm), top) - 4;
    const half = halfPt(each, frame);
    pdf.dash(1, { space: 3 });
    rule(doc, from, y, frame.axis - half - 3 - from, RULES.hair);
    rule(doc, frame.axis + half + 3, y, to - frame.axis - half - 3, RULES.hair);
    pdf.undash();
  }
}

/** From the left edge of the lowest section around the distal end to its right edge. */
function drawEnd(
  doc: PaperDocument,
  axis: number,
  floor: number,
  half: number,
  depth: number,
): void {
  // A quarter of an ellipse by one cubic: its handles are 0.5523 of the half axes long.
  const handle = 0.5523;
  const top = floor - depth;
  doc.pdf
    .bezierCurveTo(axis - half, top + depth * handle, axis - half * handle, floor, axis, floor)
    .bezierCurveTo(
      axis + half * handle,
      floor,
      axis + half,
      top + depth * handle,
      axis + half,
      top,
    );
}

function drawScale(
  doc: PaperDocument,
  axis: number,
  yPt: number,
  barPt: number,
  words: string,
): void {
  const left = axis - barPt / 2;
  rule(doc, left, yPt, barPt, RULES.firm);
  doc.pdf
    .moveTo(left, yPt - 4)
    .lineTo(left, yPt + 4)
    .moveTo(left + barPt, yPt - 4)
    .lineTo(left + barPt, yPt + 4)
    .stroke();
  const width = doc.type.widthPt(words, STYLES.body);
  doc.type.line(words, axis - width / 2, yPt + 6, STYLES.body);
}

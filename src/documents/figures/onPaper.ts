/** A figure as a block of a printed paper, scaled to the width that it gets, and never higher than a page. */
import { RULES, type Block, type PaperDocument } from '../page.ts';
import type { TextStyle } from '../text.ts';
import { DASH_PT, INKS, TEXT_PT, type Figure, type Shape } from './figure.ts';

/** Where the baseline lies under the top of a line; text.ts sets it so. */
const BASELINE = 0.98;

/** @param mostScale how much it may be enlarged to fill the width; 1: never */
export function figureOnPaper(doc: PaperDocument, figure: Figure, mostScale = 1.4): Block {
  const scaleFor = (widthPt: number): number =>
    Math.min(mostScale, widthPt / figure.widthPt, doc.pageHeightPt / figure.heightPt);
  return {
    heightPt: (widthPt) => figure.heightPt * scaleFor(widthPt),
    draw: (xPt, yPt, widthPt) => {
      const scale = scaleFor(widthPt);
      const left = xPt + (widthPt - figure.widthPt * scale) / 2;
      for (const shape of figure.shapes) drawShape(doc, shape, { left, top: yPt, scale });
    },
  };
}

interface Frame {
  readonly left: number;
  readonly top: number;
  readonly scale: number;
}

function drawShape(doc: PaperDocument, shape: Shape, { left, top, scale }: Frame): void {
  const { pdf, type } = doc;
  const x = (value: number): number => left + value * scale;
  const y = (value: number): number => top + value * scale;
  if (shape.kind === 'text') {
    const { text, at, anchor = 'start', sizePt = TEXT_PT, bold = false, ink = 'black' } = shape;
    const style: TextStyle = { sizePt: sizePt * scale, weight: bold ? 'bold' : 'regular' };
    const back = { start: 0, middle: 0.5, end: 1 }[anchor] * type.widthPt(text, style);
    type.line(text, x(at.x) - back, y(at.y) - BASELINE * style.sizePt, style, ink);
    return;
  }
  if (shape.kind === 'circle') pdf.circle(x(shape.at.x), y(shape.at.y), shape.radiusPt * scale);
  else {
    for (const [at, point] of shape.points.entries()) {
      if (at === 0) pdf.moveTo(x(point.x), y(point.y));
      else pdf.lineTo(x(point.x), y(point.y));
    }
    if (shape.closed === true) pdf.closePath();
  }
  if (shape.dashed === true) pdf.dash(DASH_PT[0] * scale, { space: DASH_PT[1] * scale });
  else pdf.undash();
  const stroke = INKS[shape.ink ?? 'black'];
  // Finer lines get lost under dust and in copies.
  pdf.lineWidth(Math.max(RULES.hair, (shape.weightPt ?? 1) * scale));
  if (shape.kind === 'path' && shape.bare === true) pdf.fill(INKS[shape.fill ?? 'black']);
  else if (shape.fill !== undefined) pdf.fillAndStroke(INKS[shape.fill], stroke);
  else pdf.stroke(stroke);
  pdf.undash();
}

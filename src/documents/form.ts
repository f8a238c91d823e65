/** What a printed form is made of besides words: boxes to tick, lines to write on, frames. */
import { RULES, rule, type Block, type PaperDocument } from './page.ts';

export type Mark = 'empty' | 'ticked' | 'left_out' | 'stopped';

/** A box to tick; the mark is drawn, not set, so that it never depends on a typeface. */
export function drawBox(
  doc: PaperDocument,
  xPt: number,
  yPt: number,
  sidePt: number,
  mark: Mark = 'empty',
): void {
  const { pdf } = doc;
  pdf.lineWidth(RULES.firm).strokeColor('black').rect(xPt, yPt, sidePt, sidePt).stroke();
  const at = (x: number, y: number): [number, number] => [xPt + x * sidePt, yPt + y * sidePt];
  pdf.lineWidth(sidePt / 7);
  switch (mark) {
    case 'empty':
      return;
    case 'ticked':
      pdf
        .moveTo(...at(0.2, 0.52))
        .lineTo(...at(0.42, 0.78))
        .lineTo(...at(0.84, 0.2))
        .stroke();
      return;
    case 'left_out':
      pdf
        .moveTo(...at(0.2, 0.5))
        .lineTo(...at(0.8, 0.5))
        .stroke();
      return;
    case 'stopped':
      pdf
        .moveTo(...at(0.22, 0.22))
        .lineTo(...at(0.78, 0.78))
        .stroke();
      pdf
        .moveTo(...at(0.78, 0.22))
        .lineTo(...at(0.22, 0.78))
        .stroke();
  }
}

/** A line to write on; `yPt` is the line itself. */
export const drawBlank = (doc: PaperDocument, xPt: number, yPt: number, lengthPt: number): void => {
  rule(doc, xPt, yPt, lengthPt, RULES.hair);
};

/** A block in a heavy frame. */
export function framed(doc: PaperDocument, inner: Block, paddingPt = 8): Block {
  return {
    heightPt: (widthPt) => inner.heightPt(widthPt - 2 * paddingPt) + 2 * paddingPt,
    draw: (xPt, yPt, widthPt) => {
      const heightPt = inner.heightPt(widthPt - 2 * paddingPt) + 2 * paddingPt;
      doc.pdf
        .lineWidth(RULES.heavy)
        .strokeColor('black')
        .rect(xPt + 1.2, yPt + 1.2, widthPt - 2.4, heightPt - 2.4)
        .stroke();
      inner.draw(xPt + paddingPt, yPt + paddingPt, widthPt - 2 * paddingPt);
    },
  };
}

/** Blocks side by side, each with its share of the width, tops level. */
export function beside(
  parts: readonly { readonly block: Block; readonly share: number }[],
  gapPt = 12,
): Block {
  const shares = parts.reduce((sum, part) => sum + part.share, 0);
  const widthOf = (share: number, widthPt: number): number =>
    ((widthPt - gapPt * (parts.length - 1)) * share) / shares;
  return {
    heightPt: (widthPt) =>
      Math.max(...parts.map(({ block, share }) => block.heightPt(widthOf(share, widthPt)))),
    draw: (xPt, yPt, widthPt) => {
      let x = xPt;
      for (const { block, share } of parts) {
        const width = widthOf(share, widthPt);
        block.draw(x, yPt, width);
        x += width + gapPt;
      }
    },
  };
}

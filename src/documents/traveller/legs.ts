/** The pair of legs that says which side the work is for. */
import type { Side } from '../../domain/words.ts';
import { RULES, STYLES, type Block, type PaperDocument } from '../page.ts';
import { lineHeightPt } from '../text.ts';
import { drawCentred } from './sheet.ts';

/**
 * The patient's left leg seen from the front, so on the right of the picture: x
 * from the middle of the body outwards, y downwards, 100 high.
 */
const OUTLINE =
  'M 3.5 0 L 24 0 C 24 18 20.5 34 19.5 44 C 19 50 21.5 56 20.5 66 C 19.5 76 15.5 82 15 88 ' +
  'C 15 92 21 95 22 98 C 22.5 100 20 101 17 101 L 10 101 C 8 101 8 98 8.5 95 ' +
  'C 8.8 92 9 90 8.8 87 C 8.5 80 6.5 72 6.5 62 C 6.5 55 7.5 50 7 44 C 6 30 3.5 14 3.5 0 Z';
const KNEECAP = { x: 13.2, y: 45, rx: 3.4, ry: 4.4 } as const;
const UNITS_HIGH = 101;
const UNITS_WIDE = 48;

/**
 * Both legs from the front, the affected one black, each with its side in words
 * under it: position alone is misread, because the patient's left is on the
 * right of the picture.
 */
export function legsFigure(doc: PaperDocument, affected: Side, heightPt: number): Block {
  const captions = 3 * lineHeightPt(STYLES.strong);
  const legsPt = heightPt - captions - 4;
  const scale = legsPt / UNITS_HIGH;
  return {
    heightPt: () => heightPt,
    draw: (xPt, yPt, widthPt) => {
      const middle = xPt + widthPt / 2;
      const apart = Math.max(scale * UNITS_WIDE * 0.5, 30);
      drawCentred(doc, 'seen from the front', middle, yPt, STYLES.body);
      const top = yPt + lineHeightPt(STYLES.body) + 2;
      for (const side of ['left', 'right'] as const) {
        const sign = side === 'left' ? 1 : -1;
        doc.pdf
          .save()
          .translate(middle, top)
          .scale(sign * scale, scale)
          .lineWidth(RULES.firm / scale);
        doc.pdf.path(OUTLINE);
        if (side === affected) doc.pdf.fillAndStroke('black', 'black');
        else doc.pdf.strokeColor('black').stroke();
        doc.pdf
          .ellipse(KNEECAP.x, KNEECAP.y, KNEECAP.rx, KNEECAP.ry)
          .strokeColor(side === affected ? 'white' : 'black')
          .stroke()
          .restore();
        const style = side === affected ? STYLES.strong : STYLES.body;
        const x = middle + sign * apart;
        drawCentred(doc, 'patient’s', x, top + legsPt + 2, style);
        drawCentred(
          doc,
          side === affected ? side.toUpperCase() : side,
          x,
          top + legsPt + 2 + lineHeightPt(style) * 0.92,
          style,
        );
      }
    },
  };
}

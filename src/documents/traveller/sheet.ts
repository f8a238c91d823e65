import type { TextStyle } from '../text.ts';
import { STYLES, textBlock, type Block, type PaperDocument } from '../page.ts';
import type { TravellerRecord } from './record.ts';

/** A traveller being drawn. A section draws its part of it, or nothing where the record has none. */
export interface Sheet {
  readonly doc: PaperDocument;
  readonly record: TravellerRecord;
  /** Where the code leads. */
  readonly link: string;
}

export type Section = (sheet: Sheet) => void;

/** A figure without its noise of binary fractions: at most `digits` decimals, trailing noughts cut. */
export const figure = (value: number, digits = 1): string => String(Number(value.toFixed(digits)));

/** A small label over its value. */
export function fact(
  doc: PaperDocument,
  label: string,
  value: string,
  style: TextStyle = STYLES.fact,
): Block {
  const over = textBlock(doc, label, STYLES.body);
  const under = textBlock(doc, value, style);
  return {
    heightPt: (widthPt) => over.heightPt(widthPt) + under.heightPt(widthPt) + 6,
    draw: (xPt, yPt, widthPt) => {
      over.draw(xPt, yPt, widthPt);
      under.draw(xPt, yPt + over.heightPt(widthPt) - 1, widthPt);
    },
  };
}

/** A line of text centred on `centrePt`. */
export function drawCentred(
  doc: PaperDocument,
  text: string,
  centrePt: number,
  yPt: number,
  style: TextStyle,
  ink: 'black' | 'white' = 'black',
): void {
  doc.type.line(text, centrePt - doc.type.widthPt(text, style) / 2, yPt, style, ink);
}

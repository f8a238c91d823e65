/** The cast: number, method, day, measures in a table and as a profile beside it. */
import type { LimbMeasure } from '../../domain/measures.ts';
import { dayWords } from '../dates.ts';
import {
  heading,
  RULES,
  rule,
  STYLES,
  textBlock,
  type Block,
  type PaperDocument,
} from '../page.ts';
import { lineHeightPt } from '../text.ts';
import { spoken, spokenFirst } from '../words.ts';
import { profileFigure } from './profile.ts';
import { figure, type Section } from './sheet.ts';

const ROWS_A_COLUMN = 14;
const ROW_PT = 18;
const COLUMN_PT = 128;
/** The figure is no higher than this; a short limb's is as high as it needs. */
const FIGURE_MOST_PT = 340;

/** Heights and circumferences, proximal first as the drawing has them, in columns of fourteen. */
function measuresGrid(doc: PaperDocument, measures: readonly LimbMeasure[]): Block {
  const downwards = [...measures].sort((a, b) => b.heightMm - a.heightMm);
  const rows = Math.min(ROWS_A_COLUMN, downwards.length);
  const headPt = lineHeightPt(STYLES.strong);
  const right = (text: string, x: number, y: number, bold = false): void => {
    const style = bold ? STYLES.strong : STYLES.body;
    doc.type.line(text, x - doc.type.widthPt(text, style), y, style);
  };
  return {
    heightPt: () => headPt * 2 + rows * ROW_PT + 4,
    draw: (xPt, yPt) => {
      for (let from = 0; from < downwards.length; from += ROWS_A_COLUMN) {
        const x = xPt + (from / ROWS_A_COLUMN) * COLUMN_PT;
        const end = x + COLUMN_PT - 16;
        right('Height', x + 44, yPt, true);
        right('Around', end, yPt, true);
        right('mm', x + 44, yPt + headPt);
        right('mm', end, yPt + headPt);
        rule(doc, x, yPt + 2 * headPt + 1, COLUMN_PT - 16, RULES.firm);
        for (const [at, each] of downwards.slice(from, from + ROWS_A_COLUMN).entries()) {
          const y = yPt + 2 * headPt + 4 + at * ROW_PT;
          right(figure(each.heightMm), x + 44, y);
          right(figure(each.circumferenceMm), end, y, true);
          rule(doc, x, y + ROW_PT - 2, COLUMN_PT - 16, RULES.hair);
        }
      }
    },
  };
}

export const drawCast: Section = ({ doc, record: { cast } }) => {
  if (cast === null) {
    heading(doc, 'Cast');
    doc.place(textBlock(doc, 'No cast has been taken yet.'));
    return;
  }
  const columns = Math.ceil(cast.measures.length / ROWS_A_COLUMN);
  const grid = measuresGrid(doc, cast.measures);
  const gridPt = columns * COLUMN_PT;
  const profilePt = doc.widthPt - gridPt - 8;
  const profile = profileFigure(doc, cast.measures, FIGURE_MOST_PT);
  const heightPt = Math.max(grid.heightPt(gridPt), profile.heightPt(profilePt));
  heading(doc, `Cast ${cast.number}`, { keepPt: heightPt + 60 });
  doc.place(
    textBlock(
      doc,
      `${spokenFirst(cast.method)}, taken ${dayWords(cast.takenOn)}, ${spoken(cast.state)}; ` +
        `limb ${figure(cast.limbLengthMm)} mm long. Heights are above the distal end; ` +
        'the drawing takes every section as round.',
    ),
  );
  doc.yPt += 6;
  doc.place({
    heightPt: () => heightPt,
    draw: (xPt, yPt) => {
      grid.draw(xPt, yPt, gridPt);
      profile.draw(xPt + gridPt + 8, yPt, profilePt);
    },
  });
};

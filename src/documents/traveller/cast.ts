/** The cast: number, method, day, volume, measures in a table and as a profile beside it. */
import { limbGeometry, type LimbGeometry } from '../../domain/limbGeometry.ts';
import type { LimbMeasure } from '../../domain/measures.ts';
import { correctedLines } from '../corrections.ts';
import { dayWords } from '../dates.ts';
import { CAP_SOURCE_WORDS, limbProfileFigure } from '../figures/limbProfile.ts';
import { figureOnPaper } from '../figures/onPaper.ts';
import {
  heading,
  RULES,
  rule,
  space,
  STYLES,
  textBlock,
  type Block,
  type PaperDocument,
} from '../page.ts';
import { lineHeightPt } from '../text.ts';
import { spoken, spokenFirst } from '../words.ts';
import type { TravellerCast } from './record.ts';
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

/** The outline beside the table, as large as the room allows. */
function profileBlock(
  doc: PaperDocument,
  { number, takenOn, measures }: TravellerCast,
  { cap, profile }: LimbGeometry,
  widthPt: number,
): Block {
  const label = `cast ${number}, ${dayWords(takenOn)}`;
  const record = { limb: 'limb', drawn: { label, measures, cap, profile }, over: null };
  const room = { widthPt, mostHeightPt: FIGURE_MOST_PT, saysReduction: true };
  return figureOnPaper(doc, limbProfileFigure(record, room), 1);
}

const MM2_PER_CM2 = 100;

/** Volume, area and cap in one sentence (C1). */
const geometryWords = ({ volumeMl, capMl, lateralAreaMm2, cap }: LimbGeometry): string =>
  ` Volume ${figure(volumeMl, 0)} mL, of it the end ${figure(capMl, 0)} mL; wall ${figure(lateralAreaMm2 / MM2_PER_CM2, 0)} cm²;` +
  ` end ${figure(cap.depthMm, 0)} mm deep (${CAP_SOURCE_WORDS[cap.source]}).`;

export const drawCast: Section = ({ doc, record: { cast, clinic } }) => {
  if (cast === null) {
    heading(doc, 'Cast');
    doc.place(textBlock(doc, 'No cast has been taken yet.'));
    return;
  }
  const columns = Math.ceil(cast.measures.length / ROWS_A_COLUMN);
  const grid = measuresGrid(doc, cast.measures);
  const gridPt = columns * COLUMN_PT;
  const profilePt = doc.widthPt - gridPt - 8;
  // Every table on record makes a solid; where one did not, its figures would still stand.
  const verdict = limbGeometry(cast.measures, cast.capDepthMm);
  const profile = verdict.ok ? profileBlock(doc, cast, verdict.value, profilePt) : space(0);
  const heightPt = Math.max(grid.heightPt(gridPt), profile.heightPt(profilePt));
  heading(doc, `Cast ${cast.number}`, { keepPt: heightPt + 60 });
  doc.place(
    textBlock(
      doc,
      `${spokenFirst(cast.method)}, taken ${dayWords(cast.takenOn)}, ${spoken(cast.state)}; ` +
        `limb ${figure(cast.limbLengthMm)} mm long. Heights are above the distal end; ` +
        'the drawing takes every section as round.' +
        (verdict.ok ? geometryWords(verdict.value) : ''),
    ),
  );
  for (const line of correctedLines(cast.corrected, clinic.timeZone)) {
    doc.place(textBlock(doc, line, STYLES.strong));
  }
  doc.yPt += 6;
  doc.place({
    heightPt: () => heightPt,
    draw: (xPt, yPt) => {
      grid.draw(xPt, yPt, gridPt);
      profile.draw(xPt + gridPt + 8, yPt, profilePt);
    },
  });
};

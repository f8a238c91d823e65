/** Lock check and alignment: what is asked, what was found, and room for what is still to come. */
import { LOCK_CHECK_CYCLES_LEAST } from '../../domain/lockCheck.ts';
import { ALIGNMENT_COMPONENTS, valueWords } from '../alignmentWords.ts';
import { correctedLines } from '../corrections.ts';
import { instantWords, recordedWords } from '../dates.ts';
import { drawBlank, drawBox } from '../form.ts';
import { heading, STYLES, textBlock, type Block, type PaperDocument } from '../page.ts';
import { lineHeightPt } from '../text.ts';
import { table, type Cell } from '../table.ts';
import type { SocketWork, TravellerAlignment, TravellerCorrection } from './record.ts';
import { figure } from './sheet.ts';

const WRITING_PT = 23;

/** A line to write on with a label before it. */
const writing = (doc: PaperDocument, label: string): Block => ({
  heightPt: () => WRITING_PT,
  draw: (xPt, yPt, widthPt) => {
    doc.type.line(label, xPt, yPt + 3, STYLES.body);
    const from = label === '' ? 0 : doc.type.widthPt(label, STYLES.body) + 4;
    drawBlank(doc, xPt + from, yPt + 17, widthPt - from);
  },
});

/** A box with its word and, where something is measured, a line for it. */
const boxed = (doc: PaperDocument, word: string, unit?: string): Block => ({
  heightPt: () => WRITING_PT,
  draw: (xPt, yPt, widthPt) => {
    drawBox(doc, xPt, yPt + 3, 14);
    doc.type.line(word, xPt + 20, yPt + 3, STYLES.body);
    if (unit === undefined) return;
    const from = xPt + 26 + doc.type.widthPt(word, STYLES.body);
    const unitPt = doc.type.widthPt(unit, STYLES.body);
    drawBlank(doc, from, yPt + 17, xPt + widthPt - from - unitPt - 3);
    doc.type.line(unit, xPt + widthPt - unitPt, yPt + 3, STYLES.body);
  },
});

const placeCorrected = (
  doc: PaperDocument,
  corrections: readonly TravellerCorrection[] | undefined,
  timeZone: string,
): void => {
  for (const line of correctedLines(corrections, timeZone)) {
    doc.place(textBlock(doc, line, STYLES.strong));
  }
};

const clicksWords = (leastClicks: number | null): string =>
  leastClicks === null
    ? 'Least clicks: known when lock and pin are in'
    : `At least ${leastClicks} ${leastClicks === 1 ? 'click' : 'clicks'}`;

export function drawLockCheck(doc: PaperDocument, work: SocketWork, timeZone: string): void {
  const { lockCheck } = work;
  if (lockCheck === null) return;
  heading(doc, `Lock check of ${work.number}`, { style: STYLES.subheading, keepPt: 150 });
  const { leastClicks, passed } = lockCheck;
  doc.place(textBlock(doc, clicksWords(leastClicks), STYLES.fact));
  if (passed !== null) {
    doc.place(
      textBlock(
        doc,
        `Passed ${recordedWords(passed, timeZone)}, ${passed.by}: ${passed.clicks.join(', ')} clicks. ` +
          'A later move of lock or pin opens it again.',
      ),
    );
    placeCorrected(doc, passed.corrected, timeZone);
    return;
  }
  doc.place(
    textBlock(
      doc,
      (lockCheck.openBecause === null ? '' : `OPEN: ${lockCheck.openBecause}. `) +
        'Pin in, count the clicks, pull, release by the button; then all of it again.',
    ),
  );
  doc.yPt += 4;
  table(
    doc,
    [
      { title: 'Cycle', share: 9, style: STYLES.strong },
      { title: 'Clicks', share: 17 },
      { title: 'Held under pull', share: 28 },
      { title: 'Released by button', share: 22 },
      { title: 'Who, when', share: 24 },
    ],
    Array.from({ length: LOCK_CHECK_CYCLES_LEAST }, (_, at): Cell[] => [
      String(at + 1),
      writing(doc, ''),
      boxed(doc, 'held', 'N'),
      boxed(doc, 'released'),
      writing(doc, ''),
    ]),
  );
}

function alignmentWords(alignment: TravellerAlignment, timeZone: string): string {
  const { accepted, measured } = alignment;
  const first =
    accepted === null
      ? 'No fit has been accepted with an alignment yet.'
      : `Accepted on ${accepted.socket}, ${instantWords(accepted.at, timeZone)}, ${accepted.by}.`;
  const then =
    measured === null
      ? ' Measure after the last move of pyramid or adapter.'
      : ` Measured ${instantWords(measured.at, timeZone)}, ${measured.by}.`;
  return first + then;
}

export function drawAlignment(doc: PaperDocument, work: SocketWork, timeZone: string): void {
  if (work.alignment === null) return;
  const { accepted, measured, tolerance } = work.alignment;
  heading(doc, `Alignment of ${work.number}`, { style: STYLES.subheading, keepPt: 230 });
  doc.place(textBlock(doc, alignmentWords(work.alignment, timeZone)));
  placeCorrected(doc, accepted?.corrected, timeZone);
  placeCorrected(doc, measured?.corrected, timeZone);
  doc.yPt += 4;
  table(
    doc,
    [
      { title: 'Of the pyramid', share: 38, style: STYLES.strong },
      { title: 'Accepted', share: 18 },
      { title: 'Within', share: 18 },
      { title: 'Measured now', share: 26 },
    ],
    ALIGNMENT_COMPONENTS.map(({ key, words, unit }): Cell[] => {
      const limit = unit === '°' ? tolerance.angleDeg : tolerance.lengthMm;
      return [
        words,
        accepted === null ? '–' : valueWords(accepted.values, key, unit),
        `± ${figure(limit)}${unit}`,
        measured === null
          ? lineCell(doc)
          : textBlock(doc, valueWords(measured.values, key, unit), STYLES.strong),
      ];
    }),
  );
  if (measured !== null) return;
  doc.yPt += 6;
  doc.place(signLine(doc));
}

const lineCell = (doc: PaperDocument): Block => ({
  heightPt: () => lineHeightPt(STYLES.body) + 4,
  draw: (xPt, yPt, widthPt) => {
    drawBlank(doc, xPt, yPt + lineHeightPt(STYLES.body) + 2, widthPt);
  },
});

const signLine = (doc: PaperDocument): Block => ({
  heightPt: () => WRITING_PT,
  draw: (xPt, yPt, widthPt) => {
    writing(doc, 'initials').draw(xPt, yPt, widthPt / 2 - 12);
    writing(doc, 'time').draw(xPt + widthPt / 2, yPt, widthPt / 2);
  },
});

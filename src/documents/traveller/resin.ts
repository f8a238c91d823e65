/** Resin to weigh, cup by cup, with room for what the scale shows (C3). */
import { correctedLines } from '../corrections.ts';
import { instantWords } from '../dates.ts';
import { drawBlank, framed } from '../form.ts';
import { heading, STYLES, textBlock, type Block, type PaperDocument } from '../page.ts';
import { table, type Cell } from '../table.ts';
import type { SocketWork, TravellerCup, TravellerResin } from './record.ts';
import { figure } from './sheet.ts';

const ROW_PT = 20;

/** A line to write on with its unit behind it. */
const blank = (doc: PaperDocument, unit: string): Block => ({
  heightPt: () => ROW_PT,
  draw: (xPt, yPt, widthPt) => {
    const unitPt = doc.type.widthPt(unit, STYLES.body) + 3;
    drawBlank(doc, xPt, yPt + 15, widthPt - unitPt);
    doc.type.line(unit, xPt + widthPt - unitPt + 3, yPt + 2, STYLES.body);
  },
});

/** By a recipe that does not stand nothing is left to write on, only what was weighed. */
function cupRows(
  doc: PaperDocument,
  cup: TravellerCup,
  stands: boolean,
  timeZone: string,
): Cell[][] {
  const { pour, weigh, weighed } = cup;
  const asked = [
    `Cup ${pour}`,
    'to weigh',
    `${figure(weigh.resinG, 3)} g`,
    `${figure(weigh.hardenerG, 3)} g`,
    `${figure(weigh.pigmentG, 3)} g`,
    '',
  ];
  if (weighed === null) {
    if (!stands) return [];
    const write = blank(doc, 'g');
    return [asked, ['', 'scale', write, write, write, blank(doc, ':')]];
  }
  return [
    ...(stands ? [asked] : []),
    [
      stands ? '' : `Cup ${pour}`,
      weighed.stops.length === 0 ? 'weighed' : 'stopped',
      `${figure(weighed.resinG, 3)} g`,
      `${figure(weighed.hardenerG, 3)} g`,
      `${figure(weighed.pigmentG, 3)} g`,
      `${instantWords(weighed.mixedAt, timeZone)}, ${weighed.by}`,
    ],
    ...weighed.stops.map((words): Cell[] => ['', '', words, '', '', '']),
  ];
}

function workTimeWords({
  workMinutes,
  shopTemperatureC,
  cureHours,
  cureTemperatureC,
}: TravellerResin): string {
  const work =
    workMinutes === null
      ? `Work time at ${figure(shopTemperatureC)} °C: not known, go by the sheet.`
      : `Work time at ${figure(shopTemperatureC)} °C about ${figure(workMinutes, 0)} min from mixing.`;
  return `${work} Cure by the sheet: ${figure(cureHours)} h at ${figure(cureTemperatureC)} °C.`;
}

/** Nothing until there is a recipe. */
export function drawResin(doc: PaperDocument, { resin }: SocketWork, timeZone: string): void {
  if (resin === null) return;
  const { running, stands } = resin.forLayup;
  heading(doc, stands ? 'Resin to weigh' : 'Resin', { style: STYLES.subheading, keepPt: 190 });
  if (!stands) {
    const words = `For layup ${running}, which no longer stands: weigh nothing by it.`;
    doc.place(framed(doc, textBlock(doc, words, STYLES.strong)));
    doc.yPt += 4;
  }
  doc.place(
    textBlock(
      doc,
      `For ${figure(resin.fabricMassG)} g of fabric, layup ${running}. ` +
        `${resin.product} (${resin.document}, ${resin.revision}), ${figure(resin.partsResin)} : ${figure(resin.partsHardener)} by mass, never by volume. ` +
        workTimeWords(resin),
    ),
  );
  for (const caution of resin.cautions) doc.place(textBlock(doc, `– ${caution}`));
  doc.yPt += 4;
  const rows = resin.cups.flatMap((cup) => cupRows(doc, cup, stands, timeZone));
  if (rows.length === 0) return;
  const corrected = resin.cups.flatMap(({ pour, weighed }) =>
    correctedLines(weighed?.corrected, timeZone).map((line) => `Cup ${pour}: ${line}`),
  );
  table(
    doc,
    [
      { title: '', share: 11, style: STYLES.strong },
      { title: '', share: 13 },
      { title: 'Resin', share: 17, align: 'right', style: STYLES.strong },
      { title: 'Hardener', share: 17, align: 'right', style: STYLES.strong },
      { title: 'Pigment', share: 15, align: 'right', style: STYLES.strong },
      { title: 'Mixed', share: 27 },
    ],
    rows,
  );
  if (corrected.length > 0) doc.yPt += 4;
  for (const line of corrected) doc.place(textBlock(doc, line, STYLES.strong));
}

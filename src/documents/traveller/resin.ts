/** Resin to weigh, cup by cup, with room for what the scale shows (C3). */
import { instantWords } from '../dates.ts';
import { drawBlank } from '../form.ts';
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

function cupRows(doc: PaperDocument, cup: TravellerCup, timeZone: string): Cell[][] {
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
    const write = blank(doc, 'g');
    return [asked, ['', 'scale', write, write, write, blank(doc, ':')]];
  }
  return [
    asked,
    [
      '',
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
  heading(doc, 'Resin to weigh', { style: STYLES.subheading, keepPt: 150 });
  doc.place(
    textBlock(
      doc,
      `${resin.product} (${resin.document}, ${resin.revision}), ${figure(resin.partsResin)} : ${figure(resin.partsHardener)} by mass, never by volume. ` +
        `${workTimeWords(resin)} ${resin.cups.length > 1 ? 'One cup after the other: a full cup heats by itself.' : 'A full cup heats by itself.'}`,
    ),
  );
  doc.yPt += 4;
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
    resin.cups.flatMap((cup) => cupRows(doc, cup, timeZone)),
  );
  doc.yPt += 4;
  doc.place(
    textBlock(
      doc,
      "Gloves, goggles, fresh air. The maker's instructions and safety sheet come first.",
    ),
  );
}

/** What is in a socket, with serial or lot, and where each piece came from. */
import { drawBlank } from '../form.ts';
import { STYLES, type Block, type PaperDocument } from '../page.ts';
import { lineHeightPt } from '../text.ts';
import { headedTable, type Row } from '../table.ts';
import { spokenFirst } from '../words.ts';
import type { SocketWork, TravellerItem } from './record.ts';
import { figure } from './sheet.ts';

/** A line to write on, as a cell. */
const blankCell = (doc: PaperDocument): Block => ({
  heightPt: () => lineHeightPt(STYLES.body) + 8,
  draw: (xPt, yPt, widthPt) => {
    drawBlank(doc, xPt, yPt + lineHeightPt(STYLES.body) + 4, widthPt);
  },
});

function itemRow(item: TravellerItem): Row {
  const piece = [
    ...(item.serial === null ? [] : [`serial ${item.serial}`]),
    ...(item.lot === null ? [] : [`lot ${item.lot}`]),
  ];
  const notes = [
    ...(item.ratedBodyMassKg === null ? [] : [`rated ${figure(item.ratedBodyMassKg)} kg`]),
    ...(item.singleUse ? ['SINGLE USE: never into a second socket'] : []),
  ];
  return [
    spokenFirst(item.position),
    [`${item.part} (${item.catalogueNumber})`, ...notes].join('\n'),
    piece.join('\n'),
    item.from,
  ];
}

export function drawHardware(doc: PaperDocument, work: SocketWork): void {
  const rows: Row[] = [
    ...work.hardware.map(itemRow),
    ...work.shopTools.map((tool): Row => [
      spokenFirst(tool.position),
      `${tool.name}\nSHOP TOOL: stays here, never goes with the patient`,
      '',
      'the shop',
    ]),
    ...work.missing.map((position): Row => [
      `${spokenFirst(position)}\nto be put in`,
      blankCell(doc),
      blankCell(doc),
      blankCell(doc),
    ]),
  ];
  headedTable(
    doc,
    `Hardware in ${work.number}`,
    [
      { title: 'Position', share: 19, style: STYLES.strong },
      { title: 'Part', share: 38 },
      { title: 'Serial or lot', share: 21, style: STYLES.strong },
      { title: 'Comes from', share: 22 },
    ],
    rows.length > 0 ? rows : [['', 'Nothing has been put in yet.', '', '']],
    STYLES.subheading,
  );
}

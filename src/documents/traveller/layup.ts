/** The layup as it is cut and laid (C2): layers, section, cut list, and what is expected of the shell. */
import type { Cut } from '../../domain/cutList.ts';
import { correctedLines } from '../corrections.ts';
import { instantWords } from '../dates.ts';
import { layerWords, saysAll, sectionFigure } from '../figures/section.ts';
import { figureOnPaper } from '../figures/onPaper.ts';
import { drawBox, framed } from '../form.ts';
import { heading, STYLES, textBlock, type Block, type PaperDocument } from '../page.ts';
import { headedTable, table } from '../table.ts';
import type { SocketWork, TravellerLayup } from './record.ts';
import { figure } from './sheet.ts';

/** The section of a usual layup stands under its heading. */
export const LAYUP_KEEP_PT = 330;
const BOX_PT = 14;
const tick = (doc: PaperDocument): Block => ({
  heightPt: () => BOX_PT,
  draw: (xPt, yPt) => {
    drawBox(doc, xPt, yPt, BOX_PT);
  },
});

/** Where the layup comes from, and who put a name under it. */
function standing(layup: TravellerLayup, timeZone: string): string {
  const from =
    layup.ruleRow === null
      ? `Written by ${layup.draftedBy}: ${layup.why?.replace(/\.$/, '') ?? 'no reason given'}.`
      : `By the clinic's rules, row “${layup.ruleRow}”.`;
  const mass = ` For ${figure(layup.bodyMassKg)} kg.`;
  return layup.approved === null
    ? from + mass
    : `${from}${mass} Approved by ${layup.approved.by}, ${instantWords(layup.approved.at, timeZone)}.`;
}

const cutRow = (doc: PaperDocument, cut: Cut) => [
  tick(doc),
  String(cut.line),
  cut.what + (cut.reflected ? ', to be turned back: two layers' : ''),
  `${figure(cut.widthMm, 0)} mm${cut.form === 'tube' ? ' flat' : ''}`,
  `${figure(cut.lengthMm, 0)} mm`,
  `${cut.count} ×`,
  `${figure(cut.massG)} g`,
];

/** Nothing for a check socket; a word of warning while no layup is approved. */
export function drawLayup(
  doc: PaperDocument,
  { number, kind, layup }: SocketWork,
  timeZone: string,
): void {
  if (kind !== 'definitive') return;
  const style = STYLES.subheading;
  if (layup === null) {
    heading(doc, 'Layup', { style });
    doc.place(textBlock(doc, 'No layup has been drafted yet.'));
    return;
  }
  heading(doc, `Layup ${layup.running}`, { style, keepPt: LAYUP_KEEP_PT });
  if (layup.approved === null) {
    doc.place(
      framed(
        doc,
        textBlock(doc, 'Not approved by signature yet: nothing is cut by it.', STYLES.strong),
      ),
    );
    doc.yPt += 4;
  }
  doc.place(textBlock(doc, standing(layup, timeZone)));
  for (const line of correctedLines(layup.corrected, timeZone)) {
    doc.place(textBlock(doc, line, STYLES.strong));
  }
  doc.yPt += 4;
  doc.place(
    figureOnPaper(
      doc,
      sectionFigure(
        { ...layup, socketNumber: number, approved: layup.approved !== null },
        doc.pageHeightPt,
      ),
      1,
    ),
  );
  const { figures, lines } = layup;
  if (!saysAll(figures.section, doc.pageHeightPt)) {
    table(
      doc,
      [
        { title: 'Line', share: 10 },
        { title: 'From the inside to the outside', share: 50 },
        { title: 'How it is laid', share: 44 },
      ],
      figures.section.map((layer) => [String(layer.line), layer.what, layerWords(layer, lines)]),
    );
  }
  headedTable(
    doc,
    'Cut list',
    [
      { title: '', share: 5 },
      { title: 'Line', share: 8 },
      { title: 'Fabric', share: 42 },
      { title: 'Width', share: 15, align: 'right' },
      { title: 'Length', share: 13, align: 'right', style: STYLES.strong },
      { title: 'Count', share: 9, align: 'right', style: STYLES.strong },
      { title: 'Weighs', share: 12, align: 'right' },
    ],
    figures.cutList.map((cut) => cutRow(doc, cut)),
    style,
  );
  doc.yPt += 4;
  doc.place(
    textBlock(
      doc,
      `Fabric as cut ${figure(figures.fabricMassG)} g. Expected of a shell without voids, before the trim line is cut: ` +
        `wall ${figure(figures.wallThicknessMm)} mm, along a strip ${figure(figures.stripThicknessMm)} mm, ` +
        `distal end ${figure(figures.distalEndThicknessMm)} mm, fibre by volume ${figure(100 * figures.fibreVolumeFraction, 0)} %, ` +
        `mass ${figure(figures.shellMassG, 0)} g without the tooling plate.`,
    ),
  );
}

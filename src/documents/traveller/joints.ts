/** The joints of a socket: drawing, setting, order, and room for every reading. */
import { TIGHTENING_PASSES, tighteningOrder } from '../../domain/fasteners.ts';
import type { TorqueSetting } from '../../domain/torque.ts';
import { JOINTS, type Side } from '../../domain/words.ts';
import { correctedLines } from '../corrections.ts';
import { recordedWords } from '../dates.ts';
import { figureOnPaper } from '../figures/onPaper.ts';
import { screwFigure } from '../figures/screws.ts';
import { beside, drawBlank } from '../form.ts';
import {
  heading,
  RULES,
  rule,
  space,
  stack,
  STYLES,
  textBlock,
  type Block,
  type PaperDocument,
} from '../page.ts';
import { aimNm, bandWords, ordinal } from '../torqueWords.ts';
import { spokenFirst } from '../words.ts';
import type { SocketWork, TravellerJoint } from './record.ts';
import { figure } from './sheet.ts';

const SETTING = { sizePt: 24, weight: 'bold' } as const;
const READING_ROW_PT = 23;

function settingBlock(doc: PaperDocument, joint: TravellerJoint, setting: TorqueSetting): Block {
  const { fastenerCount: count, torqueMinNm, torqueMaxNm } = setting;
  const screws = `${count} × ${setting.fastenerSize}, class ${setting.propertyClass}`;
  return stack(
    [
      textBlock(doc, bandWords(torqueMinNm, torqueMaxNm, 'N.m'), SETTING),
      textBlock(doc, bandWords(torqueMinNm, torqueMaxNm, 'lbf.in'), STYLES.subheading),
      textBlock(doc, screws, STYLES.subheading),
      textBlock(
        doc,
        setting.threadlocker === 'required' ? 'Threadlocker: REQUIRED' : 'Threadlocker: none',
        STYLES.subheading,
      ),
      textBlock(
        doc,
        `Setting of ${joint.settingFrom ?? 'the part'}: ${setting.document}, revision ${setting.revision}`,
      ),
      textBlock(
        doc,
        count === 1
          ? 'Clean threads; drive it by hand first.'
          : `Seen from below, screws numbered clockwise from the front. Order: ${tighteningOrder(count).join(' – ')}.`,
      ),
      textBlock(
        doc,
        'The tool’s own permissible deviation narrows this band; the program says by how much for the tool in hand.',
      ),
    ],
    3,
  );
}

/** Screws down in tightening order, passes across: filled in where the confirmation counts. */
function readingsBlock(
  doc: PaperDocument,
  joint: TravellerJoint,
  setting: TorqueSetting,
  timeZone: string,
): Block {
  const order = tighteningOrder(setting.fastenerCount);
  const { confirmation } = joint;
  const signPt = READING_ROW_PT * 2;
  const heads = [
    'Screw',
    ...TIGHTENING_PASSES.map(({ pass, name, share }) =>
      share < 1
        ? `${pass}: ${name}, about ${figure(aimNm(setting, share))} N·m`
        : `${pass}: ${name}, within the band`,
    ),
  ];
  const cellWords = (screw: number, pass: number, isLast: boolean): string | null => {
    if (confirmation === null) return null;
    const reading = confirmation.readings.find(
      (each) =>
        each.fastener === screw && (isLast ? each.final : each.pass === pass && !each.final),
    );
    return reading === undefined ? '–' : `${figure(reading.torqueNm, 2)} N·m`;
  };
  return {
    heightPt: () => (order.length + 1) * READING_ROW_PT + signPt + 4,
    draw: (xPt, yPt, widthPt) => {
      const firstPt = 92;
      const passPt = (widthPt - firstPt) / TIGHTENING_PASSES.length;
      const x = (column: number): number =>
        xPt + (column === 0 ? 0 : firstPt + (column - 1) * passPt);
      for (const [at, head] of heads.entries()) {
        doc.type.line(head, x(at) + 4, yPt + 3, STYLES.strong);
      }
      rule(doc, xPt, yPt + READING_ROW_PT - 3, widthPt, RULES.firm);
      for (const [step, screw] of order.entries()) {
        const y = yPt + (step + 1) * READING_ROW_PT;
        doc.type.line(`${ordinal(step + 1)}: screw ${screw}`, xPt + 4, y + 2, STYLES.strong);
        for (const [at, { pass }] of TIGHTENING_PASSES.entries()) {
          const isLast = at === TIGHTENING_PASSES.length - 1;
          const words = cellWords(screw, pass, isLast);
          if (words !== null) doc.type.line(words, x(at + 1) + 4, y + 2, STYLES.body);
        }
        rule(doc, xPt, y + READING_ROW_PT - 3, widthPt, RULES.hair);
      }
      doc.pdf.lineWidth(RULES.hair).strokeColor('black');
      for (let column = 1; column <= TIGHTENING_PASSES.length; column += 1) {
        doc.pdf
          .moveTo(x(column), yPt)
          .lineTo(x(column), yPt + (order.length + 1) * READING_ROW_PT - 3)
          .stroke();
      }
      const y = yPt + (order.length + 1) * READING_ROW_PT + 4;
      if (confirmation === null) {
        drawSigning(doc, xPt, y, widthPt, setting.threadlocker === 'required');
        return;
      }
      const lot = confirmation.threadlockerLot;
      textBlock(
        doc,
        `Confirmed ${recordedWords(confirmation, timeZone)} by ${confirmation.by}, tool ${confirmation.tool}` +
          `${lot === null ? '' : `, threadlocker lot ${lot}`}.`,
      ).draw(xPt, y, widthPt);
    },
  };
}

/** Tool, threadlocker's lot, initials and time, to be written. */
function drawSigning(
  doc: PaperDocument,
  xPt: number,
  yPt: number,
  widthPt: number,
  threadlocker: boolean,
): void {
  const labels = [
    'tool',
    threadlocker ? 'threadlocker lot' : 'threadlocker: none',
    'initials',
    'time',
  ];
  const each = widthPt / 2;
  for (const [at, label] of labels.entries()) {
    const x = xPt + (at % 2) * each;
    const y = yPt + Math.floor(at / 2) * READING_ROW_PT;
    doc.type.line(label, x + 4, y + 2, STYLES.body);
    const from = x + 8 + doc.type.widthPt(label, STYLES.body);
    if (label !== 'threadlocker: none') drawBlank(doc, from, y + 16, x + each - 12 - from);
  }
}

function jointBlock(
  doc: PaperDocument,
  joint: TravellerJoint,
  side: Side,
  timeZone: string,
): Block {
  const title = `${spokenFirst(joint.kind)} joint: ${JOINTS[joint.kind].words}`;
  const status = joint.openBecause === null ? 'Confirmed.' : `OPEN: ${joint.openBecause}.`;
  const { setting } = joint;
  return stack([
    textBlock(doc, title, STYLES.subheading),
    textBlock(doc, status, STYLES.strong),
    textBlock(doc, joint.parts.join(' + ')),
    space(6),
    ...(setting === null
      ? [
          textBlock(
            doc,
            'No torque setting is on record for these parts: enter the maker’s before torquing.',
          ),
        ]
      : [
          beside([
            { block: figureOnPaper(doc, screwFigure(setting.fastenerCount, side), 1), share: 46 },
            { block: settingBlock(doc, joint, setting), share: 54 },
          ]),
          space(6),
          readingsBlock(doc, joint, setting, timeZone),
        ]),
    space(8),
  ]);
}

export function drawJoints(
  doc: PaperDocument,
  work: SocketWork,
  side: Side,
  timeZone: string,
): void {
  const blocks = work.joints.map((joint) => jointBlock(doc, joint, side, timeZone));
  const [first] = blocks;
  if (first === undefined) return;
  heading(doc, `Joints of ${work.number}`, {
    style: STYLES.subheading,
    keepPt: first.heightPt(doc.widthPt),
  });
  for (const [at, block] of blocks.entries()) {
    doc.place(block);
    // Apart from the block, which no page break cuts: words may be long.
    for (const line of correctedLines(work.joints[at]?.confirmation?.corrected, timeZone)) {
      doc.place(textBlock(doc, line, STYLES.strong));
      doc.yPt += 6;
    }
  }
}

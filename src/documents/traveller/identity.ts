/** Who, which side, what and when: everything that must not be mixed up, first and largest. */
import type { Day } from '../../domain/days.ts';
import { drawQrCode } from '../code.ts';
import { correctedLines } from '../corrections.ts';
import { dayWords, instantWords } from '../dates.ts';
import { beside, framed } from '../form.ts';
import {
  RULES,
  rule,
  stack,
  STYLES,
  textBlock,
  type Block,
  type PaperDocument,
  type RunningHead,
} from '../page.ts';
import { lineHeightPt, type TextStyle } from '../text.ts';
import { spoken, spokenFirst } from '../words.ts';
import { legsFigure } from './legs.ts';
import type { TravellerRecord } from './record.ts';
import { fact, figure, type Section, type Sheet } from './sheet.ts';

const BIG: Readonly<Record<'number' | 'chart' | 'side', TextStyle>> = {
  number: { sizePt: 34, weight: 'bold' },
  chart: { sizePt: 22, weight: 'bold' },
  side: { sizePt: 64, weight: 'bold' },
};
const CODE_PT = 112;

const chartWords = ({ patient }: TravellerRecord): string =>
  `Chart ${patient.chartNumber}  ·  ${patient.initials}`;

/** First page: clinic, order, chart, code. */
const drawTitle: Section = ({ doc, record, link }) => {
  const codeX = doc.leftPt + doc.widthPt - CODE_PT;
  const words = stack([
    textBlock(doc, `${record.clinic.name}  ·  Traveller`, STYLES.body),
    textBlock(doc, record.order.number, BIG.number),
    textBlock(doc, chartWords(record), BIG.chart),
  ]);
  const wordsPt = doc.widthPt - CODE_PT - 12;
  // The code brings its own light margin: pulled out by as much, its dark edge meets the text's.
  drawQrCode(doc, link, codeX + 8, doc.yPt - 12, CODE_PT);
  words.draw(doc.leftPt, doc.yPt, wordsPt);
  const scan = 'Scan to open the order';
  doc.type.line(
    scan,
    doc.leftPt + doc.widthPt - doc.type.widthPt(scan, STYLES.body),
    doc.yPt + CODE_PT - 12,
    STYLES.body,
  );
  doc.yPt += Math.max(words.heightPt(wordsPt), CODE_PT + 4) + 6;
};

/** The side in one huge word, in a drawing and in a sentence; beside it, what is made. */
const drawSide: Section = ({ doc, record: { order } }) => {
  const side = order.side.toUpperCase();
  const sideBlock: Block = stack([
    {
      heightPt: () => BIG.side.sizePt * 1.08,
      draw: (x, y) => {
        doc.type.line(side, x, y - 6, BIG.side);
      },
    },
    textBlock(doc, `the patient’s ${order.side} leg`, STYLES.subheading),
  ]);
  const made = stack(
    [
      textBlock(doc, spokenFirst(order.level), STYLES.fact),
      textBlock(doc, spokenFirst(order.suspension), STYLES.fact),
      textBlock(doc, `Functional level ${order.functionalLevel}`, STYLES.subheading),
    ],
    4,
  );
  doc.place(
    framed(
      doc,
      beside(
        [
          { block: sideBlock, share: 41 },
          { block: legsFigure(doc, order.side, 142), share: 27 },
          { block: made, share: 32 },
        ],
        10,
      ),
    ),
  );
  doc.yPt += 8;
};

function heldWords(sheet: Sheet): string {
  const { hold } = sheet.record.order;
  if (hold === null) return '';
  return `ON HOLD: ${spoken(hold.reason)}, since ${dayOfInstant(hold.since, sheet.record.clinic.timeZone)}`;
}

const dayOfInstant = (instant: string, timeZone: string): string =>
  instantWords(instant, timeZone).replace(/ \d\d:\d\d$/, '');

const daysOr = (day: Day | null, otherwise: string): string =>
  day === null ? otherwise : dayWords(day);

/** Dates, body mass, liner, stage; a hold and a mass over a rating in a frame of their own. */
const drawFacts: Section = (sheet) => {
  const { doc, record } = sheet;
  const { order, patient, clinic } = record;
  const mass = patient.bodyMass;
  const line = (...facts: Block[]): void => {
    doc.place(beside(facts.map((block) => ({ block, share: 1 }))));
  };
  line(
    fact(doc, 'Promised for', daysOr(order.promisedOn, 'no day promised')),
    fact(doc, 'Opened', dayOfInstant(order.openedAt, clinic.timeZone)),
    order.deliveredAt === null
      ? fact(doc, 'Stage', spokenFirst(order.stage))
      : fact(doc, 'Delivered', dayOfInstant(order.deliveredAt, clinic.timeZone)),
  );
  rule(doc, doc.leftPt, doc.yPt - 2, doc.widthPt, RULES.hair);
  doc.yPt += 4;
  doc.place(
    beside([
      {
        block: fact(
          doc,
          mass === null ? 'Body mass' : `Body mass, ${dayWords(mass.measuredOn)}`,
          mass === null ? 'not on record' : `${figure(mass.massKg)} kg`,
        ),
        share: 1,
      },
      { block: fact(doc, 'Liner', order.liner ?? 'none named', STYLES.subheading), share: 2 },
    ]),
  );
  for (const line of correctedLines(mass?.corrected, clinic.timeZone)) {
    doc.place(textBlock(doc, `Body mass: ${line}`, STYLES.strong));
  }
  const held = heldWords(sheet);
  if (held !== '') doc.place(framed(doc, textBlock(doc, held, STYLES.fact)));
  for (const warning of record.massWarnings) {
    doc.yPt += 4;
    doc.place(framed(doc, textBlock(doc, `Caution: ${warning}`, STYLES.subheading)));
  }
};

export const drawIdentity: Section = (sheet) => {
  drawTitle(sheet);
  drawSide(sheet);
  drawFacts(sheet);
};

const HEAD = { heightPt: 40 } as const;
const HEAD_STYLES = {
  number: { sizePt: 18, weight: 'bold' },
  side: { sizePt: 24, weight: 'bold' },
} as const satisfies Record<string, TextStyle>;

/** Every later sheet says order, side and chart again: sheets part from one another on a bench. */
export const runningHeadOf = (record: TravellerRecord): RunningHead => ({
  ...HEAD,
  draw: (doc: PaperDocument) => {
    const { leftPt, widthPt, type, yPt } = doc;
    const { order } = record;
    type.line(order.number, leftPt, yPt + 4, HEAD_STYLES.number);
    let x = leftPt + type.widthPt(order.number, HEAD_STYLES.number) + 18;
    const side = order.side.toUpperCase();
    type.line(side, x, yPt - 1, HEAD_STYLES.side);
    x += type.widthPt(side, HEAD_STYLES.side) + 8;
    type.line(`the patient’s ${order.side}`, x, yPt + 10, STYLES.body);
    const chart = chartWords(record);
    const chartPt = type.widthPt(chart, STYLES.strong);
    type.line(chart, leftPt + widthPt - chartPt, yPt + 10, STYLES.strong);
    rule(doc, leftPt, yPt + lineHeightPt(HEAD_STYLES.side) + 1, widthPt, RULES.heavy);
  },
});

/**
 * Labels for sockets, models and bins, on stock of the clinic's own size: a code to scan, the
 * number to read, and the side in a word and by which end of its strip is black. Nothing of
 * the patient but chart number and initials.
 */
import PDFDocument from 'pdfkit';
import type { Day } from '../domain/days.ts';
import type { LabelSize } from '../domain/labelSizes.ts';
import { orderLink } from '../domain/orderLink.ts';
import { placeLink, socketLink } from '../domain/scannedCode.ts';
import type { Side, SocketKind } from '../domain/words.ts';
import { drawQrCode } from './code.ts';
import { dayWords } from './dates.ts';
import { lineHeightPt, typesetter, type Typesetter } from './text.ts';

/** What a limb's label says of whom it is for. */
interface ForWhom {
  readonly side: Side;
  readonly chartNumber: string;
  readonly initials: string;
}

export type LabelRecord =
  | (ForWhom & {
      readonly kind: 'socket';
      /** `KB-26-00417-X/D1` */
      readonly number: string;
      readonly socketKind: SocketKind;
    })
  | (ForWhom & {
      readonly kind: 'model';
      readonly orderNumber: string;
      readonly castNumber: number;
      readonly takenOn: Day;
    })
  | { readonly kind: 'bin'; readonly placeId: string; readonly name: string };

export interface LabelMakings {
  readonly size: LabelSize;
  readonly marginMm: number;
  readonly copies: number;
  readonly publicUrl: string;
  readonly madeAt: Date;
}

const PT_PER_MM = 72 / 25.4;
/** The code takes no more than this share of the width: the number must be read too. */
const CODE_SHARE = 0.45;
const GAP_MM = 1;
/** Smaller type nobody reads at the bench; a text that is longer is cut with a mark. */
const LEAST_PT = 6;

/** Draws a label, one page of the stock's size for each copy. */
export function drawLabel(record: LabelRecord, makings: LabelMakings): Promise<Buffer> {
  const { size, copies, madeAt } = makings;
  const [widthPt, heightPt] = [size.widthMm * PT_PER_MM, size.heightMm * PT_PER_MM];
  const pdf = new PDFDocument({
    size: [widthPt, heightPt],
    margin: 0,
    pdfVersion: '1.7',
    lang: 'en',
    displayTitle: true,
    info: {
      Title: titleOf(record),
      Creator: 'Castbook',
      Producer: 'Castbook',
      CreationDate: madeAt,
      ModDate: madeAt,
    },
  });
  const chunks: Buffer[] = [];
  pdf.on('data', (chunk: Buffer) => chunks.push(chunk));
  const finished = new Promise<Buffer>((resolve, reject) => {
    pdf.on('end', () => {
      resolve(Buffer.concat(chunks));
    });
    pdf.on('error', reject);
  });
  const type = typesetter(pdf);
  for (let copy = 0; copy < copies; copy += 1) {
    if (copy > 0) pdf.addPage();
    drawOne({ pdf, type, record, makings, widthPt, heightPt });
  }
  pdf.end();
  return finished;
}

const titleOf = (record: LabelRecord): string => {
  switch (record.kind) {
    case 'socket':
      return `Label ${record.number}`;
    case 'model':
      return `Label ${record.orderNumber}, model of cast ${String(record.castNumber)}`;
    case 'bin':
      return `Label of bin ${record.name}`;
  }
};

interface Drawn {
  readonly pdf: PDFKit.PDFDocument;
  readonly type: Typesetter;
  readonly record: LabelRecord;
  readonly makings: LabelMakings;
  readonly widthPt: number;
  readonly heightPt: number;
}

/** A rectangle on the label, in points. */
interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

function drawOne({ pdf, type, record, makings, widthPt, heightPt }: Drawn): void {
  const marginPt = makings.marginMm * PT_PER_MM;
  const roomPt = heightPt - 2 * marginPt;
  const codePt = Math.min(roomPt, (widthPt - 2 * marginPt) * CODE_SHARE);
  drawQrCode(
    { pdf },
    codeOf(record, makings.publicUrl),
    marginPt,
    marginPt + (roomPt - codePt) / 2,
    codePt,
  );
  const x = marginPt + codePt + GAP_MM * PT_PER_MM;
  const box = { x, y: marginPt, width: widthPt - marginPt - x, height: roomPt };
  if (record.kind === 'bin') drawName(type, record.name, box);
  else drawForWhom(pdf, type, record, box);
}

function codeOf(record: LabelRecord, publicUrl: string): string {
  switch (record.kind) {
    case 'socket':
      return socketLink(publicUrl, record.number);
    case 'model':
      return orderLink(publicUrl, record.orderNumber);
    case 'bin':
      return placeLink(publicUrl, record.placeId);
  }
}

/** Shares of the height: three lines of words, and the side. */
const LINE_SHARES = [0.21, 0.17, 0.17] as const;
const SIDE_SHARE = 0.41;

function drawForWhom(
  pdf: PDFKit.PDFDocument,
  type: Typesetter,
  record: Exclude<LabelRecord, { kind: 'bin' }>,
  box: Box,
): void {
  const lines =
    record.kind === 'socket'
      ? [
          record.number.replace(/\/.*/, ''),
          `/${record.number.replace(/.*\//, '')}  ${record.socketKind}`,
          `${record.chartNumber} · ${record.initials}`,
        ]
      : [
          record.orderNumber,
          `Model, cast ${String(record.castNumber)}, ${dayWords(record.takenOn)}`,
          `${record.chartNumber} · ${record.initials}`,
        ];
  let { y } = box;
  for (const [at, text] of lines.entries()) {
    const high = box.height * (LINE_SHARES[at] ?? 0);
    const weight = at === 2 ? 'regular' : 'bold';
    const fitted = fit(type, text, weight, box.width, high / lineHeightPt({ sizePt: 1, weight }));
    type.line(fitted.text, box.x, y, { sizePt: fitted.sizePt, weight });
    y += high;
  }
  const high = box.height * SIDE_SHARE;
  drawSide(pdf, type, record.side, { ...box, y: box.y + box.height - high, height: high });
}

/** The side's word in a frame whose end on that side is black: left at the left, right at the right. */
function drawSide(pdf: PDFKit.PDFDocument, type: Typesetter, side: Side, box: Box): void {
  const blackPt = box.width * 0.2;
  const weightPt = 1.2;
  pdf
    .lineWidth(weightPt)
    .strokeColor('black')
    .rect(box.x + weightPt / 2, box.y + weightPt / 2, box.width - weightPt, box.height - weightPt)
    .stroke();
  pdf
    .fillColor('black')
    .rect(side === 'left' ? box.x : box.x + box.width - blackPt, box.y, blackPt, box.height)
    .fill();
  const room = box.width - blackPt - 6;
  const { text, sizePt } = fit(type, side.toUpperCase(), 'bold', room, box.height * 0.78);
  const style = { sizePt, weight: 'bold' } as const;
  const from = box.x + 3 + (side === 'left' ? blackPt : 0);
  type.line(
    text,
    from + (room - type.widthPt(text, style)) / 2,
    // The capitals, not the line, stand in the middle: they are some 0.7 of the size high.
    box.y + box.height / 2 - sizePt * 0.62,
    style,
  );
}

/** A bin's name as large as it goes, on up to three lines. */
function drawName(type: Typesetter, name: string, box: Box): void {
  const weight = 'bold';
  let sizePt = Math.min(60, box.height / lineHeightPt({ sizePt: 1, weight }));
  let lines = type.wrap(name, { sizePt, weight }, box.width);
  while (
    sizePt > LEAST_PT &&
    (lines.length * lineHeightPt({ sizePt, weight }) > box.height ||
      lines.length > 3 ||
      brokeAWord(name, lines))
  ) {
    sizePt = Math.max(LEAST_PT, sizePt * 0.94);
    lines = type.wrap(name, { sizePt, weight }, box.width);
  }
  const linePt = lineHeightPt({ sizePt, weight });
  let y = box.y + Math.max(0, (box.height - lines.length * linePt) / 2);
  for (const line of lines) {
    if (y + linePt > box.y + box.height + 0.5) return;
    type.line(line, box.x, y, { sizePt, weight });
    y += linePt;
  }
}

/** Whether a line ends inside a word. */
const brokeAWord = (text: string, lines: readonly string[]): boolean =>
  lines.some((line) => line.split(' ').some((word) => !text.split(/\s+/).includes(word)));

/** The largest type up to `greatestPt` in which a text fits; cut with a mark where none does. */
function fit(
  type: Typesetter,
  text: string,
  weight: 'regular' | 'bold',
  widthPt: number,
  greatestPt: number,
): { readonly text: string; readonly sizePt: number } {
  const atTen = type.widthPt(text, { sizePt: 10, weight });
  const sizePt = Math.min(greatestPt, (10 * widthPt) / atTen);
  if (sizePt >= LEAST_PT) return { text, sizePt };
  let shown = text;
  while (shown.length > 1 && type.widthPt(`${shown}…`, { sizePt: LEAST_PT, weight }) > widthPt) {
    shown = shown.slice(0, -1);
  }
  return { text: `${shown.trimEnd()}…`, sizePt: LEAST_PT };
}

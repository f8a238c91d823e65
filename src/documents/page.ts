/**
 * The frame of every printed paper: page size, margins, running head, footer
 * with the page's number, and blocks that no page break cuts. Black on white.
 */
import PDFDocument from 'pdfkit';
import { lineHeightPt, typesetter, type TextStyle, type Typesetter } from './text.ts';

/** Page sizes in points: ISO 216 A4 and ANSI/ASME Y14.1 size A ("US Letter"). */
export const PAPERS = {
  A4: { widthPt: 595.28, heightPt: 841.89 },
  Letter: { widthPt: 612, heightPt: 792 },
} as const;
export type Paper = keyof typeof PAPERS;
export const PAPER_NAMES = ['A4', 'Letter'] as const satisfies readonly Paper[];

/** Type that is read at arm's length; nothing but the footer is smaller than `body`. */
export const STYLES = {
  body: { sizePt: 11, weight: 'regular' },
  strong: { sizePt: 11, weight: 'bold' },
  heading: { sizePt: 16, weight: 'bold' },
  subheading: { sizePt: 14, weight: 'bold' },
  fact: { sizePt: 18, weight: 'bold' },
  footer: { sizePt: 9, weight: 'regular' },
  footerStrong: { sizePt: 9, weight: 'bold' },
} as const satisfies Record<string, TextStyle>;

/** Line weights in points: thinner ones get lost under dust and in copies. */
export const RULES = { hair: 0.8, firm: 1.2, heavy: 2.4 } as const;

const MARGINS = { sidePt: 40, topPt: 34, footPt: 62 } as const;

/** Something that can be measured before it is placed, and is never cut by a page break. */
export interface Block {
  /** Height in points when set `widthPt` wide. */
  heightPt(widthPt: number): number;
  draw(xPt: number, yPt: number, widthPt: number): void;
}

/** What stands on top of every page after the first, so that a lost sheet finds its way home. */
export interface RunningHead {
  readonly heightPt: number;
  draw(doc: PaperDocument): void;
}

export interface DocumentMakings {
  readonly paper: Paper;
  /** For the reader's window and the file's metadata; no personal data. */
  readonly title: string;
  /** The moment of making; also the file's creation date. */
  readonly madeAt: Date;
  /** Said at the foot of each page, beside "page 2 of 5". */
  readonly footer: readonly string[];
  readonly runningHead?: RunningHead | undefined;
}

/** A paper being made. `yPt` is where the next block goes. */
export interface PaperDocument {
  readonly pdf: PDFKit.PDFDocument;
  readonly type: Typesetter;
  readonly leftPt: number;
  readonly widthPt: number;
  readonly bottomPt: number;
  yPt: number;
  /** Greatest height that a block can have on a page of its own. */
  readonly pageHeightPt: number;
  /** Whether nothing stands on the present page yet but its running head. */
  isPageEmpty(): boolean;
  /** Turns the page unless `heightPt` still fits on this one. */
  need(heightPt: number): void;
  turnPage(): void;
  /** Places a block whole, on the next page if need be, and moves on. */
  place(block: Block): void;
  /** Writes the footers and closes the paper. */
  finish(): Promise<Buffer>;
}

/**
 * Begins a paper with its first page. The same makings and the same content
 * give the same bytes.
 */
export function makeDocument(makings: DocumentMakings): PaperDocument {
  const size = PAPERS[makings.paper];
  const pdf = new PDFDocument({
    size: [size.widthPt, size.heightPt],
    margin: 0,
    bufferPages: true,
    pdfVersion: '1.7',
    lang: 'en',
    displayTitle: true,
    info: {
      Title: makings.title,
      Creator: 'Castbook',
      Producer: 'Castbook',
      CreationDate: makings.madeAt,
      ModDate: makings.madeAt,
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
  const bottomPt = size.heightPt - MARGINS.footPt;
  const headPt = makings.runningHead?.heightPt ?? 0;
  let topPt: number = MARGINS.topPt;
  const doc: PaperDocument = {
    pdf,
    type,
    leftPt: MARGINS.sidePt,
    widthPt: size.widthPt - 2 * MARGINS.sidePt,
    bottomPt,
    yPt: MARGINS.topPt,
    pageHeightPt: bottomPt - MARGINS.topPt - headPt,
    isPageEmpty: () => doc.yPt <= topPt,
    need: (heightPt) => {
      if (doc.yPt + heightPt > bottomPt + 0.01) doc.turnPage();
    },
    turnPage: () => {
      pdf.addPage();
      doc.yPt = MARGINS.topPt;
      makings.runningHead?.draw(doc);
      topPt = MARGINS.topPt + headPt;
      doc.yPt = topPt;
    },
    place: (block) => {
      const heightPt = block.heightPt(doc.widthPt);
      doc.need(heightPt);
      block.draw(doc.leftPt, doc.yPt, doc.widthPt);
      doc.yPt += heightPt;
    },
    finish: () => {
      const { start, count } = pdf.bufferedPageRange();
      for (let page = start; page < start + count; page += 1) {
        pdf.switchToPage(page);
        drawFooter(doc, makings.footer, `page ${page + 1} of ${count}`);
      }
      pdf.end();
      return finished;
    },
  };
  return doc;
}

function drawFooter(doc: PaperDocument, footer: readonly string[], page: string): void {
  const { type, leftPt, widthPt } = doc;
  const y = doc.bottomPt + 10;
  rule(doc, leftPt, y, widthPt, RULES.hair);
  const pageWidth = type.widthPt(page, STYLES.footerStrong);
  type.line(page, leftPt + widthPt - pageWidth, y + 4, STYLES.footerStrong);
  const lines = type.wrap(footer.join('   ·   '), STYLES.footer, widthPt - pageWidth - 16);
  for (const [at, text] of lines.entries()) {
    type.line(text, leftPt, y + 4 + at * lineHeightPt(STYLES.footer), STYLES.footer);
  }
}

/** A horizontal line. */
export function rule(
  doc: PaperDocument,
  xPt: number,
  yPt: number,
  lengthPt: number,
  weightPt: number,
): void {
  doc.pdf
    .lineWidth(weightPt)
    .strokeColor('black')
    .moveTo(xPt, yPt)
    .lineTo(xPt + lengthPt, yPt)
    .stroke();
}

/** Text as a block, wrapped to the width it is given. */
export function textBlock(
  doc: PaperDocument,
  text: string,
  style: TextStyle = STYLES.body,
  align: 'left' | 'right' = 'left',
): Block {
  // Measuring and drawing ask for the same width one after the other.
  let wrapped: { readonly widthPt: number; readonly lines: string[] } | null = null;
  const linesAt = (widthPt: number): string[] => {
    if (wrapped?.widthPt !== widthPt) {
      wrapped = { widthPt, lines: doc.type.wrap(text, style, widthPt) };
    }
    return wrapped.lines;
  };
  return {
    heightPt: (widthPt) => linesAt(widthPt).length * lineHeightPt(style),
    draw: (xPt, yPt, widthPt) => {
      for (const [at, line] of linesAt(widthPt).entries()) {
        const indent = align === 'right' ? widthPt - doc.type.widthPt(line, style) : 0;
        doc.type.line(line, xPt + indent, yPt + at * lineHeightPt(style), style);
      }
    },
  };
}

/** A block of other blocks, one under the other, `gapPt` apart. */
export const stack = (blocks: readonly Block[], gapPt = 0): Block => ({
  heightPt: (widthPt) =>
    blocks.reduce((sum, block) => sum + block.heightPt(widthPt), 0) +
    gapPt * Math.max(0, blocks.length - 1),
  draw: (xPt, yPt, widthPt) => {
    let y = yPt;
    for (const block of blocks) {
      block.draw(xPt, y, widthPt);
      y += block.heightPt(widthPt) + gapPt;
    }
  },
});

/** Empty height. */
export const space = (heightPt: number): Block => ({
  heightPt: () => heightPt,
  draw: () => undefined,
});

/**
 * A heading: a section's under a firm rule, any smaller one without.
 * @param options.keepPt how much of what follows must stand on the same page
 */
export function heading(
  doc: PaperDocument,
  text: string,
  { keepPt = 60, style = STYLES.heading }: { keepPt?: number; style?: TextStyle } = {},
): void {
  const block = textBlock(doc, text, style);
  const textPt = block.heightPt(doc.widthPt);
  const isSection = style.sizePt >= STYLES.heading.sizePt;
  const abovePt = HEADING.gapPt + (isSection ? HEADING.underRulePt : 0);
  doc.need(Math.min(abovePt + textPt + HEADING.belowPt + keepPt, doc.pageHeightPt));
  // On top of a page the running head's rule is enough.
  if (!doc.isPageEmpty()) {
    if (isSection) rule(doc, doc.leftPt, doc.yPt + HEADING.gapPt, doc.widthPt, RULES.firm);
    doc.yPt += abovePt;
  }
  block.draw(doc.leftPt, doc.yPt, doc.widthPt);
  doc.yPt += textPt + HEADING.belowPt;
}

const HEADING = { gapPt: 14, underRulePt: 6, belowPt: 4 } as const;

/** Tables whose head is repeated on every page and whose rows no page break cuts. */
import { heading, RULES, rule, STYLES, textBlock, type Block, type PaperDocument } from './page.ts';
import { lineHeightPt, type TextStyle } from './text.ts';

export interface Column {
  readonly title: string;
  /** Width as a share of all the columns' shares. */
  readonly share: number;
  readonly align?: 'left' | 'right';
  readonly style?: TextStyle;
}

/** Words, or anything that can be measured and drawn. */
export type Cell = string | Block;
export type Row = readonly Cell[];

const PADDING = { sidePt: 4, topPt: 4, footPt: 4 } as const;

interface Laid {
  readonly columns: readonly Column[];
  readonly widths: readonly number[];
  readonly head: readonly Block[];
  readonly headPt: number;
  readonly rows: readonly (readonly Block[])[];
}

/**
 * Draws a table from the document's present height on. A row that does not fit
 * goes to the next page, under the head again. Only a row of words that is
 * higher than a whole page is continued on the next, line by line.
 */
export const table = (
  doc: PaperDocument,
  columns: readonly Column[],
  rows: readonly Row[],
): void => {
  drawTable(doc, layOut(doc, columns, rows));
};

/** A heading and its table; the heading never stands at the foot of a page without the first row. */
export function headedTable(
  doc: PaperDocument,
  title: string,
  columns: readonly Column[],
  rows: readonly Row[],
  style: TextStyle = STYLES.heading,
): void {
  const laid = layOut(doc, columns, rows);
  heading(doc, title, { style, keepPt: leadPt(laid) });
  drawTable(doc, laid);
}

function layOut(doc: PaperDocument, columns: readonly Column[], rows: readonly Row[]): Laid {
  const shares = columns.reduce((sum, column) => sum + column.share, 0);
  const widths = columns.map((column) => (doc.widthPt * column.share) / shares);
  const head = columns.map((column) => textBlock(doc, column.title, STYLES.strong, column.align));
  const headPt = rowHeight(head, widths);
  return {
    columns,
    widths,
    head,
    headPt,
    rows: rows.flatMap((row) => splitTall(doc, columns, row, widths, doc.pageHeightPt - headPt)),
  };
}

/** Height of the head and the first row. */
const leadPt = ({ headPt, rows: [first], widths }: Laid): number =>
  headPt + (first === undefined ? 0 : rowHeight(first, widths));

function drawTable(doc: PaperDocument, laid: Laid): void {
  const { widths, head, headPt } = laid;
  const drawHead = (): void => {
    drawRow(doc, head, widths, headPt);
    rule(doc, doc.leftPt, doc.yPt, doc.widthPt, RULES.firm);
  };
  doc.need(Math.min(leadPt(laid), doc.pageHeightPt));
  drawHead();
  for (const row of laid.rows) {
    const heightPt = rowHeight(row, widths);
    if (doc.yPt + heightPt > doc.bottomPt + 0.01) {
      doc.turnPage();
      drawHead();
    }
    drawRow(doc, row, widths, heightPt);
    rule(doc, doc.leftPt, doc.yPt, doc.widthPt, RULES.hair);
  }
}

const inner = (widthPt: number): number => widthPt - 2 * PADDING.sidePt;

const rowHeight = (row: readonly Block[], widths: readonly number[]): number =>
  Math.max(...row.map((cell, at) => cell.heightPt(inner(widths[at] ?? 0)))) +
  PADDING.topPt +
  PADDING.footPt;

function drawRow(
  doc: PaperDocument,
  row: readonly Block[],
  widths: readonly number[],
  heightPt: number,
): void {
  let x = doc.leftPt;
  for (const [at, cell] of row.entries()) {
    const width = widths[at] ?? 0;
    cell.draw(x + PADDING.sidePt, doc.yPt + PADDING.topPt, inner(width));
    x += width;
  }
  doc.yPt += heightPt;
}

/** A row as blocks; several rows where its words need more than one page. */
function splitTall(
  doc: PaperDocument,
  columns: readonly Column[],
  row: Row,
  widths: readonly number[],
  roomPt: number,
): Block[][] {
  const styleOf = (at: number): TextStyle => columns[at]?.style ?? STYLES.body;
  const asBlock = (cell: Cell, at: number): Block =>
    typeof cell === 'string' ? textBlock(doc, cell, styleOf(at), columns[at]?.align) : cell;
  const whole = row.map(asBlock);
  if (rowHeight(whole, widths) <= roomPt) return [whole];

  const linesFit = (at: number): number =>
    Math.floor((roomPt - PADDING.topPt - PADDING.footPt) / lineHeightPt(styleOf(at)));
  const chunked = row.map((cell, at): Cell[] => {
    if (typeof cell !== 'string') return [cell];
    const lines = doc.type.wrap(cell, styleOf(at), inner(widths[at] ?? 0));
    const chunks: string[] = [];
    for (let from = 0; from < lines.length; from += linesFit(at)) {
      chunks.push(lines.slice(from, from + linesFit(at)).join('\n'));
    }
    return chunks;
  });
  const count = Math.max(...chunked.map((chunks) => chunks.length));
  return Array.from({ length: count }, (_, part) =>
    chunked.map((chunks, at) => asBlock(chunks[part] ?? '', at)),
  );
}

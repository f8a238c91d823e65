/** The hardware move slip: what went into a socket and out of it, and what is to be done since. */
import { orderLink } from '../domain/orderLink.ts';
import type { Side } from '../domain/words.ts';
import { drawQrCode } from './code.ts';
import { instantWords } from './dates.ts';
import type { PaperMakings } from './deliveryRecord.ts';
import { drawBlank, drawBox } from './form.ts';
import { heading, makeDocument, stack, STYLES, textBlock, type PaperDocument } from './page.ts';
import { headedTable } from './table.ts';
import { spoken } from './words.ts';

export interface MoveSlip {
  readonly clinic: { readonly name: string; readonly timeZone: string };
  readonly orderNumber: string;
  readonly socketNumber: string;
  readonly side: Side;
  readonly chartNumber: string;
  readonly initials: string;
  readonly moves: readonly {
    readonly what: string;
    /** Null where it came from outside. */
    readonly from: string | null;
    readonly to: string;
    readonly reason: string;
    /** RFC 3339. */
    readonly at: string;
    readonly by: string;
    readonly last: boolean;
  }[];
  /** What stands open since, in words, each with its way. */
  readonly open: readonly { readonly words: string; readonly wayOut: string }[];
}

const CODE_PT = 92;

export function drawMoveSlip(
  slip: MoveSlip,
  { paper, madeAt, publicUrl }: PaperMakings & { readonly publicUrl: string },
): Promise<Buffer> {
  const { clinic, socketNumber } = slip;
  const at = (instant: string): string => instantWords(instant, clinic.timeZone);
  const doc = makeDocument({
    paper,
    title: `Hardware of ${socketNumber}`,
    madeAt,
    footer: [
      `Hardware of ${socketNumber}`,
      `as it stood ${at(madeAt.toISOString())} (${clinic.timeZone})`,
      'a view of the record at that moment',
    ],
  });
  drawHead(doc, slip, publicUrl);
  headedTable(
    doc,
    'Moves',
    [
      { title: 'What', share: 34 },
      { title: 'From', share: 24 },
      { title: 'To', share: 24 },
      { title: 'When, who, why', share: 30 },
    ],
    slip.moves.map((move) => [
      move.what,
      move.from ?? 'outside',
      `${move.to}${move.last ? '' : ' (gone on since)'}`,
      `${at(move.at)}, ${move.by}, ${spoken(move.reason)}`,
    ]),
  );
  heading(doc, 'To be done since', { keepPt: 70 });
  if (slip.open.length === 0) {
    doc.place(textBlock(doc, 'Nothing: joints and lock stand as they were checked.'));
  }
  for (const open of slip.open) drawOpen(doc, open);
  return doc.finish();
}

function drawHead(doc: PaperDocument, slip: MoveSlip, publicUrl: string): void {
  const { clinic, socketNumber, side, chartNumber, initials, orderNumber } = slip;
  const words = stack([
    textBlock(doc, `${clinic.name}  ·  Hardware move slip`, STYLES.body),
    textBlock(doc, socketNumber, { sizePt: 26, weight: 'bold' }),
    textBlock(doc, `${side.toUpperCase()}  ·  Chart ${chartNumber}  ·  ${initials}`, STYLES.fact),
  ]);
  const widthPt = doc.widthPt - CODE_PT - 12;
  // The code brings its own light margin.
  drawQrCode(
    doc,
    `${orderLink(publicUrl, orderNumber)}/${socketNumber.replace(/.*\//, '')}`,
    doc.leftPt + doc.widthPt - CODE_PT + 8,
    doc.yPt - 10,
    CODE_PT,
  );
  words.draw(doc.leftPt, doc.yPt, widthPt);
  doc.yPt += Math.max(words.heightPt(widthPt), CODE_PT - 10) + 4;
}

/** A box to tick, what is open with its way, and a line for who did it. */
function drawOpen(doc: PaperDocument, open: MoveSlip['open'][number]): void {
  const words = stack([
    textBlock(doc, open.words, STYLES.strong),
    textBlock(doc, open.wayOut, STYLES.body),
  ]);
  const wordsPt = doc.widthPt * 0.68;
  doc.place({
    heightPt: () => Math.max(words.heightPt(wordsPt), 24) + 8,
    draw: (x, y) => {
      drawBox(doc, x, y + 2, 14);
      words.draw(x + 24, y, wordsPt);
      drawBlank(doc, x + 24 + wordsPt + 12, y + 22, doc.widthPt - wordsPt - 36);
    },
  });
}

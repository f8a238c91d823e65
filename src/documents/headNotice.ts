/** A signed head of the record on paper: kept elsewhere, it shows later whether the record was written anew. */
import { notedWords } from '../domain/eventChain.ts';
import type { HeadStatement } from '../domain/signedHeads.ts';
import { drawQrCode } from './code.ts';
import { instantWords } from './dates.ts';
import type { PaperMakings } from './deliveryRecord.ts';
import { drawBlank } from './form.ts';
import { heading, makeDocument, space, stack, STYLES, textBlock } from './page.ts';

export interface HeadNotice {
  readonly clinic: { readonly name: string; readonly timeZone: string };
  readonly statement: HeadStatement;
  /** What was signed, to the byte. */
  readonly text: string;
  readonly signature: string;
  /** Base64url. */
  readonly publicKey: string;
}

const CODE_PT = 250;

/** In groups that an eye can follow. */
const grouped = (text: string): string => text.replaceAll(/(.{8})(?=.)/g, '$1 ');

/** Draws the notice. The same record and makings give the same bytes. */
export function drawHeadNotice(
  { clinic, statement, text, signature, publicKey }: HeadNotice,
  { paper, madeAt }: PaperMakings,
): Promise<Buffer> {
  const { number, treeSize, chainSha256, rootSha256, signedAt, keyId } = statement;
  const at = (instant: string): string =>
    `${instantWords(instant, clinic.timeZone)} (${clinic.timeZone})`;
  const doc = makeDocument({
    paper,
    title: `Signed head ${number} of the record`,
    madeAt,
    footer: [`Signed head ${number} of the record`, `printed ${at(madeAt.toISOString())}`],
  });
  doc.place(
    stack(
      [
        textBlock(doc, `${clinic.name}  ·  Signed head of the record`, STYLES.body),
        textBlock(doc, `Head ${number}: ${treeSize} records`, { sizePt: 24, weight: 'bold' }),
        textBlock(doc, `signed ${at(signedAt)}`, STYLES.fact),
        textBlock(
          doc,
          'Keep this sheet where nobody who can write to the record’s database reaches it. Up to here the record must say the same for ever: give the line under “To note” to the page Verify the record, or the file of the code to castbook-verify --since.',
          STYLES.body,
        ),
      ],
      6,
    ),
  );
  const fact = (title: string, value: string): void => {
    heading(doc, title, { keepPt: 30 });
    doc.place(textBlock(doc, value, STYLES.body));
  };
  fact('To note', notedWords({ seq: treeSize, chainSha256 }));
  fact('Root of the tree (RFC 9162, SHA-256)', grouped(rootSha256));
  fact('Chain value', grouped(chainSha256));
  fact('Signature (Ed25519, base64)', grouped(signature));
  fact('Public key (base64url), and its thumbprint', `${grouped(publicKey)}\n${grouped(keyId)}`);
  heading(doc, 'All of it, as a code', { keepPt: CODE_PT + 10 });
  // Statement, signature and key as the file that a saved head is.
  const file = JSON.stringify({ publicKey, signature, statement: text });
  doc.need(CODE_PT);
  drawQrCode(doc, file, doc.leftPt, doc.yPt, CODE_PT);
  const beside = stack([
    textBlock(doc, 'Noted and put away by', STYLES.body),
    space(26),
    textBlock(doc, 'on, and where', STYLES.body),
  ]);
  const leftPt = doc.leftPt + CODE_PT + 20;
  const widthPt = doc.widthPt - CODE_PT - 20;
  beside.draw(leftPt, doc.yPt + 20, widthPt);
  drawBlank(doc, leftPt, doc.yPt + 58, widthPt);
  drawBlank(doc, leftPt, doc.yPt + 104, widthPt);
  doc.yPt += CODE_PT;
  return doc.finish();
}

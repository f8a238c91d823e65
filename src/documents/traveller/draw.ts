/** The traveller: the sheet that goes with the work. A record in, a PDF out. */
import { orderLink } from '../../domain/orderLink.ts';
import { instantWords } from '../dates.ts';
import { fingerprint } from '../fingerprint.ts';
import { heading, makeDocument, type Paper } from '../page.ts';
import { drawCast } from './cast.ts';
import { drawCautions } from './cautions.ts';
import { drawAlignment, drawLockCheck } from './checks.ts';
import { drawHardware } from './hardware.ts';
import { drawIdentity, runningHeadOf } from './identity.ts';
import { drawJoints } from './joints.ts';
import { drawOperations, workTitle } from './operations.ts';
import { drawLayup, LAYUP_KEEP_PT } from './layup.ts';
import { drawResin } from './resin.ts';
import type { TravellerRecord } from './record.ts';
import type { Section } from './sheet.ts';
import { drawFindings, drawSockets } from './sockets.ts';

export interface TravellerMakings {
  readonly paper: Paper;
  /** The moment at which the record was read. */
  readonly madeAt: Date;
  /** Where people reach the service; the code on the sheet leads there. */
  readonly publicUrl: string;
}

/** One socket after the other: what is in it, what is to be done, what holds it together. */
const drawWorks: Section = ({ doc, record }) => {
  const { timeZone } = record.clinic;
  for (const work of record.works) {
    heading(doc, workTitle(work), { keepPt: work.layup === null ? 170 : LAYUP_KEEP_PT + 40 });
    drawLayup(doc, work, timeZone);
    drawResin(doc, work, timeZone);
    drawHardware(doc, work);
    drawOperations(doc, work, timeZone);
    drawJoints(doc, work, record.order.side, timeZone);
    drawLockCheck(doc, work, timeZone);
    drawAlignment(doc, work, timeZone);
  }
};

/** The sheet from top to bottom; a further section is one more line. */
const SECTIONS: readonly Section[] = [
  drawIdentity,
  drawFindings,
  drawSockets,
  drawCast,
  drawWorks,
  drawCautions,
];

/**
 * Draws a traveller. The same record and makings give the same bytes.
 * @returns the PDF
 */
export function drawTraveller(
  record: TravellerRecord,
  { paper, madeAt, publicUrl }: TravellerMakings,
): Promise<Buffer> {
  const { order, clinic } = record;
  const doc = makeDocument({
    paper,
    title: `Traveller ${order.number}`,
    madeAt,
    runningHead: runningHeadOf(record),
    footer: [
      order.number,
      `made ${instantWords(madeAt.toISOString(), clinic.timeZone)} (${clinic.timeZone})`,
      `record version ${order.version}`,
      `SHA-256 ${fingerprint(record)}`,
      'a view of the record at that moment',
    ],
  });
  const sheet = { doc, record, link: orderLink(publicUrl, order.number) };
  for (const section of SECTIONS) section(sheet);
  return doc.finish();
}

/**
 * The delivery record: the elements of a proof of delivery — who received what, how many,
 * when, and the signatures (42 CFR 424.57(c)(12); CMS Program Integrity Manual ch. 4 § 4.7.3,
 * from memory). All of what was delivered is read from the content that the prosthetist signed.
 */
import { correctedWords, type Correctable, type CorrectionSaid } from '../domain/corrections.ts';
import type { Day } from '../domain/days.ts';
import type { Level, Position, Side, Suspension } from '../domain/words.ts';
import { dayWords, instantWords } from './dates.ts';
import { beside, drawBlank, framed } from './form.ts';
import {
  heading,
  makeDocument,
  stack,
  STYLES,
  textBlock,
  type Block,
  type Paper,
  type PaperDocument,
} from './page.ts';
import { headedTable } from './table.ts';
import { fact } from './traveller/sheet.ts';
import { spoken, spokenFirst } from './words.ts';

export interface DeliveryRecord {
  readonly clinic: { readonly name: string; readonly timeZone: string };
  readonly orderNumber: string;
  readonly socketNumber: string;
  readonly side: Side;
  readonly level: Level;
  readonly suspension: Suspension;
  readonly functionalLevel: string;
  readonly patient: {
    readonly name: string;
    readonly chartNumber: string;
    /** Null where it was erased. */
    readonly birthDate: Day | null;
    readonly address: string | null;
  };
  /** RFC 3339. */
  readonly deliveredAt: string;
  readonly receivedByName: string;
  readonly receivedByRelation: string;
  readonly bodyMassKg: number | null;
  readonly hardware: readonly { readonly position: Position; readonly item: string }[];
  readonly joints: readonly { readonly kind: string; readonly confirmed: boolean }[];
  readonly lockChecked: boolean;
  readonly releaserWasSoleWorker: boolean;
  readonly signature: {
    readonly printedName: string;
    /** What the signature says, in words. */
    readonly meaning: string;
    readonly signedAt: string;
    readonly contentSha256: string;
  };
  /** Of what was released and of what that rested on, the oldest first. */
  readonly corrections: readonly (CorrectionSaid & {
    readonly of: Correctable;
    /** RFC 3339. */
    readonly correctedAt: string;
  })[];
}

export interface PaperMakings {
  readonly paper: Paper;
  readonly madeAt: Date;
}

/** Draws the record. The same record and makings give the same bytes. */
export function drawDeliveryRecord(
  record: DeliveryRecord,
  { paper, madeAt }: PaperMakings,
): Promise<Buffer> {
  const { clinic, orderNumber, socketNumber } = record;
  const at = (instant: string): string =>
    `${instantWords(instant, clinic.timeZone)} (${clinic.timeZone})`;
  const doc = makeDocument({
    paper,
    title: `Delivery record ${socketNumber}`,
    madeAt,
    footer: [clinic.name, `Delivery record ${socketNumber}`, `printed ${at(madeAt.toISOString())}`],
  });
  doc.place(textBlock(doc, `${clinic.name}  ·  Delivery record`, STYLES.body));
  doc.place(textBlock(doc, orderNumber, { sizePt: 28, weight: 'bold' }));
  doc.yPt += 6;
  drawWho(doc, record, at);
  drawWhat(doc, record);
  drawChecks(doc, record);
  drawCorrections(doc, record);
  drawSignatures(doc, record, at);
  return doc.finish();
}

const line = (doc: PaperDocument, ...facts: readonly Block[]): void => {
  doc.place(beside(facts.map((block) => ({ block, share: 1 }))));
};

function drawWho(
  doc: PaperDocument,
  record: DeliveryRecord,
  at: (instant: string) => string,
): void {
  const { patient } = record;
  const { subheading } = STYLES;
  line(
    doc,
    fact(doc, 'Patient', patient.name, STYLES.fact),
    fact(doc, 'Delivered', at(record.deliveredAt), subheading),
  );
  line(
    doc,
    fact(doc, 'Chart number', patient.chartNumber, subheading),
    fact(
      doc,
      'Born',
      patient.birthDate === null ? 'erased' : dayWords(patient.birthDate),
      subheading,
    ),
    fact(doc, 'Address on record', patient.address ?? 'none', STYLES.strong),
  );
  line(
    doc,
    fact(doc, 'Received by', record.receivedByName, subheading),
    fact(doc, 'Relation to the patient', record.receivedByRelation, subheading),
    fact(
      doc,
      'Body mass at delivery',
      record.bodyMassKg === null ? 'not on record' : `${String(record.bodyMassKg)} kg`,
      subheading,
    ),
  );
  line(
    doc,
    fact(doc, 'Place', 'At the clinic, unless another place is written here:', STYLES.body),
  );
  drawBlank(doc, doc.leftPt + doc.widthPt * 0.55, doc.yPt - 4, doc.widthPt * 0.45);
  doc.yPt += 4;
}

/** How many of what: equal pieces of one lot are counted together. */
function drawWhat(doc: PaperDocument, record: DeliveryRecord): void {
  const { side, level, suspension, socketNumber, functionalLevel } = record;
  const counted = new Map<string, { count: number; positions: string[] }>();
  for (const { item, position } of record.hardware) {
    const known = counted.get(item) ?? { count: 0, positions: [] };
    counted.set(item, {
      count: known.count + 1,
      positions: [...known.positions, spoken(position)],
    });
  }
  headedTable(
    doc,
    'What was delivered',
    [
      { title: 'How many', share: 12, align: 'right' },
      { title: 'What', share: 58 },
      { title: 'Where in it', share: 30 },
    ],
    [
      [
        '1',
        `Prosthetic socket ${socketNumber}, ${side.toUpperCase()}, ${spoken(level)}, ${spoken(suspension)}, functional level ${functionalLevel}`,
        `the patient’s ${side} leg`,
      ],
      ...[...counted].map(([item, { count, positions }]) => [
        String(count),
        item,
        positions.join(', '),
      ]),
    ],
  );
}

function drawChecks(doc: PaperDocument, record: DeliveryRecord): void {
  heading(doc, 'What stood when it was released', { style: STYLES.subheading });
  const said = [
    ...record.joints.map(
      ({ kind, confirmed }) =>
        `Joint ${spoken(kind)}: torque ${confirmed ? 'confirmed' : 'not confirmed'}.`,
    ),
    ...(record.suspension === 'pin_lock'
      ? [`Lock check: ${record.lockChecked ? 'passed on this lock and pin' : 'none'}.`]
      : []),
    ...(record.releaserWasSoleWorker
      ? ['Who released it did all the bench work alone, as the clinic allows.']
      : []),
  ];
  for (const text of said) doc.place(textBlock(doc, text));
}

/** What was signed stands as it was signed; what was put right in words stands below it. */
function drawCorrections(doc: PaperDocument, record: DeliveryRecord): void {
  if (record.corrections.length === 0) return;
  headedTable(
    doc,
    'Corrected in words',
    [
      { title: 'Record', share: 22, style: STYLES.strong },
      { title: 'What was signed stands; a correction changes no evidence', share: 78 },
    ],
    record.corrections.map((each) => [
      spokenFirst(each.of),
      correctedWords(each, instantWords(each.correctedAt, record.clinic.timeZone)),
    ]),
    STYLES.subheading,
  );
}

function drawSignatures(
  doc: PaperDocument,
  record: DeliveryRecord,
  at: (instant: string) => string,
): void {
  const { signature } = record;
  const released = framed(
    doc,
    stack(
      [
        textBlock(doc, 'Released and signed electronically', STYLES.body),
        textBlock(doc, signature.printedName, STYLES.fact),
        textBlock(doc, `${spokenFirst(signature.meaning)}.`, STYLES.strong),
        textBlock(doc, at(signature.signedAt), STYLES.strong),
        textBlock(doc, `Bound to its content by SHA-256 ${signature.contentSha256}`, STYLES.footer),
      ],
      2,
    ),
  );
  heading(doc, 'Signatures', { keepPt: released.heightPt(doc.widthPt) + BLANKS_PT });
  doc.place(released);
  doc.place({
    heightPt: () => BLANKS_PT,
    draw: (x, y, width) => {
      doc.type.line(
        `I received what is listed above: ${record.receivedByName} (${record.receivedByRelation})`,
        x,
        y + 10,
        STYLES.strong,
      );
      const blanks = [
        ['Signature of who received it', 0, 0.6],
        ['Day', 0.66, 0.34],
      ] as const;
      for (const [label, from, share] of blanks) {
        drawBlank(doc, x + from * width, y + 62, share * width);
        doc.type.line(label, x + from * width, y + 65, STYLES.footer);
      }
    },
  });
}

const BLANKS_PT = 84;

/** A patient's whole record on paper, in plain words: who, what is worn, what was done, when, by whom. */
import type { Day } from '../domain/days.ts';
import { EVENT_WORDS } from '../domain/eventKinds.ts';
import type { PatientRecord, RecordRow } from '../domain/patientRecord/document.ts';
import { PATIENT_RECORD } from '../domain/patientRecord/index.ts';
import { dayWords, instantWords } from './dates.ts';
import {
  heading,
  makeDocument,
  space,
  STYLES,
  textBlock,
  type Paper,
  type PaperDocument,
} from './page.ts';
import { rowsOf, sayer, type Sayer } from './patientRecordWords.ts';
import { headedTable, type Column } from './table.ts';

/** The paper; its footer bears the chart number alone. */
export function patientRecordPaper(record: PatientRecord, paper: Paper): Promise<Buffer> {
  const { clinic, chartNumber, madeAt } = record;
  const doc = makeDocument({
    paper,
    title: `Record of ${chartNumber}`,
    madeAt: new Date(madeAt),
    footer: [clinic.name, `record of ${chartNumber}`, instantWords(madeAt, clinic.timeZone)],
  });
  const say = sayer(record);
  opening(doc, record, say);
  worn(doc, record, say);
  for (const { title, columns, of } of TABLES) {
    const rows = of(record, say);
    if (rows.length > 0) headedTable(doc, title, columns, rows);
  }
  closing(doc, record, say);
  return doc.finish();
}

const para = (doc: PaperDocument, text: string): void => {
  doc.place(textBlock(doc, text, STYLES.body));
  doc.place(space(4));
};

function opening(doc: PaperDocument, record: PatientRecord, say: Sayer): void {
  const [patient = {}] = record.sections.patient;
  doc.place(textBlock(doc, 'Your record', STYLES.fact));
  doc.place(space(6));
  const name = `${say.text(patient['givenName'])} ${say.text(patient['familyName'])}`.trim();
  const born = patient['birthDate'];
  for (const line of [
    `Name: ${name === '' ? 'erased' : name}`,
    `Chart number: ${record.chartNumber}`,
    `Born: ${typeof born === 'string' ? dayWords(born as Day) : 'erased'}`,
    `Phone: ${say.text(patient['phone']) || 'none on record'}`,
    `Address: ${say.text(patient['address']) || 'none on record'}`,
  ]) {
    doc.place(textBlock(doc, line, STYLES.strong));
  }
  doc.place(space(8));
  para(
    doc,
    `This is all that ${record.clinic.name} has on record about you and the sockets made for you, as it stood on ${say.instant(record.madeAt)}. It was made ready by ${record.askedBy} to be handed to ${record.handedTo}. Reason: ${record.reason}`,
  );
  para(
    doc,
    `The same is kept as one file that a computer reads (${record.end.rows} entries and ${record.end.events} events). The file also has every screw reading, the exact words that were signed, the photos themselves, and the hashes by which anybody can show that nothing was altered.`,
  );
  para(
    doc,
    'What the clinic paid for parts is not in it, nor are other patients. Where something in your record is wrong, tell the clinic: you can ask for a correction, and what you say is kept beside it.',
  );
}

/** What is in the sockets that are worn, by the last move of each piece. */
function worn(doc: PaperDocument, record: PatientRecord, say: Sayer): void {
  const sockets = record.sections.socket.filter(({ state }) => state === 'delivered');
  heading(doc, 'What you wear');
  if (sockets.length === 0) {
    para(doc, 'No socket of this clinic is on record as worn.');
    return;
  }
  for (const socket of sockets) {
    headedTable(
      doc,
      `Socket ${say.text(socket['number'])}, ${say.sideOf(socket)}; delivered ${say.instant(socket['deliveredAt'])}`,
      [
        { title: 'Where', share: 18 },
        { title: 'What', share: 34 },
        { title: 'Lot or serial', share: 20 },
        { title: 'Device identifier (UDI)', share: 28 },
      ],
      say
        .heldBy(socket)
        .map(({ position, item }) => [
          position,
          say.partOf(item),
          say.lotOf(item),
          say.text(item['udi']) || '—',
        ]),
      STYLES.subheading,
    );
  }
}

interface TableOf {
  readonly title: string;
  readonly columns: readonly Column[];
  readonly of: (record: PatientRecord, say: Sayer) => readonly string[][];
}

const WHEN: Column = { title: 'When', share: 20 };
const WHO: Column = { title: 'Who', share: 20 };
const columns = (...more: Column[]): Column[] => [WHEN, ...more, WHO];
const by = (rows: readonly RecordRow[], line: (row: RecordRow) => string[]): string[][] =>
  rows.map((row) => line(row));

const TABLES: readonly TableOf[] = [
  {
    title: 'Your orders',
    columns: [
      { title: 'Number', share: 18 },
      { title: 'For', share: 32 },
      { title: 'Opened', share: 22 },
      { title: 'Stands at', share: 14 },
      { title: 'Prosthetist', share: 18 },
    ],
    of: ({ sections }, say) =>
      by(sections.fabrication_order, (row) => [
        say.text(row['number']),
        `${say.word(row['side'])}, ${say.word(row['level'])}, ${say.word(row['suspension'])}, ${say.text(row['functionalLevel'])}`,
        say.instant(row['openedAt']),
        say.word(row['stage']),
        say.person(row['prosthetistId']),
      ]),
  },
  {
    title: 'Your weight',
    columns: [{ title: 'Day', share: 20 }, { title: 'Body mass', share: 60 }, WHO],
    of: ({ sections }, say) =>
      by(sections.body_mass, (row) => [
        say.day(row['measuredOn']),
        `${say.text(row['massKg'])} kg${say.corrected(row)}`,
        say.person(row['recordedById']),
      ]),
  },
  {
    title: 'Casts and measures of your limb',
    columns: columns({ title: 'What', share: 60 }),
    of: ({ sections }, say) => [
      ...by(sections.limb_cast, (row) => [
        say.day(row['takenOn']),
        `Cast ${say.text(row['number'])}, ${say.text(row['method'])}: ${say.word(row['state'])}${say.corrected(row)}`,
        say.person(row['takenById']),
      ]),
      ...by(sections.measure_set, (row) => [
        say.day(row['takenOn']),
        `Measured (${say.word(row['occasion'])}), limb ${say.text(row['limbLengthMm'])} mm long; around: ${rowsOf(
          sections.measure,
          'measureSetId',
          row['id'],
        )
          .map(
            (each) => `${say.text(each['circumferenceMm'])} mm at ${say.text(each['heightMm'])} mm`,
          )
          .join(', ')}${say.corrected(row)}`,
        say.person(row['takenById']),
      ]),
    ],
  },
  {
    title: 'Work on your sockets',
    columns: columns({ title: 'Socket', share: 18 }, { title: 'What was done', share: 42 }),
    of: ({ sections }, say) =>
      by(sections.operation_record, (row) => {
        const operation = say.find('operation', row['operationId']);
        return [
          say.instant(row['recordedAt']),
          say.socket(operation['socketId']),
          `${say.text(operation['title'])}: ${say.word(row['outcome'])}${row['secondPersonId'] === null ? '' : `, with ${say.person(row['secondPersonId'])}`}${say.corrected(row)}`,
          say.person(row['recordedById']),
        ];
      }),
  },
  {
    title: 'Joints torqued, locks checked, alignments, fits',
    columns: columns({ title: 'Socket', share: 18 }, { title: 'What', share: 42 }),
    of: ({ sections }, say) => [
      ...by(sections.torque_confirmation, (row) => {
        const joint = say.find('joint', row['jointId']);
        const readings = rowsOf(sections.torque_reading, 'confirmationId', row['id']).length;
        return [
          say.instant(row['recordedAt']),
          say.socket(joint['socketId']),
          `Joint ${say.word(joint['kind'])} torqued, ${readings} readings: ${row['confirms'] === false ? 'not confirmed' : 'confirmed'}${say.corrected(row)}`,
          say.person(row['recordedById']),
        ];
      }),
      ...by(sections.lock_check, (row) => [
        say.instant(row['recordedAt']),
        say.socket(row['socketId']),
        `Lock checked: ${row['passes'] === true ? 'passed' : 'not passed'}${say.corrected(row)}`,
        say.person(row['recordedById']),
      ]),
      ...by(sections.alignment, (row) => [
        say.instant(row['measuredAt']),
        say.socket(row['socketId']),
        `Alignment (${say.word(row['occasion'])}): bent ${say.text(row['flexionDeg'])}° forward, ${say.text(row['adductionDeg'])}° inward${say.corrected(row)}`,
        say.person(row['measuredById']),
      ]),
      ...by(sections.fitting, (row) => [
        say.instant(row['judgedAt']),
        say.socket(row['socketId']),
        `Fit ${say.word(row['outcome'])}${say.corrected(row)}`,
        say.person(row['judgedById']),
      ]),
    ],
  },
  {
    title: 'What was found wrong',
    columns: columns(
      { title: 'Socket', share: 18 },
      { title: 'What, and how it was closed', share: 42 },
    ),
    of: ({ sections }, say) =>
      by(sections.finding, (row) => [
        say.instant(row['openedAt']),
        say.socket(row['socketId']),
        `${say.word(row['kind'])}: ${say.text(row['note'])} — ${row['disposition'] === null ? 'still open' : `${say.word(row['disposition'])} ${say.text(row['dispositionReason'])}`}${say.corrected(row)}`,
        say.person(row['openedById']),
      ]),
  },
  {
    title: 'Photos (they are in the file)',
    columns: columns({ title: 'SHA-256', share: 60 }),
    of: ({ sections }, say) =>
      by(sections.photo, (row) => [
        say.instant(row['takenAt']),
        `${say.text(row['sha256'])}${row['bytes'] === null ? ' (erased)' : ''}`,
        say.person(row['takenById']),
      ]),
  },
  {
    title: 'Pieces in and out of your sockets',
    columns: columns({ title: 'Piece', share: 36 }, { title: 'Why', share: 24 }),
    of: ({ sections }, say) =>
      by(sections.move, (row) => {
        const item = say.find('item', row['itemId']);
        return [
          say.instant(row['movedAt']),
          `${say.partOf(item)}, ${say.lotOf(item)}`,
          say.word(row['reason']),
          say.person(row['movedById']),
        ];
      }),
  },
  {
    title: 'Batches that went into your sockets',
    columns: columns({ title: 'Batch', share: 60 }),
    of: ({ sections }, say) =>
      by(sections.batch_use, (row) => {
        const batch = say.find('batch', row['batchId']);
        return [
          say.instant(row['usedAt']),
          `${say.word(batch['kind'])} ${say.text(batch['name'])}, lot ${say.text(batch['lot'])}, for ${say.socket(row['socketId'])}`,
          say.person(row['usedById']),
        ];
      }),
  },
  {
    title: 'Deliveries and service',
    columns: columns({ title: 'What', share: 60 }),
    of: ({ sections }, say) => [
      ...by(sections.delivery, (row) => [
        say.instant(row['deliveredAt']),
        `Socket ${say.socket(row['socketId'])} delivered; received by ${say.text(row['receivedByName']) || 'erased'} (${say.text(row['receivedByRelation'])})${say.corrected(row)}`,
        say.person(row['releasedById']),
      ]),
      ...by(sections.service_visit, (row) => [
        say.instant(row['openedAt']),
        `${say.word(row['kind'])}: ${say.text(row['note'])}${row['closedAt'] === null ? ' (open)' : `; closed ${say.instant(row['closedAt'])}: ${say.text(row['outcome'])}`}${say.corrected(row)}`,
        say.person(row['openedById']),
      ]),
    ],
  },
  {
    title: 'Fittings that were booked, and calls',
    columns: columns({ title: 'What', share: 60 }),
    of: ({ sections }, say) => [
      ...by(sections.appointment, (row) => [
        say.instant(row['startsAt']),
        `${say.word(row['purpose'])}: ${say.word(row['state'])}. ${say.text(row['note'])} ${say.text(row['why'])}${say.corrected(row)}`.trim(),
        say.person(row['prosthetistId']),
      ]),
      ...by(sections.recall_call, (row) => [
        say.instant(row['calledAt']),
        `Called about a recall: ${say.word(row['outcome'])}. ${say.text(row['note'])}`.trim(),
        say.person(row['calledById']),
      ]),
    ],
  },
  {
    title: 'What you asked to be corrected',
    columns: columns({ title: 'What you said, and what was decided', share: 60 }),
    of: ({ sections }, say) =>
      by(sections.correction_request, (row) => [
        say.day(row['askedOn']),
        `${say.text(row['said'])} — ${row['decision'] === null ? 'not decided yet' : `${say.word(row['decision'])}${row['denialGround'] === null ? '' : ` (${say.word(row['denialGround'])})`}: ${say.text(row['decisionReason'])}`}${row['disagreement'] === null ? '' : ` — your statement: ${say.text(row['disagreement'])}`}`,
        say.person(row['decidedById'] ?? row['recordedById']),
      ]),
  },
  {
    title: 'Corrections (what was corrected stays in the record)',
    columns: columns({ title: 'Of what', share: 18 }, { title: 'Wrong, right, why', share: 42 }),
    of: ({ sections }, say) =>
      by(sections.correction, (row) => [
        say.instant(row['correctedAt']),
        say.word(row['subjectKind']),
        say.correctionWords(row),
        say.person(row['correctedById']),
      ]),
  },
  {
    title: 'What was erased',
    columns: columns({ title: 'What, and why', share: 60 }),
    of: ({ sections }, say) =>
      by(
        sections.erasure.filter(({ state }) => state === 'carried_out'),
        (row) => [
          say.instant(row['settledAt']),
          `${say.words(row['what'])}: ${say.text(row['why'])} (${say.text(row['legalBasis'])})`,
          say.person(row['settledById']),
        ],
      ),
  },
  {
    title: 'Signatures',
    columns: columns(
      { title: 'Meaning', share: 26 },
      { title: 'SHA-256 of what was signed', share: 34 },
    ),
    of: ({ sections }, say) =>
      by(sections.signature, (row) => [
        say.instant(row['signedAt']),
        say.word(row['meaning']),
        say.text(row['contentSha256']),
        say.text(row['printedName']),
      ]),
  },
];

function closing(doc: PaperDocument, record: PatientRecord, say: Sayer): void {
  headedTable(
    doc,
    'Who is who',
    [
      { title: 'Name', share: 50 },
      { title: 'Works here as', share: 50 },
    ],
    record.people.map(({ printedName, roles }) => [printedName, roles.map(say.word).join(', ')]),
  );
  headedTable(
    doc,
    'Everything that happened, in order',
    [{ title: 'No.', share: 9, align: 'right' }, WHEN, { title: 'What', share: 50 }, WHO],
    record.events
      .filter(({ kind }) => !kind.endsWith('.read'))
      .map((event) => [
        String(event.seq),
        say.instant(event.at),
        (EVENT_WORDS as Readonly<Record<string, string>>)[event.kind] ?? event.kind,
        say.person(event.personId),
      ]),
  );
  heading(doc, 'What is in the file');
  for (const [section, { says }] of Object.entries(PATIENT_RECORD)) {
    const count = record.sections[section as keyof typeof PATIENT_RECORD].length;
    if (count > 0) doc.place(textBlock(doc, `${count} × ${says}`, STYLES.body));
  }
}

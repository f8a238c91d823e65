/** Trace and recall on paper: what was asked, when, by whom, and the answer as tables. */
import { instantWords } from './dates.ts';
import {
  heading,
  makeDocument,
  STYLES,
  textBlock,
  type Paper,
  type PaperDocument,
} from './page.ts';
import { headedTable, table } from './table.ts';

/** What every report says of itself. Instants are RFC 3339. */
export interface ReportFrame {
  readonly paper: Paper;
  readonly clinic: string;
  /** IANA name; instants are printed in it (R16). */
  readonly timeZone: string;
  readonly madeAt: Date;
  /** Printed name of whoever asked. */
  readonly askedBy: string;
}

/** A thing's time in a socket. */
export interface StayLine {
  readonly thing: string;
  readonly socket: string;
  readonly position: string;
  readonly chartNumber: string;
  readonly enteredAt: string;
  readonly leftAt: string | null;
  readonly leftTo: string | null;
}

export interface TraceReport extends ReportFrame {
  readonly askedFor: string;
  /** What the subject is, line by line. */
  readonly subject: readonly string[];
  readonly rows: readonly {
    readonly at: string;
    readonly what: string;
    readonly where: string;
    readonly chartNumber: string;
    readonly who: string;
  }[];
  readonly stays: readonly StayLine[];
  /** What was cut, in words; empty where the report is whole. */
  readonly cuts: readonly string[];
}

/** The trace report. The footer bears no personal data. */
export function traceReport(report: TraceReport): Promise<Buffer> {
  const doc = beginReport(report, 'Trace report', `Trace by ${report.askedFor}`);
  lines(doc, [...report.subject, ...report.cuts]);
  if (report.stays.length > 0) {
    heading(doc, 'Way through sockets', { style: STYLES.subheading });
    stays(doc, report.stays, report.timeZone);
  }
  heading(doc, 'Record by time', { style: STYLES.subheading });
  table(
    doc,
    [
      { title: 'When', share: 18 },
      { title: 'What', share: 36 },
      { title: 'Socket or order', share: 23 },
      { title: 'Chart', share: 14 },
      { title: 'Who', share: 16 },
    ],
    report.rows.map((row) => [
      instantWords(row.at, report.timeZone),
      row.what,
      row.where,
      row.chartNumber,
      row.who,
    ]),
  );
  endReport(doc, report.cuts, `${report.rows.length} records.`);
  return doc.finish();
}

export interface RecallReport extends ReportFrame {
  readonly askedFor: string;
  readonly counts: readonly (readonly [string, string])[];
  readonly wearers: readonly {
    /** How the newest call ended and who made it; empty where nobody has called, for a tick on paper. */
    readonly called: string;
    readonly patient: string;
    readonly phone: string;
    readonly socket: string;
    /** Line by line. */
    readonly pieces: readonly string[];
  }[];
  /** Corrections elsewhere whose words name what is recalled. */
  readonly named: readonly {
    readonly where: string;
    readonly chartNumber: string;
    readonly of: string;
    readonly words: string;
  }[];
  /** Everything that nobody wears: where, and what of it is there. */
  readonly others: readonly { readonly where: string; readonly pieces: string }[];
  readonly stays: readonly StayLine[];
  readonly cuts: readonly string[];
}

/** The recall list: the people to call with a column to tick, the counts, and where the rest is. */
export function recallReport(report: RecallReport): Promise<Buffer> {
  const doc = beginReport(report, 'Recall list', `Recall of ${report.askedFor}`);
  lines(doc, report.cuts);
  heading(doc, 'Counts', { style: STYLES.subheading });
  table(
    doc,
    [
      { title: 'Where', share: 3 },
      { title: 'How many', share: 2, align: 'right' },
    ],
    report.counts,
  );
  heading(doc, 'Worn now: to be called', { style: STYLES.subheading });
  if (report.wearers.length === 0) lines(doc, ['Nobody wears it.']);
  else {
    table(
      doc,
      [
        { title: 'Called', share: 16 },
        { title: 'Patient', share: 26 },
        { title: 'Phone', share: 20 },
        { title: 'Socket', share: 25 },
        { title: 'What', share: 29 },
      ],
      report.wearers.map((wearer) => [
        wearer.called,
        wearer.patient,
        wearer.phone,
        wearer.socket,
        wearer.pieces.join('\n'),
      ]),
    );
  }
  if (report.named.length > 0) {
    headedTable(
      doc,
      'Named in corrections: to be looked at',
      [
        { title: 'Order', share: 24 },
        { title: 'Chart', share: 14 },
        { title: 'Of', share: 18 },
        { title: 'What it says', share: 44 },
      ],
      report.named.map(({ where, chartNumber, of, words }) => [where, chartNumber, of, words]),
      STYLES.subheading,
    );
  }
  if (report.others.length > 0) {
    heading(doc, 'Not worn', { style: STYLES.subheading });
    table(
      doc,
      [
        { title: 'Where', share: 2 },
        { title: 'What', share: 3 },
      ],
      report.others.map((other) => [other.where, other.pieces]),
    );
  }
  if (report.stays.length > 0) {
    heading(doc, 'Every socket that it was in', { style: STYLES.subheading });
    stays(doc, report.stays, report.timeZone);
  }
  endReport(doc, report.cuts, `${report.wearers.length} to call.`);
  return doc.finish();
}

/** The head of a report: what was asked, when, by whom. */
export function beginReport(frame: ReportFrame, title: string, asked: string): PaperDocument {
  const when = instantWords(frame.madeAt.toISOString(), frame.timeZone);
  const doc = makeDocument({
    paper: frame.paper,
    title,
    madeAt: frame.madeAt,
    footer: [frame.clinic, title, `made ${when} (${frame.timeZone})`],
  });
  doc.place(textBlock(doc, asked, STYLES.heading));
  lines(doc, [`Asked ${when} (${frame.timeZone}) by ${frame.askedBy}, ${frame.clinic}.`]);
  return doc;
}

function lines(doc: PaperDocument, texts: readonly string[]): void {
  for (const text of texts) doc.place(textBlock(doc, text));
}

/** A reader who turns to the end first learns there, too, whether it is the end. */
export function endReport(doc: PaperDocument, cuts: readonly string[], count: string): void {
  doc.yPt += 8;
  lines(doc, [count, ...cuts]);
}

function stays(doc: PaperDocument, rows: readonly StayLine[], timeZone: string): void {
  table(
    doc,
    [
      { title: 'Thing', share: 26 },
      { title: 'Socket', share: 22 },
      { title: 'Chart', share: 14 },
      { title: 'In', share: 20 },
      { title: 'Out', share: 24 },
    ],
    rows.map((stay) => [
      stay.thing,
      `${stay.socket} ${stay.position}`,
      stay.chartNumber,
      instantWords(stay.enteredAt, timeZone),
      stay.leftAt === null
        ? 'still there'
        : `${instantWords(stay.leftAt, timeZone)}, to ${stay.leftTo ?? 'nowhere'}`,
    ]),
  );
}

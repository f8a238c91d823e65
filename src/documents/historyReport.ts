/** The history of a record on paper: when, who, what, and the values before and after. */
import { instantWords } from './dates.ts';
import { STYLES, heading } from './page.ts';
import { table } from './table.ts';
import { beginReport, endReport, type ReportFrame } from './traceReport.ts';

export interface HistoryReport extends ReportFrame {
  readonly of: string;
  readonly entries: readonly {
    readonly seq: number;
    /** RFC 3339. */
    readonly at: string;
    readonly who: string;
    readonly what: string;
    /** A line for each change and each fact. */
    readonly lines: readonly string[];
  }[];
  /** What was cut, in words; empty where the report is whole. */
  readonly cuts: readonly string[];
}

/** The history report, the newest first. */
export function historyReport(report: HistoryReport): Promise<Buffer> {
  const doc = beginReport(report, 'History', `History of ${report.of}`);
  heading(doc, 'The newest first', { style: STYLES.subheading });
  table(
    doc,
    [
      { title: 'Record', share: 9, align: 'right' },
      { title: 'When', share: 19 },
      { title: 'Who', share: 18 },
      { title: 'What', share: 22 },
      { title: 'Before → after, and what was said', share: 42 },
    ],
    report.entries.map((entry) => [
      String(entry.seq),
      instantWords(entry.at, report.timeZone),
      entry.who,
      entry.what,
      entry.lines.join('; '),
    ]),
  );
  endReport(doc, report.cuts, `${report.entries.length} entries.`);
  return doc.finish();
}

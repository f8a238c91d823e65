import type { Api } from '../../http/api.ts';
import { recallCsv, traceCsv } from './csv.ts';
import { recallPaper, tracePaper } from './papers.ts';
import { quarantineLot, readRecall, recallForPaper } from './recall.ts';
import {
  LotQuarantined,
  QuarantineLot,
  RecallQuery,
  RecallView,
  TraceFileQuery,
  TraceQuery,
  TraceView,
} from './schemas.ts';
import { MOST_ROWS, readTrace, traceForPaper } from './service.ts';

const PDF = 'application/pdf';
const CSV = 'text/csv; charset=utf-8';

export function traceRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/trace',
      name: 'readTrace',
      tag: 'Trace',
      summary: 'What became of it, from beginning to end',
      description:
        'Asked by exactly one key. Forwards and backwards: a lock by its serial gives every socket and patient it was with, the joints torqued over it and the tools used; a patient gives all that went into the sockets, with what the bench worked out for the limb: measures, layups, resin. One timeline, sorted by time. The bench asks by things, the front desk by patient or order. Each answer is itself noted in the audit trail.',
      query: TraceQuery,
      answer: TraceView,
    },
    (act, { query }) => readTrace(act, query, 'json', query.limit),
  );
  api.document(
    {
      url: '/api/v1/trace.csv',
      name: 'readTraceCsv',
      tag: 'Trace',
      summary: 'The same as CSV',
      description: `RFC 4180, UTF-8, at most ${MOST_ROWS.csv} rows; a last row of kind "cut" says where there are more. Text that a spreadsheet would take for a formula has an apostrophe in front.`,
      query: TraceFileQuery,
      contentType: CSV,
    },
    (act, { query }) => readTrace(act, query, 'csv', MOST_ROWS.csv),
    (trace) => ({ bytes: traceCsv(trace), fileName: `trace-by-${trace.asked.by}.csv` }),
  );
  api.document(
    {
      url: '/api/v1/trace.pdf',
      name: 'readTracePdf',
      tag: 'Trace',
      summary: 'The same on paper',
      description: `At most ${MOST_ROWS.pdf} rows; the paper says so where it was cut.`,
      query: TraceFileQuery,
      contentType: PDF,
    },
    (act, { query }) => traceForPaper(act, query),
    async (record) => ({
      bytes: await tracePaper(record),
      fileName: `trace-by-${record.trace.asked.by}.pdf`,
    }),
  );
}

export function recallRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/recall',
      name: 'readRecall',
      tag: 'Trace',
      summary: 'Recall of a lot or batch',
      description:
        'Everybody who wears a piece of the lot now, every socket that a piece was in, and where the rest is. The counts are set against the receipts each time it is asked, and `reconciles` says whether they agree. Whoever calls patients sees name and phone; an auditor sees chart numbers and initials.',
      query: RecallQuery,
      answer: RecallView,
    },
    (act, { query }) => readRecall(act, query),
  );
  api.document(
    {
      url: '/api/v1/recall.csv',
      name: 'readRecallCsv',
      tag: 'Trace',
      summary: 'The recall as CSV',
      query: RecallQuery,
      contentType: CSV,
    },
    (act, { query }) => readRecall(act, query),
    (recall) => ({ bytes: recallCsv(recall), fileName: 'recall.csv' }),
  );
  api.document(
    {
      url: '/api/v1/recall.pdf',
      name: 'readRecallPdf',
      tag: 'Trace',
      summary: 'The recall list on paper',
      query: RecallQuery,
      contentType: PDF,
    },
    (act, { query }) => recallForPaper(act, query),
    async (record) => ({ bytes: await recallPaper(record), fileName: 'recall.pdf' }),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/recall/quarantine',
      name: 'quarantineLot',
      tag: 'Trace',
      summary: 'Take a lot out of use',
      description:
        'In one transaction: every piece in a bin, at receiving or on the bench goes to quarantine, and every socket in work or worn that holds one gets a finding. Safe to do again.',
      body: QuarantineLot,
      answer: LotQuarantined,
      status: 200,
    },
    (act, { body }) => quarantineLot(act, body),
  );
}

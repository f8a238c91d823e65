import type { Api } from '../../http/api.ts';
import { noteCall } from './calls.ts';
import { recallCsv, traceCsv } from './csv.ts';
import { findThings } from './find.ts';
import { jsonFile } from './jsonFile.ts';
import { recallPaper, tracePaper } from './papers.ts';
import { quarantineLot, readRecall, recallForPaper } from './recall.ts';
import {
  CallNoted,
  CallToNote,
  FindQuestion,
  FoundThings,
  LotQuarantined,
  QuarantineLot,
  RecallQuery,
  RecallView,
  TraceFileQuery,
  TraceQuery,
  TraceView,
} from './schemas.ts';
import { MOST_ROWS, readTrace, traceForFile } from './service.ts';

const PDF = 'application/pdf';
const CSV = 'text/csv; charset=utf-8';
const JSON_FILE = 'application/json';

export function traceRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/trace/find',
      name: 'findThings',
      tag: 'Trace',
      summary: 'What a typed or scanned text could be',
      description:
        'Patients, orders, sockets, serials, lots, batches, tools and people whose number or name it is, or begins; links of travellers and device labels are read. Only kinds that the asker’s role traces by.',
      body: FindQuestion,
      answer: FoundThings,
    },
    (act, { body }) => findThings(act, body.text),
  );
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
      url: '/api/v1/trace.json',
      name: 'readTraceJson',
      tag: 'Trace',
      summary: 'The same as a JSON file that says its own hash',
      description: `At most ${MOST_ROWS.file} rows; \`next\` says where there are more.`,
      query: TraceFileQuery,
      contentType: JSON_FILE,
    },
    (act, { query }) => traceForFile(act, query, 'file'),
    ({ trace, ...beside }) => ({
      bytes: jsonFile({ kind: 'trace', schema: TraceView, answer: trace, ...beside }),
      fileName: `trace-by-${trace.asked.by}.json`,
    }),
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
    (act, { query }) => traceForFile(act, query, 'pdf'),
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
      url: '/api/v1/recall.json',
      name: 'readRecallJson',
      tag: 'Trace',
      summary: 'The recall as a JSON file that says its own hash',
      query: RecallQuery,
      contentType: JSON_FILE,
    },
    (act, { query }) => recallForPaper(act, query),
    ({ recall, ...beside }) => ({
      bytes: jsonFile({ kind: 'recall', schema: RecallView, answer: recall, ...beside }),
      fileName: 'recall.json',
    }),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/recall/calls',
      name: 'noteRecallCall',
      tag: 'Trace',
      summary: 'Note a call to somebody who wears what is recalled',
      description:
        'Each call is a record of its own: who called, when, and whether the wearer was reached. The recall lists the calls beside each wearer, and how many are left.',
      body: CallToNote,
      answer: CallNoted,
    },
    (act, { body }) => noteCall(act, body),
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

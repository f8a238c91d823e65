import { historyReport } from '../../documents/historyReport.ts';
import type { Api } from '../../http/api.ts';
import { jsonFile } from '../trace/jsonFile.ts';
import { historyCsv } from './csv.ts';
import { HistoryFileQuery, HistoryOf, HistoryQuery, HistoryView } from './schemas.ts';
import { historyForFile, readHistory } from './service.ts';
import { entryLines, subjectWords } from './words.ts';

const URL = '/api/v1/history/:subjectKind/:subjectId';

export function historyRoutes(api: Api): void {
  api.read(
    {
      url: URL,
      name: 'readHistory',
      tag: 'History',
      summary: 'Who changed a record and when, with the values before',
      description:
        'The newest first. An order’s history has all that was done under it, a socket’s also its operations, joints and findings; what is written in versions (routes, calendar, layup rules, sizes of labels) is one history. Values that the reader’s role does not see are named as withheld. The first page is itself noted in the record.',
      params: HistoryOf,
      query: HistoryQuery,
      answer: HistoryView,
    },
    (act, { params, query }) => readHistory(act, params, query),
  );
  api.document(
    {
      url: `${URL}/file.csv`,
      name: 'readHistoryCsv',
      tag: 'History',
      summary: 'The same as CSV',
      description: 'RFC 4180, UTF-8; one line for each field that changed or was told.',
      params: HistoryOf,
      query: HistoryFileQuery,
      contentType: 'text/csv; charset=utf-8',
    },
    (act, { params, query }) => historyForFile(act, params, query.looks, 'csv'),
    ({ history }) => ({ bytes: historyCsv(history), fileName: 'history.csv' }),
  );
  api.document(
    {
      url: `${URL}/file.json`,
      name: 'readHistoryJson',
      tag: 'History',
      summary: 'The same as a JSON file that says its own hash',
      params: HistoryOf,
      query: HistoryFileQuery,
      contentType: 'application/json',
    },
    (act, { params, query }) => historyForFile(act, params, query.looks, 'json'),
    ({ history, ...beside }) => ({
      bytes: jsonFile({ kind: 'history', schema: HistoryView, answer: history, ...beside }),
      fileName: 'history.json',
    }),
  );
  api.document(
    {
      url: `${URL}/file.pdf`,
      name: 'readHistoryPdf',
      tag: 'History',
      summary: 'The same on paper',
      params: HistoryOf,
      query: HistoryFileQuery,
      contentType: 'application/pdf',
    },
    (act, { params, query }) => historyForFile(act, params, query.looks, 'pdf'),
    async ({ history, clinic, at, askedBy }) => ({
      bytes: await historyReport({
        paper: clinic.paper,
        clinic: clinic.name,
        timeZone: clinic.timeZone,
        madeAt: at,
        askedBy,
        of: subjectWords(history),
        entries: history.items.map((entry) => ({
          seq: entry.seq,
          at: entry.at.toISOString(),
          who: entry.by ?? 'the service',
          what: entry.words,
          lines: entryLines(entry, history.names),
        })),
        cuts:
          history.next === null
            ? []
            : [
                `Cut after ${history.items.length} entries: there are older ones; the CSV has more.`,
              ],
      }),
      fileName: 'history.pdf',
    }),
  );
}

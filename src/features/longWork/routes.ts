import { z } from 'zod';
import type { Api } from '../../http/api.ts';
import { patientRecordPaper } from '../../documents/patientRecord.ts';
import { idOf } from '../../http/fields.ts';
import { asRecord, PatientRecordFile } from '../rights/patientRecord.ts';
import { patientRecordForPaper, readPatientRecord } from './handedOut.ts';
import { KINDS } from './registry.ts';
import { AskLongWork, LongWorkPage, LongWorkQuery, LongWorkView } from './schemas.ts';
import {
  askLongWork,
  cancelLongWork,
  findLongWorks,
  openResult,
  readAsked,
  readLongWork,
  refuseOthers,
} from './service.ts';

const params = z.strictObject({ longWorkId: idOf('Long work') });

export function longWorkRoutes(api: Api): void {
  api.write(
    {
      method: 'POST',
      url: '/api/v1/long-works',
      name: 'askLongWork',
      tag: 'Long work',
      summary: 'Ask for long work',
      description:
        'The recall of many lots, for whoever may ask for one; the export of the record as one JSON value a line, for auditors and administrators; parts from a CSV file, for administrators. It waits for its turn and goes on where a process ends.',
      body: AskLongWork,
      answer: LongWorkView,
      status: 202,
      prepare: async ({ body, caller }) => {
        refuseOthers(body.kind, caller.roles);
        return readAsked(body);
      },
    },
    (act, { body, prepared }) => askLongWork(act, body, prepared),
  );
  api.read(
    {
      url: '/api/v1/long-works',
      name: 'listLongWorks',
      tag: 'Long work',
      summary: 'Long work, the newest first',
      description: "One's own; auditors and administrators see everybody's.",
      query: LongWorkQuery,
      answer: LongWorkPage,
    },
    (act, { query }) => findLongWorks(act, query),
  );
  api.read(
    {
      url: '/api/v1/long-works/:longWorkId',
      name: 'readLongWork',
      tag: 'Long work',
      summary: 'How far it is',
      params,
      answer: LongWorkView,
    },
    (act, { params: { longWorkId } }) => readLongWork(act, longWorkId),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/long-works/:longWorkId/cancel',
      name: 'cancelLongWork',
      tag: 'Long work',
      summary: 'Cancel it',
      description: 'What waits ends at once; what is under way ends before its next step.',
      params,
      answer: LongWorkView,
      status: 200,
    },
    (act, { params: { longWorkId } }) => cancelLongWork(act, longWorkId),
  );
  api.stream(
    {
      url: '/api/v1/long-works/:longWorkId/result',
      name: 'readLongWorkResult',
      tag: 'Long work',
      summary: 'What came of it, as a file',
      description:
        'CSV (RFC 4180) of a recall or an import; one JSON value a line of an export. Who does not call patients is given a recall without names and phone numbers.',
      params,
      contentTypes: [...new Set(Object.values(KINDS).map(({ contentType }) => contentType))],
    },
    ({ params: { longWorkId }, caller, at }) => openResult(api.store, caller, longWorkId, at),
  );
  api.read(
    {
      url: '/api/v1/long-works/:longWorkId/record.json',
      name: 'readPatientRecord',
      tag: 'Patient rights',
      summary: 'A patient’s whole record that was made ready, held against its schema',
      description:
        'The same document as the work’s result. Only who asked for it is given it; who asked, why, and to whom it is handed stands in the record.',
      params,
      answer: PatientRecordFile,
      alsoRefuses: [409],
    },
    (act, { params: { longWorkId } }) => readPatientRecord(act, longWorkId),
  );
  api.document(
    {
      url: '/api/v1/long-works/:longWorkId/record.pdf',
      name: 'readPatientRecordPaper',
      tag: 'Patient rights',
      summary: 'The same on paper, in plain words for the patient',
      params,
      contentType: 'application/pdf',
      alsoRefuses: [409],
    },
    (act, { params: { longWorkId } }) => patientRecordForPaper(act, longWorkId),
    async ({ file, paper }) => ({
      bytes: await patientRecordPaper(asRecord(file), paper),
      fileName: `record-${file.chartNumber}.pdf`,
    }),
  );
}

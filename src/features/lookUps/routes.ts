import type { Api } from '../../http/api.ts';
import { LooksParams, LooksQuery, PatientLooks } from './schemas.ts';
import { looksCsv, MOST_LINES, readLooks } from './service.ts';

export function lookUpRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/patients/:patientId/looks',
      name: 'listPatientLooks',
      tag: 'Patients',
      summary: 'Who looked this patient up, from where, and what was shown',
      description:
        'The newest first. The same person who is shown the same by the same route again within 15 minutes has looked once. Lists of the day’s work, the fittings book among them, are no look at anybody. Asking for it is a look itself.',
      params: LooksParams,
      query: LooksQuery,
      answer: PatientLooks,
    },
    (act, { params, query }) => readLooks(act, params.patientId, query),
  );
  api.document(
    {
      url: '/api/v1/patients/:patientId/looks/file.csv',
      name: 'savePatientLooks',
      tag: 'Patients',
      summary: 'The same as CSV, for the patient who asks for it (45 CFR 164.528)',
      params: LooksParams,
      contentType: 'text/csv; charset=utf-8',
    },
    (act, { params }) => readLooks(act, params.patientId, { limit: MOST_LINES }),
    (looks) => ({ bytes: looksCsv(looks), fileName: 'looks.csv' }),
  );
}

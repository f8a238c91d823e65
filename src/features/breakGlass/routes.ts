import type { Api } from '../../http/api.ts';
import {
  MoreAsked,
  MoreOpened,
  MoreParams,
  Openings,
  OpeningsQuery,
  OpeningView,
  ReviewGiven,
  ReviewParams,
} from './schemas.ts';
import { findOpenings, openMore, reviewOpening } from './service.ts';

export function breakGlassRoutes(api: Api): void {
  api.write(
    {
      method: 'POST',
      url: '/api/v1/patients/:patientId/more',
      name: 'openMore',
      tag: 'Patients',
      summary: 'Open fields of a patient that the role does not see, for a reason',
      description:
        'For half an hour, for who asks and this patient alone; it is reviewed afterwards by somebody else. Five within an hour are the most. The bench opens names, date of birth and telephone, an auditor the telephone; administrators open nothing.',
      params: MoreParams,
      body: MoreAsked,
      answer: MoreOpened,
    },
    (act, { params, body }) => openMore(act, params.patientId, body),
  );
  api.read(
    {
      url: '/api/v1/break-glass',
      name: 'listOpenings',
      tag: 'Patients',
      summary: 'What was opened, by whom and why, with its review',
      description: 'The newest first.',
      query: OpeningsQuery,
      answer: Openings,
    },
    (act, { query }) => findOpenings(act, query),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/break-glass/:breakGlassId/reviews',
      name: 'reviewOpening',
      tag: 'Patients',
      summary: 'Note whether an opening was in order',
      description: 'By anybody but who opened it; a later review stands for an earlier one.',
      params: ReviewParams,
      body: ReviewGiven,
      answer: OpeningView,
    },
    (act, { params, body }) => reviewOpening(act, params.breakGlassId, body),
  );
}

import type { Api } from '../../http/api.ts';
import { listHolds } from '../../store/rights.ts';
import { addDisagreement, decideRequest, makeCorrection, recordRequest } from './corrections.ts';
import { askErasure, confirmErasure, withdrawErasure } from './erasures.ts';
import { findDue, liftHold, placeHold } from './holds.ts';
import {
  Correctables,
  CorrectionList,
  CorrectionToMake,
  CorrectionView,
  Disagreement,
  DueQuery,
  DueRecords,
  ErasureParams,
  ErasureToAsk,
  ErasureToConfirm,
  ErasureView,
  HoldList,
  HoldParams,
  HoldToLift,
  HoldToPlace,
  HoldView,
  LotQuery,
  OrderParams,
  PartParams,
  PatientParams,
  RequestDecision,
  RequestParams,
  RequestToRecord,
  RequestView,
  RightsView,
} from './schemas.ts';
import {
  readCorrectables,
  readLotHolds,
  readOrderCorrections,
  readOrderHolds,
  readRights,
} from './service.ts';

const tag = 'Patient rights';

/** What is kept and for how long, what holds it, what a patient may ask of it, and what is erased. */
export function rightsRoutes(api: Api): void {
  retentionRoutes(api);
  correctionRoutes(api);
  erasureRoutes(api);
}

function retentionRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/retention/due',
      name: 'listRecordsDue',
      tag,
      summary: 'Patients’ records that fall due for review, the earliest first',
      description:
        'Their years are over, or end by the end of the year asked for; each with what the years run from, and whether it is held. Nothing is done to them: a person decides.',
      query: DueQuery,
      answer: DueRecords,
    },
    (act, { query }) => findDue(act, query),
  );
  api.read(
    {
      url: '/api/v1/legal-holds',
      name: 'listLegalHolds',
      tag,
      summary: 'Legal holds, those in force first',
      answer: HoldList,
    },
    async (act) => ({ items: await listHolds(act) }),
  );
  api.read(
    {
      url: '/api/v1/orders/:orderId/legal-holds',
      name: 'listOrderHolds',
      tag,
      summary: 'The legal holds in force that concern an order',
      description:
        'On the order, on its patient or another order of theirs, or on a lot of which a piece ever was in one of their sockets.',
      params: OrderParams,
      answer: HoldList,
    },
    (act, { params }) => readOrderHolds(act, params.orderId),
  );
  api.read(
    {
      url: '/api/v1/parts/:partId/legal-holds',
      name: 'listLotHolds',
      tag,
      summary: 'The legal holds in force on the lots of a part',
      params: PartParams,
      query: LotQuery,
      answer: HoldList,
    },
    (act, { params, query }) => readLotHolds(act, params.partId, query.lot),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/legal-holds',
      name: 'placeLegalHold',
      tag,
      summary: 'Place a legal hold on a patient, an order, or a lot of a part',
      description:
        'While it is in force nothing about its subject is erased; a hold on a lot holds every patient in whose sockets a piece of it ever was.',
      body: HoldToPlace,
      answer: HoldView,
    },
    (act, { body }) => placeHold(act, body),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/legal-holds/:legalHoldId/lift',
      name: 'liftLegalHold',
      tag,
      summary: 'Lift a legal hold',
      params: HoldParams,
      body: HoldToLift,
      answer: HoldView,
      status: 200,
    },
    (act, { params, body }) => liftHold(act, params.legalHoldId, body.why),
  );
  api.read(
    {
      url: '/api/v1/patients/:patientId/rights',
      name: 'readPatientRights',
      tag,
      summary: 'How long a patient’s record is kept, what holds it, and what was asked of it',
      params: PatientParams,
      answer: RightsView,
    },
    (act, { params }) => readRights(act, params.patientId),
  );
}

function correctionRoutes(api: Api): void {
  api.write(
    {
      method: 'POST',
      url: '/api/v1/patients/:patientId/correction-requests',
      name: 'recordCorrectionRequest',
      tag,
      summary: 'Record what a patient says is wrong in the record',
      params: PatientParams,
      body: RequestToRecord,
      answer: RequestView,
    },
    (act, { params, body }) => recordRequest(act, params.patientId, body),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/correction-requests/:correctionRequestId/decision',
      name: 'decideCorrectionRequest',
      tag,
      summary: 'Accept or deny it, with the reason',
      params: RequestParams,
      body: RequestDecision,
      answer: RequestView,
      status: 200,
    },
    (act, { params, body }) => decideRequest(act, params.correctionRequestId, body),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/correction-requests/:correctionRequestId/disagreement',
      name: 'addDisagreement',
      tag,
      summary: 'Append the patient’s statement to a request that was denied',
      params: RequestParams,
      body: Disagreement,
      answer: RequestView,
    },
    (act, { params, body }) => addDisagreement(act, params.correctionRequestId, body.statement),
  );
  api.read(
    {
      url: '/api/v1/patients/:patientId/correctable-records',
      name: 'listCorrectableRecords',
      tag,
      summary:
        'A patient’s records that are never rewritten and can be corrected, the newest first',
      params: PatientParams,
      answer: Correctables,
    },
    (act, { params }) => readCorrectables(act, params.patientId),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/patients/:patientId/corrections',
      name: 'makeCorrection',
      tag,
      summary: 'Correct a record by an addition, signed',
      description:
        'The record stays as it is, and with it whatever counts by it: a corrected torque reading confirms no joint.',
      params: PatientParams,
      body: CorrectionToMake,
      answer: CorrectionView,
      reauthenticates: true,
    },
    (act, { params, body, signer }) => makeCorrection(act, params.patientId, body, signer),
  );
  api.read(
    {
      url: '/api/v1/orders/:orderId/corrections',
      name: 'listOrderCorrections',
      tag,
      summary: 'Corrections of an order’s records, the newest first, and whether it is on hold',
      params: OrderParams,
      answer: CorrectionList,
    },
    (act, { params }) => readOrderCorrections(act, params.orderId),
  );
}

function erasureRoutes(api: Api): void {
  api.write(
    {
      method: 'POST',
      url: '/api/v1/patients/:patientId/erasures',
      name: 'askErasure',
      tag,
      summary: 'Ask that something of a patient be erased',
      description:
        'Nothing is erased yet: a second person, a prosthetist, confirms it by signature.',
      params: PatientParams,
      body: ErasureToAsk,
      answer: ErasureView,
    },
    (act, { params, body }) => askErasure(act, params.patientId, body),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/erasures/:erasureId/confirmation',
      name: 'confirmErasure',
      tag,
      summary: 'Confirm an erasure by signature, which carries it out',
      description:
        'The values go from the patient, from what was said at bookings, from under the seals of events, and from kept answers and results that name the patient. The seals stay, and the chain with them.',
      params: ErasureParams,
      body: ErasureToConfirm,
      answer: ErasureView,
      reauthenticates: true,
      status: 200,
    },
    (act, { params, signer }) => confirmErasure(act, params.erasureId, signer),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/erasures/:erasureId/withdrawal',
      name: 'withdrawErasure',
      tag,
      summary: 'Withdraw an erasure that nobody confirmed yet',
      params: ErasureParams,
      answer: ErasureView,
      status: 200,
    },
    (act, { params }) => withdrawErasure(act, params.erasureId),
  );
}

/** What a patient asks to be corrected, and corrections by addition (R10). */
import { v7 as uuidv7 } from 'uuid';
import type { Sight } from '../../access/minimumNecessary.ts';
import { sightOf } from '../../access/sight.ts';
import { sign, type Signer } from '../../access/signatures.ts';
import {
  decideBy,
  doneAgainFor,
  judgeAskedOn,
  judgeCorrecting,
  judgeDecision,
  judgeDisagreement,
} from '../../domain/corrections.ts';
import { reason } from '../../domain/reasons/index.ts';
import type { Act } from '../../store/act.ts';
import { todayAtClinic } from '../../store/clinic.ts';
import {
  correctionsOf,
  recorderOf,
  whoseRecord,
  type CorrectionRow,
} from '../../store/corrections.ts';
import { asStored } from '../../store/days.ts';
import { loadPatient } from '../../store/patients.ts';
import { found, refuseIfAny } from '../../store/refused.ts';
import { holdRequest, requestsOf, type RequestRow } from '../../store/rights.ts';
import { saidTo } from './corrected.ts';
import type { CorrectionToMake, RequestDecision, RequestToRecord } from './schemas.ts';

export const requestView = (row: RequestRow) => ({ ...row, decideBy: decideBy(row.askedOn) });
export const correctionView = (sight: Sight) => (row: CorrectionRow) => ({
  ...row,
  ...saidTo(sight, row),
  doneAgain: doneAgainFor(row.subjectKind),
});

/** @throws Refused 'not-found', 'day-in-future' */
export async function recordRequest(act: Act, patientId: string, asked: RequestToRecord) {
  const { chartNumber } = await loadPatient(act, patientId);
  refuseIfAny(judgeAskedOn(asked.askedOn, await todayAtClinic(act)));
  const id = uuidv7();
  await act.tx.correctionRequest.create({
    data: {
      clinicId: act.clinicId,
      id,
      patientId,
      askedOn: asStored(asked.askedOn),
      said: asked.said,
      recordedAt: act.at,
      recordedById: act.by.personId,
    },
  });
  act.record({
    kind: 'correction_request.recorded',
    subjectKind: 'correction_request',
    subjectId: id,
    data: { patientId, chartNumber, askedOn: asked.askedOn, said: asked.said },
  });
  return readRequest(act, id);
}

/** @throws Refused 'not-found', 'correction-decided-already', 'field-missing', 'denial-ground-of-nothing' */
export async function decideRequest(act: Act, id: string, then: RequestDecision) {
  const request = await readRequest(act, id);
  const { decision, denialGround } = then;
  refuseIfAny(judgeDecision(request.decision, { decision, ground: denialGround }));
  await act.tx.correctionRequest.update({
    where: { clinicId_id: { clinicId: act.clinicId, id } },
    data: {
      decision,
      denialGround: denialGround ?? null,
      decisionReason: then.reason,
      decidedAt: act.at,
      decidedById: act.by.personId,
    },
  });
  act.record({
    kind: decision === 'accepted' ? 'correction_request.accepted' : 'correction_request.denied',
    subjectKind: 'correction_request',
    subjectId: id,
    data: {
      patientId: request.patientId,
      denialGround: denialGround ?? null,
      decisionReason: then.reason,
    },
  });
  return readRequest(act, id);
}

/** Appends the patient's own words to a request that was denied (45 CFR 164.526(d)(2)). */
export async function addDisagreement(act: Act, id: string, statement: string) {
  const request = await readRequest(act, id);
  refuseIfAny(judgeDisagreement(request.decision, request.disagreement !== null));
  await act.tx.correctionRequest.update({
    where: { clinicId_id: { clinicId: act.clinicId, id } },
    data: {
      disagreement: statement,
      disagreementAt: act.at,
      disagreementById: act.by.personId,
    },
  });
  act.record({
    kind: 'correction_request.disagreed',
    subjectKind: 'correction_request',
    subjectId: id,
    data: { patientId: request.patientId, disagreement: statement },
  });
  return readRequest(act, id);
}

const readRequest = async (act: Act, id: string) =>
  requestView(
    found(await holdRequest(act, id), () => reason('not-found', { what: 'request', id })),
  );

/**
 * Corrects a record by another one, signed by who makes it. The record, and whatever counts by
 * it, stays as it is.
 * @throws Refused 'not-found', 'correction-of-nothing', 'correction-not-yours',
 *   'correction-request-not-accepted'
 */
export async function makeCorrection(
  act: Act,
  patientId: string,
  input: Omit<CorrectionToMake, 'signature'>,
  signer: Signer,
) {
  const { chartNumber } = await loadPatient(act, patientId);
  const { subjectKind, subjectId, requestId, wrong, right, why } = input;
  const whose = await whoseRecord(act, subjectKind, subjectId);
  if (whose?.patientId !== patientId) {
    refuseIfAny([reason('correction-of-nothing', { kind: subjectKind }, '/subjectId')]);
  }
  refuseIfAny(judgeCorrecting(await recorderOf(act, subjectKind, subjectId), act.by));
  if (requestId !== undefined) await againstRequest(act, patientId, requestId);
  const id = uuidv7();
  const orderId = whose?.orderId ?? null;
  const signature = await sign(act, {
    signer,
    meaning: 'correction_made',
    subjectKind: 'correction',
    subjectId: id,
    ...(orderId === null ? {} : { orderId }),
    content: {
      chartNumber,
      order: whose?.orderNumber ?? null,
      subjectKind,
      subjectId,
      wrong,
      right,
      why,
    },
  });
  await act.tx.correction.create({
    data: {
      clinicId: act.clinicId,
      id,
      patientId,
      orderId,
      subjectKind,
      subjectId,
      requestId: requestId ?? null,
      wrong,
      right,
      why,
      correctedAt: act.at,
      correctedById: act.by.personId,
      signatureId: signature.id,
    },
  });
  act.record({
    kind: 'record.corrected',
    subjectKind: 'correction',
    subjectId: id,
    ...(orderId === null ? {} : { orderId }),
    data: {
      patientId,
      of: subjectKind,
      ofId: subjectId,
      requestId: requestId ?? null,
      wrong,
      right,
      why,
    },
  });
  const made = (await correctionsOf(act, { patientId })).find((each) => each.id === id);
  const row = found(made, () => reason('not-found', { what: 'correction', id }));
  return correctionView(await sightOf(act))(row);
}

async function againstRequest(act: Act, patientId: string, requestId: string): Promise<void> {
  const request = (await requestsOf(act, patientId)).find(({ id }) => id === requestId);
  if (request?.decision !== 'accepted') {
    refuseIfAny([reason('correction-request-not-accepted', {}, '/requestId')]);
  }
}

/** All that concerns a patient's rights in the record, on one sheet. */
import { lookedUp } from '../../access/lookUp.ts';
import { sees } from '../../access/minimumNecessary.ts';
import { sightOf } from '../../access/sight.ts';
import type { Act } from '../../store/act.ts';
import { loadPart } from '../../store/catalogue.ts';
import { correctableRecords, correctionsOf } from '../../store/corrections.ts';
import { loadOrder } from '../../store/orders.ts';
import { loadPatient } from '../../store/patients.ts';
import { erasuresOf, holdsOn, holdsOnLots, requestsOf } from '../../store/rights.ts';
import { correctionView, requestView } from './corrections.ts';
import { readRetention } from './erasures.ts';
import type { RightsView } from './schemas.ts';

/** Records of one patient that are offered to be corrected. Common practice, no source. */
const MOST_RECORDS = 500;

export async function readRights(act: Act, patientId: string): Promise<RightsView> {
  const { chartNumber, birthDate } = await loadPatient(act, patientId);
  const sight = await sightOf(act);
  const told = sees(sight, 'rightsWords', patientId);
  // What the patient said tells who it is.
  const shown = told ? 'identity' : 'bench';
  await lookedUp(act, { route: 'readPatientRights', shown, patientIds: [patientId] });
  return {
    patientId,
    chartNumber,
    retention: await readRetention(act, patientId),
    identityErased: birthDate === null,
    holds: await holdsOn(act, patientId),
    requests: told ? (await requestsOf(act, patientId)).map(requestView) : [],
    corrections: told ? (await correctionsOf(act, { patientId })).map(correctionView(sight)) : [],
    erasures: await erasuresOf(act, patientId),
  };
}

/** The corrections of an order's records, and whether it is on hold: shown wherever the order is. */
export async function readOrderCorrections(act: Act, orderId: string) {
  const { patientId } = await loadOrder(act, orderId);
  return {
    items: (await correctionsOf(act, { orderId })).map(correctionView(await sightOf(act))),
    holds: (await holdsOn(act, patientId)).length,
  };
}

/** The holds in force that concern an order: on it, on its patient, on a lot of which a piece was in it. */
export async function readOrderHolds(act: Act, orderId: string) {
  const { patientId } = await loadOrder(act, orderId);
  return { items: await holdsOn(act, patientId) };
}

/** The holds in force on a part's lots. @param lot only on this one */
export async function readLotHolds(act: Act, partId: string, lot: string | undefined) {
  await loadPart(act, partId);
  return { items: await holdsOnLots(act, partId, lot ?? null) };
}

export async function readCorrectables(act: Act, patientId: string) {
  await loadPatient(act, patientId);
  return { items: await correctableRecords(act, patientId, MOST_RECORDS) };
}

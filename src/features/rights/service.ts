/** All that concerns a patient's rights in the record, on one sheet. */
import { lookedUp } from '../../access/lookUp.ts';
import { sees } from '../../access/minimumNecessary.ts';
import { sightOf } from '../../access/sight.ts';
import type { Act } from '../../store/act.ts';
import { loadOrder } from '../../store/orders.ts';
import { loadPatient } from '../../store/patients.ts';
import {
  correctableRecords,
  correctionsOf,
  erasuresOf,
  holdsOn,
  requestsOf,
} from '../../store/rights.ts';
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
    corrections: told ? (await correctionsOf(act, { patientId })).map(correctionView) : [],
    erasures: await erasuresOf(act, patientId),
  };
}

/** The corrections of an order's records, and whether it is on hold: shown wherever the order is. */
export async function readOrderCorrections(act: Act, orderId: string) {
  const { patientId } = await loadOrder(act, orderId);
  return {
    items: (await correctionsOf(act, { orderId })).map(correctionView),
    holds: (await holdsOn(act, patientId)).length,
  };
}

export async function readCorrectables(act: Act, patientId: string) {
  await loadPatient(act, patientId);
  return { items: await correctableRecords(act, patientId, MOST_RECORDS) };
}

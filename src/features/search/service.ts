import { lookedUp } from '../../access/lookUp.ts';
import { byRoles, mostShown, seesContact, seesIdentity } from '../../access/minimumNecessary.ts';
import { sightOf } from '../../access/sight.ts';
import { dayAt } from '../../domain/days.ts';
import { reason, type Reason } from '../../domain/reasons/index.ts';
import { readSearch, type Sought } from '../../domain/searchText.ts';
import type { Act } from '../../store/act.ts';
import { loadClinic } from '../../store/clinic.ts';
import type { PatientRecord } from '../../store/patients.ts';
import { ordersFound, ordersOfPatients, patientsFound } from '../../store/search.ts';
import { orderLine } from '../orders/view.ts';
import { patientView } from '../patients/view.ts';
import type { SearchAsked, SearchFound } from './schemas.ts';

type Item = SearchFound['items'][number];

/** Orders that are shown under a patient who was found. */
const ORDERS_SHOWN = 3;

/**
 * Finds patients and orders by what was typed so far, as far as the caller's roles see
 * them: the bench by chart number and order number only (45 CFR 164.502(b)).
 */
export async function search(act: Act, { text, most }: SearchAsked): Promise<SearchFound> {
  // Whom somebody was opened does not widen what may be searched by.
  const role = byRoles(act.by.roles);
  const sight = await sightOf(act);
  const clinic = await loadClinic(act.tx, act.clinicId);
  const today = dayAt(act.at, clinic.timeZone);
  const sought = readSearch(text, clinic.numberPrefix);
  const byNumber = await ordersFound(act, { ...sought, take: most });
  const patients = await patientsFound(act, {
    nameWords: seesIdentity(role) ? sought.nameWords : null,
    chartStart: sought.chartStart,
    phoneDigits: seesContact(role) ? sought.phoneDigits : null,
    take: most,
  });
  const theirs = await ordersOfPatients(
    act,
    patients.map(({ id }) => id),
  );
  const shown = new Set(byNumber.map(({ id }) => id));
  const items = [
    ...byNumber.map((order): Item => ({
      kind: 'order',
      by: 'order_number',
      order: orderLine(order, sight, today),
    })),
    ...patients.flatMap((patient): Item[] => [
      { kind: 'patient', by: foundBy(patient, sought), patient: patientView(sight, patient) },
      ...theirs
        .filter(({ id, patientId }) => patientId === patient.id && !shown.has(id))
        .slice(0, ORDERS_SHOWN)
        .map((order): Item => ({
          kind: 'order',
          by: 'patient',
          order: orderLine(order, sight, today),
        })),
    ]),
  ];
  const hidden =
    sought.nameWords !== null && !seesIdentity(role)
      ? [reason('search-beyond-role', { fields: ['the name'] })]
      : [];
  await lookedUp(act, {
    route: 'search',
    shown: mostShown(role),
    patientIds: items.map((item) =>
      item.kind === 'patient' ? item.patient.id : item.order.patient.id,
    ),
  });
  const notes: readonly Reason[] = [...sought.mistyped, ...hidden];
  return { items, notes: [...notes] };
}

function foundBy(patient: PatientRecord, { nameWords, chartStart }: Sought): Item['by'] {
  if (nameWords !== null) return 'name';
  const isChart = patient.chartNumber.toUpperCase().startsWith(String(chartStart).toUpperCase());
  return isChart ? 'chart_number' : 'phone';
}

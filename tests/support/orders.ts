/** Patients and orders as the desk enters them, over the API. */
import type { TestClinic } from './api.ts';

let entered = 0;

/** Names far enough apart that no two look alike. */
const NAMES = ['Quendlin', 'Ostrovarsky', 'Bellweather', 'Vandermolen', 'Iturrioz', 'Halloumis'];

/** What the desk would send for a patient unlike any before. */
export function patientToAdd(given: object = {}): Record<string, unknown> {
  entered += 1;
  const day = String((entered % 27) + 1).padStart(2, '0');
  const month = String((entered % 12) + 1).padStart(2, '0');
  return {
    chartNumber: `CH-${String(entered).padStart(4, '0')}`,
    givenName: `Person${entered}`,
    familyName: NAMES[entered % NAMES.length],
    birthDate: `${1940 + (entered % 60)}-${month}-${day}`,
    bodyMass: { massKg: 82, measuredOn: '2026-02-20' },
    ...given,
  };
}

export async function addPatient(clinic: TestClinic, given: object = {}) {
  const { status, body } = await clinic
    .as('front_desk')
    .post('/api/v1/patients', patientToAdd(given));
  if (status !== 201) throw new Error(`No patient: ${JSON.stringify(body)}`);
  return body as { id: string; chartNumber: string; version: number };
}

export async function openOrder(clinic: TestClinic, given: object = {}) {
  const patientId = 'patientId' in given ? given.patientId : (await addPatient(clinic)).id;
  const { status, body } = await clinic.as('front_desk').post('/api/v1/orders', {
    patientId,
    side: 'left',
    level: 'trans_tibial',
    suspension: 'pin_lock',
    functionalLevel: 'K3',
    ...given,
  });
  if (status !== 201) throw new Error(`No order: ${JSON.stringify(body)}`);
  return body as { id: string; number: string; version: number; stage: string };
}

/** A table of measures of a trans-tibial limb, in millimetres. */
export const MEASURES = [
  { heightMm: 20, circumferenceMm: 245 },
  { heightMm: 60, circumferenceMm: 282 },
  { heightMm: 100, circumferenceMm: 310 },
  { heightMm: 140, circumferenceMm: 332 },
];

export const castToTake = (given: object = {}) => ({
  method: 'plaster',
  takenOn: '2026-03-01',
  limbLengthMm: 150,
  measures: MEASURES,
  ...given,
});

export async function takeCast(clinic: TestClinic, orderId: string, given: object = {}) {
  const { status, body } = await clinic
    .as('prosthetist')
    .post(`/api/v1/orders/${orderId}/casts`, castToTake(given));
  if (status !== 201) throw new Error(`No cast: ${JSON.stringify(body)}`);
  return body as { id: string; number: number; state: string };
}

/** An order whose cast was accepted: at check fitting. */
export async function orderAtCheckFitting(clinic: TestClinic) {
  const order = await openOrder(clinic);
  const cast = await takeCast(clinic, order.id);
  await clinic.as('prosthetist').post(`/api/v1/casts/${cast.id}/accept`).expect(200);
  return { ...order, castId: cast.id };
}

/** Looking a patient up is noted: who, what of the patient, from where; and who may read that (45 CFR 164.528). */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { testClinic, type Client, type TestClinic } from '../support/api.ts';
import { ok, openedOrder, stockedShop } from '../support/job.ts';
import { readCsv } from '../support/readCsv.ts';

interface Looks {
  readonly items: readonly {
    readonly by: { readonly printedName: string };
    readonly route: string;
    readonly shown: string;
    readonly order: { readonly number: string } | null;
  }[];
  readonly next: string | null;
}

let clinic: TestClinic;
let patientId: string;
let orderId: string;
let number: string;
let chartNumber: string;
let url: string;

beforeAll(async () => {
  clinic = await testClinic();
  ({ patientId, orderId, number, chartNumber } = await openedOrder(await stockedShop(clinic)));
  url = `/api/v1/patients/${patientId}`;
});
afterAll(() => clinic.close());

const looks = () => ok<Looks>(clinic.as('auditor').get(`${url}/looks`));
/** Without the asking for the list itself. */
const seen = async () =>
  (await looks()).items
    .filter(({ route }) => route !== 'listPatientLooks')
    .map(({ by, route, shown }) => `${by.printedName.split(' ')[0] ?? ''} ${route} ${shown}`);
const events = () =>
  clinic.store.raw<{ kind: string; subject_id: string; data: Record<string, unknown> }>(
    `select kind, subject_id, data from event where kind in ('patient.read', 'patients.read') order by seq`,
  );

describe('looking a patient up', () => {
  test('is one event with who, what and from where, however often the page reads itself again', async () => {
    const before = (await events()).length;
    for (let i = 0; i < 3; i += 1) await ok(clinic.as('front_desk').get(url));
    const [noted, ...more] = (await events()).slice(before);
    expect(more).toEqual([]);
    expect(noted).toMatchObject({
      kind: 'patient.read',
      subject_id: patientId,
      data: { route: 'readPatient', shown: 'contact' },
    });
    clinic.clock.pass(16);
    await ok(clinic.as('front_desk').get(url));
    expect((await events()).length).toBe(before + 2);
    expect(await seen()).toEqual(['Fanni readPatient contact', 'Fanni readPatient contact']);
  });

  test('by the bench shows less, and is told as less', async () => {
    await ok(clinic.as('technician').get(url));
    expect((await seen())[0]).toBe('Tamás readPatient bench');
    // The bench sees no more of an order's patient than the traveller says.
    const before = (await events()).length;
    await ok(clinic.as('technician').get(`/api/v1/orders/${orderId}`));
    expect((await events()).length).toBe(before);
  });

  test('an order that says who it is for is a look, with the order; so is its number', async () => {
    await ok(clinic.as('prosthetist').get(`/api/v1/orders/${orderId}`));
    await ok(clinic.as('prosthetist').get(`/api/v1/orders/by-number/${number}`));
    const { items } = await looks();
    const told = items
      .filter(({ by }) => by.printedName.startsWith('Paula'))
      .map(({ route, shown, order }) => [route, shown, order?.number]);
    expect(told).toEqual([
      ['readOrderByNumber', 'identity', number],
      ['readOrder', 'identity', number],
    ]);
  });

  test('a search names in one event all whom it showed, and those alone who were not shown before', async () => {
    const typing = async (desk: Client, text: string) => ok(desk.post('/api/v1/search', { text }));
    const before = (await events()).length;
    const desk = clinic.as('front_desk');
    await typing(desk, 'Nom');
    await typing(desk, 'Nome');
    const [noted, ...more] = (await events()).slice(before);
    expect(more).toEqual([]);
    expect(noted).toMatchObject({
      kind: 'patient.read',
      subject_id: patientId,
      data: { route: 'search', shown: 'contact' },
    });
    const { id } = await ok<{ id: string }>(
      desk.post('/api/v1/patients', {
        chartNumber: 'CH-7001',
        givenName: 'Nomentana',
        familyName: 'Via',
        birthDate: '1971-04-21',
        bodyMass: { massKg: 70, measuredOn: '2026-03-01' },
      }),
    );
    await typing(desk, 'Nomen');
    expect((await events()).slice(before + 1)).toMatchObject([
      { kind: 'patients.read', data: { route: 'search', shown: 'contact', patientIds: [id] } },
    ]);
  });

  test('the day’s list is no look at anybody; the orders of one patient are', async () => {
    const before = (await events()).length;
    await ok(clinic.as('front_desk').get('/api/v1/orders'));
    await ok(clinic.as('front_desk').get('/api/v1/appointments'));
    expect((await events()).length).toBe(before);
    await ok(clinic.as('front_desk').get(`/api/v1/orders?patientId=${patientId}`));
    expect((await events()).length).toBe(before + 1);
  });

  test('a refused read notes nothing, and of another clinic there is nothing to look at', async () => {
    const other = await clinic.another('TH');
    const before = (await events()).length;
    await other.as('front_desk').get(url).expect(404);
    await other.as('auditor').get(`${url}/looks`).expect(404);
    expect((await events()).length).toBe(before);
  });

  test('is read by who oversees, page by page and as a file for the patient who asks', async () => {
    for (const role of ['front_desk', 'technician', 'prosthetist'] as const) {
      await clinic.as(role).get(`${url}/looks`).expect(403);
      await clinic.as(role).get(`${url}/looks/file.csv`).expect(403);
    }
    const first = await ok<Looks>(clinic.as('administrator').get(`${url}/looks?limit=2`));
    const rest = await ok<Looks>(
      clinic.as('administrator').get(`${url}/looks?limit=200&after=${first.next ?? ''}`),
    );
    const { text } = await clinic.as('auditor').get(`${url}/looks/file.csv`).buffer(true);
    const rows = readCsv(text);
    // The administrator asked meanwhile; that is in it too.
    expect(rows.length).toBeGreaterThanOrEqual(first.items.length + rest.items.length);
    expect(text).toContain(`${chartNumber},`);
    expect(text).toContain('page of an order');
  });

  test('rows of it are kept as they were written', async () => {
    for (const sql of [
      'delete from patient_look',
      `update patient_look set shown = 'bench'`,
      'truncate patient_look cascade',
    ]) {
      await expect(clinic.store.raw(sql)).rejects.toMatchObject({ code: 'R1001' });
    }
  });
});

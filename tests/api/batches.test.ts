import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { pick } from '../support/answers.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import {
  acceptedCast,
  doOperations,
  makeSocket,
  openedOrder,
  stockedShop,
  type Shop,
} from '../support/job.ts';

let clinic: TestClinic;
beforeAll(async () => {
  clinic = await testClinic();
});
afterAll(() => clinic.close());

let made = 0;
const batchToAdd = (given: object = {}) => ({
  kind: 'resin',
  name: 'Laminating resin, medium',
  lot: `R-${(made += 1)}`,
  receivedOn: '2026-02-01',
  expiresOn: '2026-12-31',
  quantity: 5000,
  unit: 'g',
  ...given,
});
const addBatch = async (given: object = {}) => {
  const asked = batchToAdd(given);
  const { body } = await clinic.as('technician').post('/api/v1/batches', asked).expect(201);
  return body as { id: string; lot: string };
};
const batch = (id: string) => `/api/v1/batches/${id}`;

describe('batches', () => {
  test('a technician enters a batch as it came, and all of it is left', async () => {
    const { body } = await clinic
      .as('technician')
      .post('/api/v1/batches', batchToAdd({ lot: '  X 7 ' }))
      .expect(201);
    expect(body).toMatchObject({
      lot: 'X 7',
      left: 5000,
      expired: false,
      quarantined: false,
      openedOn: null,
    });
  });

  test('a lot is entered once for its kind', async () => {
    const { lot } = await addBatch();
    const { status, body } = await clinic
      .as('technician')
      .post('/api/v1/batches', batchToAdd({ lot }));
    expect(status).toBe(409);
    expect(body.code).toBe('lot-taken');
    await addBatch({ lot, kind: 'hardener' });
  });

  test('the same request sent twice enters one batch', async () => {
    const key = randomUUID();
    const asked = batchToAdd();
    const first = await clinic.as('technician').post('/api/v1/batches', asked, { key });
    const second = await clinic.as('technician').post('/api/v1/batches', asked, { key });
    expect(second.body.id).toBe(first.body.id);
    expect(second.status).toBe(201);
  });

  test.each([
    ['received tomorrow', { receivedOn: '2026-03-03' }, 'day-in-future'],
    ['expired before it came', { expiresOn: '2026-01-31' }, 'day-order-wrong'],
    ['nothing of it', { quantity: 0 }, 'request-invalid'],
    ['in pounds', { unit: 'lb' }, 'request-invalid'],
  ])('%s: refused', async (_title, given, code) => {
    const { status, body } = await clinic
      .as('technician')
      .post('/api/v1/batches', batchToAdd(given));
    expect(status).toBe(400);
    expect(body.code).toBe(code);
  });

  test('the desk enters no batches', async () => {
    await clinic.as('front_desk').post('/api/v1/batches', batchToAdd()).expect(403);
  });

  test('it is opened once, not before it came and not in quarantine', async () => {
    const bench = clinic.as('technician');
    const { id } = await addBatch();
    const early = await bench.post(`${batch(id)}/open`, { openedOn: '2026-01-31' });
    expect(early.body.code).toBe('day-order-wrong');
    const opened = await bench.post(`${batch(id)}/open`, {}).expect(200);
    expect(opened.body).toMatchObject({ openedOn: '2026-03-02', version: 2 });
    const twice = await bench.post(`${batch(id)}/open`, {});
    expect(twice.body.code).toBe('batch-already-open');
    const { id: bad } = await addBatch();
    await bench.post(`${batch(bad)}/quarantine`, { reason: 'Leaking can.' }).expect(200);
    const refused = await bench.post(`${batch(bad)}/open`, {});
    expect(refused.body.code).toBe('batch-quarantined');
  });

  test('the list of what may be used leaves out expired and quarantined ones', async () => {
    const other = await clinic.another('BQ');
    const bench = other.as('technician');
    const add = async (given: object) =>
      (await bench.post('/api/v1/batches', batchToAdd(given)).expect(201)).body.id as string;
    const good = await add({});
    const endless = await add({ expiresOn: undefined });
    const lastDay = await add({ expiresOn: '2026-03-02' });
    await add({ expiresOn: '2026-03-01' });
    const bad = await add({});
    await bench.post(`${batch(bad)}/quarantine`, { reason: 'Recalled by its maker.' }).expect(200);
    const { body } = await bench.get('/api/v1/batches?usable=true&kind=resin').expect(200);
    expect(pick(body.items, 'id')).toEqual([lastDay, endless, good]);
    const all = await bench.get('/api/v1/batches?limit=3');
    const rest = await bench.get(`/api/v1/batches?limit=3&after=${all.body.next}`);
    expect([...pick(all.body.items, 'id'), ...pick(rest.body.items, 'id')]).toHaveLength(5);
  });
});

describe('a batch in use', () => {
  let shop: Shop;
  beforeAll(async () => {
    shop = await stockedShop(clinic);
  });

  test('says in which socket it went and what is left, and quarantine names that socket', async () => {
    const { orderId } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const socket = await makeSocket(shop, orderId, { kind: 'check', sheetThicknessMm: 12 });
    await doOperations(shop, socket.id, ['prepare_model', 'thermoform']);
    const sheet = String(shop.batches['sheet']);
    const { body } = await clinic.as('auditor').get(batch(sheet)).expect(200);
    expect(body.uses).toMatchObject([
      { socketNumber: socket.number, usedFor: 'operation', usedBy: 'Tamás Bench of KL' },
    ]);
    const { body: quarantined } = await clinic
      .as('prosthetist')
      .post(`${batch(sheet)}/quarantine`, { reason: 'Sheets crack.' })
      .expect(200);
    expect(quarantined).toMatchObject({ quarantined: true, quarantineReason: 'Sheets crack.' });
    expect(quarantined.uses).toHaveLength(1);
    const twice = await clinic
      .as('prosthetist')
      .post(`${batch(sheet)}/quarantine`, { reason: 'Again.' });
    expect(twice.body.code).toBe('batch-already-quarantined');
  });
});

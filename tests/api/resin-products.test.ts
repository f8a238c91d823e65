/** Resin products in the catalogue (C3), the batches that are of one, and what a batch cost (C7). */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { pick } from '../support/answers.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import { RESIN_PRODUCT } from '../support/shop.ts';

let clinic: TestClinic;
beforeAll(async () => {
  clinic = await testClinic();
});
afterAll(() => clinic.close());

const admin = () => clinic.as('administrator');
const bench = () => clinic.as('technician');

let made = 0;
const productToAdd = (given: object = {}) => ({
  ...RESIN_PRODUCT,
  name: `Epoxy ${(made += 1)}`,
  ...given,
});
const addProduct = async (given: object = {}) => {
  const { body } = await admin().post('/api/v1/resin-products', productToAdd(given)).expect(201);
  return body as { id: string; name: string };
};
const product = (id: string) => `/api/v1/resin-products/${id}`;

describe('a resin product from its sheet', () => {
  test('an administrator enters it with document and revision; everybody reads it', async () => {
    const entry = productToAdd();
    const { body, headers } = await admin().post('/api/v1/resin-products', entry).expect(201);
    expect(body).toMatchObject({ ...entry, active: true, version: 1 });
    const read = await clinic.as('auditor').get(product(body.id)).expect(200);
    expect(read.body).toEqual(body);
    expect(read.headers['etag']).toBe(headers['etag']);
    await bench().post('/api/v1/resin-products', productToAdd()).expect(403);
    const unnamed = await admin().post('/api/v1/resin-products', productToAdd({ document: '' }));
    expect(unnamed.body.code).toBe('request-invalid');
  });

  test('a name is used once', async () => {
    const { name, id } = await addProduct();
    const twice = await admin().post('/api/v1/resin-products', productToAdd({ name }));
    expect(twice.status).toBe(409);
    expect(twice.body.code).toBe('resin-product-name-taken');
    const other = await addProduct();
    const renamed = await admin().patch(product(other.id), { name }, '"1"');
    expect(renamed.body.code).toBe('resin-product-name-taken');
    expect((await admin().get(product(id))).body.name).toBe(name);
  });

  test('figures outside their ranges are all told at once, with what is usual', async () => {
    // 77 °F as °C, and the pot life in seconds.
    const slips = { potLifeTemperatureC: 77, potLifeMinutes: 1800, partsHardener: 0 };
    const { status, body } = await admin().post('/api/v1/resin-products', productToAdd(slips));
    expect(status).toBe(400);
    expect(body.code).toBe('value-out-of-range');
    expect(pick(body.errors, 'pointer').toSorted()).toEqual([
      '/partsHardener',
      '/potLifeMinutes',
      '/potLifeTemperatureC',
    ]);
    expect(JSON.stringify(body)).toContain('77 °F is 25 °C');
    await admin()
      .post('/api/v1/resin-products', productToAdd({ chemistry: 'gypsum' }))
      .expect(400);
  });

  test('it is changed from the version that was read, and withdrawn; its chemistry stays', async () => {
    const { id } = await addProduct();
    const change = { revision: 'B', ratioTolerancePercent: 3 };
    const { body } = await admin().patch(product(id), change, '"1"').expect(200);
    expect(body).toMatchObject({ ...change, version: 2 });
    const stale = await admin().patch(product(id), { revision: 'C' }, '"1"');
    expect(stale.status).toBe(412);
    expect(stale.body.code).toBe('version-is-stale');
    const far = await admin().patch(product(id), { cupLimitG: 6000 }, '"2"');
    expect(far.body.code).toBe('value-out-of-range');
    await admin().patch(product(id), { chemistry: 'acrylic' }, '"2"').expect(400);
    await bench().patch(product(id), { active: false }, '"2"').expect(403);
    await admin().patch(product(id), { active: false }, '"2"').expect(200);
    const inUse = await bench().get('/api/v1/resin-products?active=true&limit=200');
    expect(pick(inUse.body.items, 'id')).not.toContain(id);
    const [event] = await clinic.store.raw<{ data: unknown }>(
      `select data from event where subject_id = $1 and kind = 'resin_product.changed' order by seq limit 1`,
      [id],
    );
    expect(event?.data).toEqual({
      before: { revision: 'A', ratioTolerancePercent: 2 },
      after: change,
    });
  });

  test('the list goes by name, page by page', async () => {
    const other = await clinic.another('LS');
    for (const name of ['Gamma', 'Alpha', 'Beta']) {
      const entry = productToAdd({ name });
      await other.as('administrator').post('/api/v1/resin-products', entry).expect(201);
    }
    const first = await other.as('technician').get('/api/v1/resin-products?limit=2');
    expect(pick(first.body.items, 'name')).toEqual(['Alpha', 'Beta']);
    const rest = await other
      .as('technician')
      .get(`/api/v1/resin-products?limit=2&after=${first.body.next}`);
    expect(pick(rest.body.items, 'name')).toEqual(['Gamma']);
    expect(rest.body.next).toBeNull();
  });
});

describe('a batch of a product', () => {
  const batchToAdd = (given: object = {}) => ({
    kind: 'resin',
    name: 'Resin, can',
    lot: `RP-${(made += 1)}`,
    receivedOn: '2026-02-01',
    quantity: 5000,
    unit: 'g',
    ...given,
  });
  const enter = (given: object) => bench().post('/api/v1/batches', batchToAdd(given));

  test('resin and hardener name the product that they belong to', async () => {
    const { id: resinProductId, name } = await addProduct();
    const { body } = await enter({ resinProductId }).expect(201);
    expect(body).toMatchObject({ resinProductId, resinProduct: name, priceMinor: null });
    await enter({ kind: 'hardener', resinProductId }).expect(201);
    const { body: without } = await enter({}).expect(201);
    expect(without).toMatchObject({ resinProductId: null, resinProduct: null });
  });

  test('a product that is not there or withdrawn, a threadlocker of a product, a product by volume: refused', async () => {
    const nobodys = await enter({ resinProductId: '01890000-0000-7000-8000-000000000000' });
    expect(nobodys.body).toMatchObject({ code: 'not-found' });
    const { id } = await addProduct();
    await admin().patch(product(id), { active: false }, '"1"').expect(200);
    const withdrawn = await enter({ resinProductId: id });
    expect(withdrawn.body.code).toBe('resin-product-withdrawn');
    const { id: resinProductId } = await addProduct();
    for (const [given, pointer] of [
      [{ kind: 'threadlocker', resinProductId }, '/resinProductId'],
      [{ unit: 'mL', resinProductId }, '/unit'],
    ] as const) {
      const { status, body } = await enter(given);
      expect(status).toBe(400);
      expect(pick(body.errors, 'pointer')).toEqual([pointer]);
    }
  });

  test('its price is in whole minor units of the clinic’s currency, which must be set', async () => {
    const { body: before } = await enter({}).expect(201);
    const address = `/api/v1/batches/${before.id}`;
    const unset = await bench().patch(address, { priceMinor: 4900 }, '"1"');
    expect(unset.body.code).toBe('prices-without-currency');
    expect((await enter({ priceMinor: 4900 })).body.code).toBe('prices-without-currency');
    const { headers } = await admin().get('/api/v1/clinic');
    await admin().patch('/api/v1/clinic', { currency: 'EUR' }, String(headers['etag'])).expect(200);
    // The bench may enter what the invoice says; what things cost is shown to others only.
    const { body } = await bench().patch(address, { priceMinor: 4900 }, '"1"').expect(200);
    expect(body).toMatchObject({ priceMinor: null, version: 2 });
    expect((await admin().get(address)).body).toMatchObject({ priceMinor: 4900 });
    const stale = await admin().patch(address, { priceMinor: 5900 }, '"1"');
    expect(stale.body.code).toBe('version-is-stale');
    await admin().patch(address, { priceMinor: 59.5 }, '"2"').expect(400);
    const { body: back } = await admin().patch(address, { priceMinor: null }, '"2"').expect(200);
    expect(back).toMatchObject({ priceMinor: null, version: 3 });
    await clinic.as('prosthetist').patch(address, { priceMinor: 1 }, '"3"').expect(403);
    const { body: priced } = await enter({ priceMinor: 12_950 }).expect(201);
    const { body: seen } = await admin().get(`/api/v1/batches/${priced.id}`);
    expect(seen.priceMinor).toBe(12_950);
  });
});

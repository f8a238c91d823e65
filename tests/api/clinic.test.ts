import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { foundClinic } from '../../src/store/clinics.ts';
import { testClinic, type TestClinic } from '../support/api.ts';

let clinic: TestClinic;
beforeAll(async () => {
  clinic = await testClinic();
});
afterAll(() => clinic.close());

const admin = () => clinic.as('administrator');

describe('the clinic', () => {
  test('an administrator sets the alignment tolerance; all read it', async () => {
    const { headers } = await admin().get('/api/v1/clinic').expect(200);
    const change = { alignmentToleranceDeg: 1.5, timeZone: 'Europe/Zurich' };
    const etag = headers['etag'] ?? '';
    await admin().patch('/api/v1/clinic', change, etag).expect(200);
    const { body } = await clinic.as('technician').get('/api/v1/clinic').expect(200);
    expect(body).toMatchObject({ ...change, numberPrefix: 'KL', version: 2 });
    const stale = await admin().patch('/api/v1/clinic', { paper: 'Letter' }, etag);
    expect(stale.status).toBe(412);
    await clinic.as('prosthetist').patch('/api/v1/clinic', { paper: 'Letter' }, '"2"').expect(403);
  });

  test('it sets what the bench works out from; a slip of the unit is answered with what is usual', async () => {
    const { headers } = await admin().get('/api/v1/clinic').expect(200);
    const etag = headers['etag'] ?? '';
    const change = { plyMeans: 'mL', perPly: 25, labourRatePerHourMinor: 6500, currency: 'EUR' };
    const changed = await admin().patch('/api/v1/clinic', change, etag).expect(200);
    expect(changed.body).toMatchObject(change);
    const now = changed.headers['etag'] ?? '';
    // 80 per cent typed as 80, and 25 mL a ply left where per cent are meant.
    const slips = { wantedChance: 80, plyMeans: 'percent' };
    const { status, body } = await admin().patch('/api/v1/clinic', slips, now);
    expect(status).toBe(400);
    expect(body.errors).toMatchObject([
      { code: 'value-out-of-range', pointer: '/perPly' },
      { code: 'value-out-of-range', pointer: '/wantedChance' },
    ]);
    const moneyless = await admin().patch('/api/v1/clinic', { currency: null }, now);
    expect(moneyless.body.code).toBe('prices-without-currency');
  });

  test.each([
    ['a currency of no country', { currency: 'ZZZ' }],
    ['six years of retention', { retentionYears: 6 }],
    ['a zone of no map', { timeZone: 'Europe/Atlantis' }],
    ['a zone that is India’s, Ireland’s or Israel’s', { timeZone: 'IST' }],
    ['a zone without its summer', { timeZone: 'EST' }],
    ['an offset, which keeps no summer time', { timeZone: '+01:00' }],
    ['other letters for numbers given out', { numberPrefix: 'XX' }],
  ])('%s is refused', async (_title, change) => {
    const { status, body } = await admin().patch('/api/v1/clinic', change, '"2"');
    expect(status).toBe(400);
    expect(body.code).toBe('request-invalid');
  });

  test('a zone that Node knows and the database does not is refused, when changed and when founded', async () => {
    const { headers } = await admin().get('/api/v1/clinic').expect(200);
    const zone = { timeZone: 'US/Pacific-New' };
    const { status, body } = await admin().patch('/api/v1/clinic', zone, headers['etag'] ?? '');
    expect([status, body.code]).toEqual([400, 'time-zone-unknown']);
    const founded = (timeZone: string, numberPrefix: string) =>
      foundClinic(
        clinic.store,
        { name: 'New', numberPrefix, timeZone, paper: 'A4' },
        [],
        new Date(),
      );
    await expect(founded('US/Pacific-New', 'PN')).rejects.toMatchObject({
      reasons: [{ code: 'time-zone-unknown' }],
    });
    await expect(founded('IST', 'IS')).rejects.toMatchObject({
      reasons: [{ code: 'time-zone-unknown' }],
    });
    await founded('America/Argentina/Ushuaia', 'US');
  });

  test('the currency stays while money is kept in it; a rate is sent along with the new one', async () => {
    const own = await clinic.another('CU');
    const keys = own.as('administrator');
    const tag = async () => String((await keys.get('/api/v1/clinic')).headers['etag']);
    const change = async (body: object) => keys.patch('/api/v1/clinic', body, await tag());
    await change({ currency: 'EUR', labourRatePerHourMinor: 6500 });
    const alone = await change({ currency: 'USD' });
    expect(alone.body).toMatchObject({
      code: 'currency-in-use',
      detail: expect.stringContaining('the labour rate'),
    });
    expect(alone.status).toBe(409);
    const both = await change({ currency: 'USD', labourRatePerHourMinor: 7000 });
    expect(both.body).toMatchObject({ currency: 'USD', labourRatePerHourMinor: 7000 });
    const bought = await own.as('technician').post('/api/v1/batches', {
      kind: 'resin',
      name: 'Laminating resin',
      lot: 'R 1',
      receivedOn: '2026-02-01',
      quantity: 5000,
      unit: 'g',
      priceMinor: 12950,
    });
    expect(bought.status).toBe(201);
    for (const body of [{ currency: 'EUR', labourRatePerHourMinor: 6500 }, { currency: null }]) {
      const { status, body: said } = await change({ labourRatePerHourMinor: null, ...body });
      expect([status, said.code]).toEqual([409, 'currency-in-use']);
      expect(said.detail).toContain('prices of batches (1)');
    }
    const batch = `/api/v1/batches/${bought.body.id}`;
    await keys.patch(batch, { priceMinor: null }, '"1"').expect(200);
    const gone = await change({ currency: null, labourRatePerHourMinor: null });
    expect(gone.body).toMatchObject({ currency: null, labourRatePerHourMinor: null });
  });

  test('what an hour costs is not for the bench to see', async () => {
    const own = await clinic.another('RT');
    const { headers } = await own.as('administrator').get('/api/v1/clinic');
    const money = { currency: 'EUR', labourRatePerHourMinor: 6500 };
    await own.as('administrator').patch('/api/v1/clinic', money, String(headers['etag']));
    const rateFor = async (role: 'technician' | 'front_desk') =>
      (await own.as(role).get('/api/v1/clinic').expect(200)).body.labourRatePerHourMinor;
    expect([await rateFor('technician'), await rateFor('front_desk')]).toEqual([null, 6500]);
  });
});

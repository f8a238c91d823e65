import { afterAll, beforeAll, describe, expect, test } from 'vitest';
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
    ['other letters for numbers given out', { numberPrefix: 'XX' }],
  ])('%s is refused', async (_title, change) => {
    const { status, body } = await admin().patch('/api/v1/clinic', change, '"2"');
    expect(status).toBe(400);
    expect(body.code).toBe('request-invalid');
  });
});

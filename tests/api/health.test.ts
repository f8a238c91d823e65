import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { testClinic, type TestClinic } from '../support/api.ts';

let clinic: TestClinic;
beforeAll(async () => {
  clinic = await testClinic();
});
afterAll(() => clinic.close());

describe('is the service up', () => {
  test('the process says so without a token', async () => {
    const { status, body } = await clinic.stranger.get('/healthz');
    expect({ status, body }).toEqual({ status: 200, body: { status: 'ok' } });
  });

  test('it is ready while the database answers and is migrated', async () => {
    const answers = [
      await clinic.stranger.get('/readyz'),
      // From the second time on the database is only asked whether it answers.
      await clinic.stranger.get('/readyz'),
    ];
    for (const { status, body } of answers) {
      expect({ status, body }).toEqual({ status: 200, body: { status: 'ok' } });
    }
  });

  test('it is not ready when the database gives no answer', async () => {
    const lame = await testClinic({
      numberPrefix: 'LM',
      tampered: (store) => ({ ...store, raw: () => Promise.reject(new Error('gone')) }),
    });
    const { status, body, headers } = await lame.stranger.get('/readyz');
    await lame.close();
    expect(status).toBe(503);
    expect(body.code).toBe('service-busy');
    expect(headers['retry-after']).toBe('2');
  });

  test('every answer forbids foreign content, framing and guessing of types', async () => {
    const { headers } = await clinic.stranger.get('/healthz');
    expect(headers['content-security-policy']).toContain("default-src 'none'");
    expect(headers['content-security-policy']).not.toContain('unsafe');
    expect(headers['x-content-type-options']).toBe('nosniff');
    expect(headers['x-frame-options']).toBe('DENY');
    expect(headers['cache-control']).toBe('no-store');
  });
});

/** The headers that hold a browser back stand on every kind of answer: records, refusals, files, streams, and what no route took. */
import net from 'node:net';
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest';
import { safetyHeaders } from '../../src/http/safety.ts';
import { isWebBuilt } from '../../src/http/webPages.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import { picture } from '../support/pictures.ts';
import {
  ok,
  openedOrder,
  acceptedCast,
  checkSocketOnTheLimb,
  stockedShop,
} from '../support/job.ts';

/** From OWASP's list of secure headers and ASVS 5, 3.4 (from memory). */
const ALWAYS: readonly (readonly [string, RegExp])[] = [
  ['content-security-policy', /^default-src 'none'/],
  ['cross-origin-opener-policy', /^same-origin$/],
  ['cross-origin-resource-policy', /^same-origin$/],
  ['permissions-policy', /^camera=\(self\),.*\bgeolocation=\(\).*\bmicrophone=\(\)/],
  ['referrer-policy', /^no-referrer$/],
  ['strict-transport-security', /^max-age=31536000; includeSubDomains$/],
  ['x-content-type-options', /^nosniff$/],
  ['x-frame-options', /^DENY$/],
];
/** Who tells with what it was made, or lets others in. */
const NEVER = [
  'server',
  'x-powered-by',
  'via',
  'set-cookie',
  'access-control-allow-origin',
  'access-control-allow-credentials',
];

// A shop is stocked first, on machines that may be busy.
vi.setConfig({ testTimeout: 180_000, hookTimeout: 300_000 });

let clinic: TestClinic;
let photoId = '';
let orderId = '';
let socketId = '';
beforeAll(async () => {
  clinic = await testClinic();
  const shop = await stockedShop(clinic);
  ({ orderId } = await openedOrder(shop));
  await acceptedCast(shop, orderId);
  ({ socketId } = await checkSocketOnTheLimb(shop, orderId));
  await ok(
    clinic.as('technician').post(`/api/v1/sockets/${socketId}/findings`, {
      kind: 'rattle',
      note: 'It rattles.',
      photos: [{ base64: picture().base64 }],
    }),
  );
  const { items } = await ok<{ items: { id: string }[] }>(
    clinic.as('technician').get(`/api/v1/sockets/${socketId}/photos`),
  );
  photoId = items[0]?.id ?? '';
});
afterAll(() => clinic.close());

async function headersAt(url: string, how: RequestInit = {}, status?: number) {
  const token = clinic.token(clinic.people.technician);
  const stop = new AbortController();
  const answer = await fetch(`${clinic.address}${url}`, {
    ...how,
    signal: stop.signal,
    headers: { authorization: `Bearer ${token}`, ...how.headers },
  });
  if (status !== undefined) expect({ url, status: answer.status }).toEqual({ url, status });
  stop.abort();
  return answer.headers;
}

function expectSafe(what: string, headers: { get: (name: string) => string | null }): void {
  for (const [name, must] of ALWAYS) {
    expect(headers.get(name) ?? '', `${what}: ${name}`).toMatch(must);
  }
  for (const name of NEVER) expect(headers.get(name), `${what}: ${name}`).toBeNull();
}

describe('every kind of answer', () => {
  test.each<[string, () => string, RequestInit, number]>([
    ['a record', () => `/api/v1/orders/${orderId}`, {}, 200],
    ['a page of the API', () => '/api/docs/', {}, 200],
    ['a file of those pages', () => '/api/docs/static/swagger-ui.css', {}, 200],
    ['the description', () => '/api/openapi.json', {}, 200],
    ['a page of refusals', () => '/api/problems', { headers: { accept: 'text/html' } }, 200],
    ['a paper', () => `/api/v1/orders/${orderId}/traveller.pdf`, {}, 200],
    ['a table', () => `/api/v1/history/order/${orderId}/file.csv`, {}, 200],
    ['a drawing', () => `/api/v1/sockets/${socketId}/joints/distal/drawing.svg`, {}, 200],
    ['a photo', () => `/api/v1/photos/${photoId}`, {}, 200],
    ['the state of the service', () => '/healthz', {}, 200],
    ['what is refused to the role', () => '/api/v1/people', {}, 403],
    ['what nobody signed in for', () => '/api/v1/me', { headers: { authorization: '' } }, 401],
    ['an address of nothing', () => '/nothing', {}, 404],
    ['an address that cannot be', () => '/api/v1/%zz', {}, 400],
    ['a part of an address that is too long', () => `/api/v1/orders/${'a'.repeat(300)}`, {}, 400],
    ['a method that is not taken', () => '/api/v1/me', { method: 'DELETE' }, 405],
    ['a body of another kind', () => '/api/v1/places', { method: 'POST', body: 'a=b' }, 415],
    [
      'a body that is too large',
      () => '/api/v1/places',
      {
        method: 'POST',
        body: `"${'x'.repeat(1_100_000)}"`,
        headers: { 'content-type': 'application/json', 'idempotency-key': 'large-body-1' },
      },
      413,
    ],
    ['a head alone', () => `/api/v1/orders/${orderId}`, { method: 'HEAD' }, 200],
  ])('%s', async (what, url, how, status) => {
    expectSafe(what, await headersAt(url(), how, status));
  });

  test.skipIf(!isWebBuilt())('the client, its files and its pages', async () => {
    expectSafe('the client', await headersAt('/', { headers: { accept: 'text/html' } }, 200));
    expectSafe(
      'a page of it',
      await headersAt('/orders', { headers: { accept: 'text/html' } }, 200),
    );
    expectSafe('a picture of it', await headersAt('/icon.svg', {}, 200));
  });

  test('the stream of live updates', async () => {
    const { body } = await clinic.stranger.post('/api/v1/sign-in', {
      email: clinic.people.technician.email,
      password: clinic.people.technician.password,
    });
    const bearer = `Bearer ${(body as { accessToken: string }).accessToken}`;
    const headers = await headersAt('/api/v1/changes', { headers: { authorization: bearer } }, 200);
    expect(headers.get('content-type')).toContain('text/event-stream');
    expectSafe('the stream', headers);
  });

  test('what is said on a socket that sent no request', async () => {
    const { port } = new URL(clinic.address);
    const heard = await new Promise<string>((resolve, reject) => {
      let text = '';
      net
        .connect(Number(port), '127.0.0.1', function said(this: net.Socket) {
          this.write('HELLO\r\n\r\n');
        })
        .on('data', (bytes) => (text += bytes.toString()))
        .on('end', () => {
          resolve(text);
        })
        .on('error', reject);
    });
    const headers = new Headers(
      (heard.split('\r\n\r\n')[0] ?? '')
        .split('\r\n')
        .slice(1)
        .map((line): [string, string] => [
          line.slice(0, line.indexOf(':')),
          line.slice(line.indexOf(':') + 1).trim(),
        ]),
    );
    expectSafe('no request', headers);
    expect(headers.get('x-request-id')).toMatch(/^[0-9a-f-]{36}$/);
  });
});

test('papers, tables, drawings and photos may run nothing, and have a name', async () => {
  for (const url of [
    `/api/v1/orders/${orderId}/traveller.pdf`,
    `/api/v1/history/order/${orderId}/file.csv`,
    `/api/v1/sockets/${socketId}/joints/distal/drawing.svg`,
    `/api/v1/photos/${photoId}`,
  ]) {
    const headers = await headersAt(url, {}, 200);
    expect(headers.get('content-security-policy')).toBe(
      "default-src 'none'; frame-ancestors 'none'; sandbox",
    );
    expect(headers.get('content-disposition')).toMatch(/^inline; filename="[\w.-]+"$/);
  }
});

test('over plain http nobody is told to come by https only', () => {
  expect(safetyHeaders('http://localhost:8080')).not.toHaveProperty('strict-transport-security');
  expect(safetyHeaders('https://castbook.test')).toHaveProperty('strict-transport-security');
});

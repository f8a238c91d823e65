/** Ways out of an address: other files, other hosts, other headers. None leads anywhere. */
import http from 'node:http';
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest';
import { testClinic, type TestClinic } from '../support/api.ts';
import { openedOrder, stockedShop } from '../support/job.ts';

// A shop is stocked first, on machines that may be busy.
vi.setConfig({ testTimeout: 180_000, hookTimeout: 300_000 });

let clinic: TestClinic;
let number = '';
beforeAll(async () => {
  clinic = await testClinic();
  ({ number } = await openedOrder(await stockedShop(clinic)));
});
afterAll(() => clinic.close());

/** The path goes out as it is written: fetch and supertest would tidy it first. */
const asWritten = (path: string, headers: http.OutgoingHttpHeaders = {}) =>
  new Promise<{ status: number; headers: http.IncomingHttpHeaders; text: string }>(
    (resolve, reject) => {
      const { port } = new URL(clinic.address);
      http
        .get(
          { host: '127.0.0.1', port, path, headers, setHost: !('host' in headers) },
          (answer) => {
            let text = '';
            answer.on('data', (bytes: Buffer) => (text += bytes.toString()));
            answer.on('end', () => {
              resolve({ status: answer.statusCode ?? 0, headers: answer.headers, text });
            });
          },
        )
        .on('error', reject);
    },
  );

describe('another file than the client’s', () => {
  const UPWARDS = [
    '/../package.json',
    '/assets/../../../package.json',
    '/..%2fpackage.json',
    '/%2e%2e/package.json',
    '/%2e%2e%2fpackage.json',
    '/..%5cpackage.json',
    '/%5c..%5cpackage.json',
    '/%252e%252e%252fpackage.json',
    '/..%c0%afpackage.json',
    '/assets/..%2f..%2f..%2fpackage.json',
    '/assets/%00/../../package.json',
    '/icon.svg%00.html',
    '//etc/passwd',
    '/etc/passwd',
    '/./.env',
    '/.git/config',
    '/package.json',
    '/api/docs/static/..%2f..%2f..%2fpackage.json',
    '/api/docs/static/%2e%2e/%2e%2e/package.json',
    '/api/docs/static/..%5c..%5cpackage.json',
  ];
  test.each(UPWARDS)('%s leads to none', async (path) => {
    const answer = await asWritten(path);
    expect([400, 403, 404]).toContain(answer.status);
    expect(answer.headers['content-type']).toContain('application/problem+json');
    expect(answer.text).not.toMatch(/"dependencies"|root:|\[core\]/);
  });
});

test('a part of a file that there is not, or a state of it, is refused in words', async () => {
  const file = '/api/docs/static/swagger-ui.css';
  for (const headers of [{ range: 'bytes=999999999-' }, { 'if-match': '"nothing"' }]) {
    const answer = await asWritten(file, headers);
    expect({ headers, status: answer.status }).toEqual({ headers, status: 416 });
    expect(answer.text).toContain('"file-part-unknown"');
  }
});

describe('a line break that would begin a header', () => {
  test.each([
    '/o/x%0d%0aSet-Cookie:%20a=b',
    '/p/x%0d%0aLocation:%20https://evil.example',
    '/api/v1/orders/by-number/x%0d%0aX-Injected:%201',
    '/api/problems/x%0d%0aX-Injected:%201',
    '/nothing%0d%0aX-Injected:%201',
    '/nothing?x=%0d%0aX-Injected:%201',
  ])('%s begins none', async (path) => {
    const answer = await asWritten(path);
    expect(answer.status).toBeGreaterThanOrEqual(400);
    expect(answer.headers).not.toHaveProperty('x-injected');
    expect(answer.headers).not.toHaveProperty('set-cookie');
    expect(answer.headers).not.toHaveProperty('location');
  });
});

describe('another host', () => {
  const FOREIGN = {
    host: 'evil.example',
    'x-forwarded-host': 'evil.example',
    forwarded: 'host=evil.example',
    'x-forwarded-proto': 'http',
  };

  test('is in no answer, neither in its links nor in its headers', async () => {
    const authorization = `Bearer ${clinic.token(clinic.people.front_desk)}`;
    for (const path of [
      '/api/openapi.json',
      '/api/problems',
      `/o/${number}`,
      '/api/v1/orders',
      '/nothing',
      '/',
    ]) {
      for (const accept of ['text/html', 'application/json']) {
        const answer = await asWritten(path, { ...FOREIGN, authorization, accept });
        expect(`${JSON.stringify(answer.headers)}${answer.text}`).not.toContain('evil.example');
      }
    }
  });

  test('nobody is sent there: what redirects stays in the service', async () => {
    for (const path of [
      `/o/${number}`,
      '/o//evil.example',
      '/o/%2f%2fevil.example',
      '/p//evil.example',
      '//evil.example',
      '//evil.example/%2e%2e',
      '/\\evil.example',
      '/api/docs',
      '/api/docs//evil.example/..',
      '/?next=https://evil.example',
      '/sign-in?return=//evil.example',
    ]) {
      const { headers } = await asWritten(path, { accept: 'text/html' });
      const { location } = headers;
      if (location !== undefined) expect(location, path).toMatch(/^\.?\/(?![/\\])/);
    }
  });
});

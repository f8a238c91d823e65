/** How much may be sent, how deep, how slowly, how often, and how many streams at a time. */
import net from 'node:net';
import { gzipSync } from 'node:zlib';
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { PersonLimit } from '../../src/http/personLimit.ts';
import { Refused } from '../../src/store/refused.ts';
import { testClinic, type TestClinic } from '../support/api.ts';

let clinic: TestClinic;
/** Waits for nobody. */
let hasty: TestClinic;
beforeAll(async () => {
  clinic = await testClinic();
  hasty = await testClinic({ numberPrefix: 'HA', requestWithinMs: 300 });
});
afterAll(async () => {
  await clinic.close();
  await hasty.close();
});

/** Says something on a bare socket, and hears all that comes until the other side ends it. */
const overSocket = (said: string, { address } = clinic): Promise<string> =>
  new Promise((resolve, reject) => {
    const { port } = new URL(address);
    let heard = '';
    const socket = net.connect(Number(port), '127.0.0.1', () => socket.write(said));
    socket.on('data', (bytes) => (heard += bytes.toString()));
    socket.on('close', () => {
      resolve(heard);
    });
    socket.on('error', (failure: NodeJS.ErrnoException) => {
      if (failure.code !== 'ECONNRESET' && failure.code !== 'EPIPE') reject(failure);
    });
  });

const post = (body: string | Uint8Array<ArrayBuffer>, headers: Record<string, string> = {}) =>
  fetch(`${clinic.address}/api/v1/patients/search`, {
    method: 'POST',
    headers: {
      authorization: `Bearer ${clinic.token(clinic.people.front_desk)}`,
      'content-type': 'application/json',
      ...headers,
    },
    body,
  });

describe('what is too slow', () => {
  test('headers that never end are cut off, and told why', async () => {
    const heard = await overSocket('GET /healthz HTTP/1.1\r\nHost: x\r\nX-Slow: ', hasty);
    expect(heard).toMatch(/^HTTP\/1\.1 408 /);
    expect(heard).toContain('"request-timed-out"');
  });

  test('a body that stays out is cut off, and told why', async () => {
    const heard = await overSocket(
      `POST /api/v1/sign-in HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: 100\r\n\r\n{"email":`,
      hasty,
    );
    expect(heard).toMatch(/^HTTP\/1\.1 (408|400) /);
    expect(heard).toContain('application/problem+json');
  });

  test('a body in pieces that never ends is cut off', async () => {
    const heard = await overSocket(
      `POST /api/v1/sign-in HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\n5\r\n{"ema\r\n`,
      hasty,
    );
    expect(heard).toMatch(/^HTTP\/1\.1 (408|400) /);
  });
});

describe('what is no HTTP, or two things at once', () => {
  const head = 'POST /api/v1/sign-in HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\n';
  test.each([
    [
      'a length and pieces',
      `${head}Content-Length: 5\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\nGET /smuggled HTTP/1.1\r\nHost: x\r\n\r\n`,
    ],
    ['two lengths', `${head}Content-Length: 5\r\nContent-Length: 6\r\n\r\n{}{}{}`],
    ['a length below nought', `${head}Content-Length: -1\r\n\r\n`],
    ['a length in words', `${head}Content-Length: five\r\n\r\n`],
    ['pieces of nonsense', `${head}Transfer-Encoding: chunked\r\n\r\nzz\r\n{}\r\n0\r\n\r\n`],
    ['an encoding unheard of', `${head}Transfer-Encoding: chunked, gzip\r\n\r\n0\r\n\r\n`],
    ['a header with a bare line feed', `GET /healthz HTTP/1.1\r\nHost: x\r\nX: a\nY: b\r\n\r\n`],
    ['a blank before the colon', `GET /healthz HTTP/1.1\r\nHost : x\r\n\r\n`],
    ['no host', `GET /healthz HTTP/1.1\r\n\r\n`],
    ['a NUL in a header', `GET /healthz HTTP/1.1\r\nHost: x\r\nX: a\u0000b\r\n\r\n`],
    ['headers of 20 kB', `GET /healthz HTTP/1.1\r\nHost: x\r\nX: ${'x'.repeat(20_000)}\r\n\r\n`],
    ['an address of 20 kB', `GET /healthz?${'x'.repeat(20_000)} HTTP/1.1\r\nHost: x\r\n\r\n`],
    ['another version of HTTP', `GET /healthz HTTP/9.9\r\nHost: x\r\n\r\n`],
  ])('%s is refused once, and the line is closed', async (_what, said) => {
    const heard = await overSocket(said);
    expect(heard).toMatch(/^HTTP\/1\.1 (400|408|431) /);
    expect(heard.match(/HTTP\/1\.1 \d/g)).toHaveLength(1);
    expect(heard).not.toMatch(/node:|\.ts:|Error/);
  });
});

describe('what is too much', () => {
  test.each([1_000, 100_000])('lists %i deep are refused, not followed', async (depth) => {
    const answer = await post(`{"name":${'['.repeat(depth)}${']'.repeat(depth)}}`);
    expect(answer.status).toBe(400);
  });

  test('a body that is compressed is not unpacked', async () => {
    for (const packed of ['gzip', 'br', 'deflate', 'gzip, identity', 'x']) {
      const bytes = new Uint8Array(gzipSync(JSON.stringify({ name: 'a'.repeat(100) })));
      const answer = await post(bytes, { 'content-encoding': packed });
      const { code } = (await answer.json()) as { code: string };
      expect({ packed, status: answer.status, code }).toEqual({
        packed,
        status: 415,
        code: 'body-packed',
      });
    }
    const plain = await post(JSON.stringify({ name: 'aaa' }), { 'content-encoding': 'identity' });
    expect(plain.status).toBe(200);
  });

  test('a refusal lists fifty faults at most', async () => {
    const many = Object.fromEntries(Array.from({ length: 500 }, (_, n) => [`f${n}`, n]));
    const answer = await post(JSON.stringify(many));
    expect(((await answer.json()) as { errors: unknown[] }).errors).toHaveLength(50);
  });
});

describe('how often', () => {
  test('one person may ask so often, from whatever address; the others are not touched', async () => {
    const narrow = await testClinic({ numberPrefix: 'PE', requestsPerPersonPerMinute: 3 });
    const statuses: number[] = [];
    for (let n = 0; n < 5; n += 1) {
      statuses.push((await narrow.as('auditor').get('/api/v1/me')).status);
    }
    expect(statuses).toEqual([200, 200, 200, 429, 429]);
    const refused = await narrow.as('auditor').get('/api/v1/me');
    expect(refused.body).toMatchObject({ code: 'person-asks-too-often' });
    expect(Number(refused.headers['retry-after'])).toBe(60);
    expect((await narrow.as('technician').get('/api/v1/me')).status).toBe(200);
    narrow.clock.pass(1);
    expect((await narrow.as('auditor').get('/api/v1/me')).status).toBe(200);
    await narrow.close();
  });

  test('a clock that is put back does not lock anybody out', () => {
    const limit = new PersonLimit(1);
    limit.count('a', new Date('2026-03-02T09:00:00Z'));
    expect(() => {
      limit.count('a', new Date('2026-03-02T09:00:30Z'));
    }).toThrow(Refused);
    limit.count('a', new Date('2026-03-01T09:00:00Z'));
  });

  test('a person has twelve streams of live updates at most', async () => {
    const { email, password } = clinic.people.prosthetist;
    const { body } = await clinic.stranger.post('/api/v1/sign-in', { email, password });
    const stop = new AbortController();
    const open = () =>
      fetch(`${clinic.address}/api/v1/changes`, {
        signal: stop.signal,
        headers: {
          authorization: `Bearer ${(body as { accessToken: string }).accessToken}`,
          'x-request-id': randomUUID(),
        },
      });
    const statuses: number[] = [];
    for (let n = 0; n < 13; n += 1) statuses.push((await open()).status);
    stop.abort();
    expect(statuses).toEqual([...Array<number>(12).fill(200), 429]);
  });
});

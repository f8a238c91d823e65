/** Whatever is sent, the answer is problem details of RFC 9457, with the way out, and never a fault of ours. */
import net from 'node:net';
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { REASONS } from '../../src/domain/reasons/index.ts';
import { PASSWORD, PASSWORD_AGAIN, testClinic, type TestClinic } from '../support/api.ts';

let clinic: TestClinic;
beforeAll(async () => {
  clinic = await testClinic();
});
afterAll(() => clinic.close());

/** Sends bytes as they are, as administrator. */
async function sendRaw(body: Uint8Array | string, contentType: string | null = 'application/json') {
  const response = await fetch(`${clinic.address}/api/v1/people`, {
    method: 'POST',
    headers: {
      authorization: `Bearer ${clinic.token(clinic.people.administrator)}`,
      'idempotency-key': randomUUID(),
      ...(contentType === null ? {} : { 'content-type': contentType }),
    },
    body: typeof body === 'string' ? body : new Blob([new Uint8Array(body)]),
  });
  const problem = (await response.json()) as Record<string, unknown>;
  return { status: response.status, type: response.headers.get('content-type'), problem };
}

/** Says something on a bare socket, and hears all that comes back. */
const overSocket = (said: string): Promise<string> =>
  new Promise((resolve, reject) => {
    const { port } = new URL(clinic.address);
    const socket = net.connect(Number(port), '127.0.0.1', () => socket.write(said));
    let heard = '';
    socket.on('data', (bytes) => (heard += bytes.toString()));
    socket.on('end', () => {
      resolve(heard);
    });
    socket.on('error', reject);
  });

describe('a body that cannot be read', () => {
  const deep = '['.repeat(200_000) + ']'.repeat(200_000);
  test.each([
    ['is cut short', '{"email":', 400, 'body-malformed'],
    ['is empty', '', 400, 'body-malformed'],
    ['holds a NUL', '{"printedName":"a\\u0000b"}', 400, 'body-malformed'],
    ['holds half a surrogate pair', '{"printedName":"a\\ud83e"}', 400, 'body-malformed'],
    [
      'would change the prototype',
      '{"__proto__":{"roles":["administrator"]}}',
      400,
      'body-malformed',
    ],
    ['is a list', '[]', 400, 'request-invalid'],
    ['is a number', '7', 400, 'request-invalid'],
    ['is two hundred thousand lists deep', deep, 400, 'request-invalid'],
    ['is deep and holds half a surrogate pair', `["\\ud83e",${deep}]`, 400, 'body-malformed'],
    ['is larger than a mebibyte', `"${'x'.repeat(1_048_576)}"`, 413, 'body-too-large'],
  ])('%s', async (_what, body, status, code) => {
    const answer = await sendRaw(body);
    expect({ status: answer.status, code: answer.problem['code'] }).toEqual({ status, code });
    expect(answer.type).toContain('application/problem+json');
  });

  test('is not UTF-8', async () => {
    const { status, problem } = await sendRaw(new Uint8Array([0x22, 0xc3, 0x28, 0x22]));
    expect({ status, code: problem['code'] }).toEqual({ status: 400, code: 'body-malformed' });
  });

  test.each(['text/plain', 'application/x-www-form-urlencoded', 'nonsense'])(
    'is of type %s',
    async (type) => {
      const { status, problem } = await sendRaw('a=b', type);
      expect({ status, code: problem['code'] }).toEqual({
        status: 415,
        code: 'media-type-unsupported',
      });
    },
  );

  test('an escaped backslash before u0000 is no NUL, and whole pairs are welcome', async () => {
    const { problem } = await sendRaw('{"printedName":"C:\\\\u0000 \\ud83e\\uddbf"}');
    expect(problem['code']).toBe('request-invalid');
    const errors = problem['errors'] as { pointer: string }[];
    expect(errors.map(({ pointer }) => pointer)).not.toContain('/printedName');
  });
});

describe('a body that does not fit', () => {
  test('hears every field to blame at once: what is wrong and what to do', async () => {
    const { status, body } = await clinic.as('administrator').post('/api/v1/people', {
      email: 'nowhere',
      printedName: '  ',
      roles: ['technician', 'king'],
      rols: [],
      ...PASSWORD_AGAIN,
    });
    expect(status).toBe(400);
    expect(body).toMatchObject({
      type: '/api/problems/request-invalid',
      title: 'The request cannot be right as sent',
      code: 'request-invalid',
    });
    const said = (body.errors as { in: string; pointer: string; code: string; wayOut: string }[])
      .map(({ in: place, pointer, code }) => `${place} ${pointer} ${code}`)
      .sort();
    expect(said).toEqual([
      'body /email field-malformed',
      'body /printedName field-out-of-range',
      'body /roles/1 field-not-a-choice',
      'body /rols field-unknown',
    ]);
    for (const { detail, wayOut } of body.errors) {
      expect(detail.length).toBeGreaterThan(10);
      expect(wayOut.length).toBeGreaterThan(10);
    }
  });

  test('never hears its own values back', async () => {
    const { text } = await clinic
      .as('administrator')
      .post('/api/v1/people', { email: 'Anna Muster', printedName: 7, roles: 'Anna Muster' });
    expect(text).toContain('field-wrong-type');
    expect(text).not.toContain('Anna');
  });

  test.each([
    ['a name with a line break', { printedName: 'Nova\nHand' }, '/printedName'],
    ['a name of 101 letters', { printedName: 'N'.repeat(101) }, '/printedName'],
    ['a role twice', { roles: ['technician', 'technician'], ...PASSWORD_AGAIN }, '/roles'],
    ['no change at all', {}, ''],
  ])('%s is refused', async (_what, change, pointer) => {
    const url = `/api/v1/people/${clinic.people.technician.id}`;
    const { status, body } = await clinic.as('administrator').patch(url, change, '"1"');
    expect(status).toBe(400);
    expect((body.errors as { pointer: string }[]).map(({ pointer }) => pointer)).toEqual([pointer]);
  });
});

describe('an address that cannot be', () => {
  test.each([
    ['/api/v1/nothing-here', 404, 'address-unknown'],
    ['/api/v1/people/%zz', 400, 'url-malformed'],
    ['/api/v1/people/%00', 400, 'url-malformed'],
    ['/api/v1/people?after=%00', 400, 'url-malformed'],
    [`/api/v1/people/${'a'.repeat(300)}`, 400, 'url-malformed'],
    ['/api/v1/people/7', 400, 'request-invalid'],
    ['/api/v1/people?limit=0', 400, 'request-invalid'],
    ['/api/v1/people?limit=201', 400, 'request-invalid'],
    ['/api/v1/people?limit=two', 400, 'request-invalid'],
    ['/api/v1/people?limit=1&limit=2', 400, 'request-invalid'],
    ['/api/v1/people?sort=name', 400, 'request-invalid'],
    ['/api/v1/people?after=bm90IGEgY3Vyc29y', 400, 'request-invalid'],
    ['/api/v1/people?after=eyJpZCI6MX0', 400, 'request-invalid'],
    ['/api/v1/me?x=1', 400, 'request-invalid'],
    ['/api/problems/no-such-problem', 404, 'problem-unknown'],
  ])('%s is answered %i %s', async (url, status, code) => {
    const answer = await clinic.as('administrator').get(url);
    expect({ status: answer.status, code: answer.body.code }).toEqual({ status, code });
    expect(answer.headers['content-type']).toContain('application/problem+json');
    expect(answer.body.instance).toBe(`urn:uuid:${answer.headers['x-request-id']}`);
  });

  test('a method that the address does not take is told the ones it takes', async () => {
    for (const method of ['DELETE', 'PUT', 'POST'] as const) {
      const { status, body, headers } = await clinic.stranger.send(method, '/api/v1/me');
      expect({ status, code: body.code }).toEqual({ status: 405, code: 'method-not-here' });
      expect(headers['allow']).toBe('GET, HEAD');
    }
  });

  test.each([
    ['nonsense', 'HELLO\r\n\r\n'],
    ['headers without end', `GET / HTTP/1.1\r\nHost: x\r\nX-Long: ${'x'.repeat(20_000)}\r\n\r\n`],
  ])('%s instead of HTTP is answered all the same', async (_what, said) => {
    const heard = await overSocket(said);
    expect(heard).toMatch(/^HTTP\/1\.1 400 /);
    expect(heard).toContain('application/problem+json');
    expect(heard).toContain('"http-malformed"');
  });
});

describe('too much', () => {
  test('requests past the limit are told when to come again, unknown addresses too', async () => {
    const narrow = await testClinic({ numberPrefix: 'NA', requestsPerMinute: 3 });
    const answers = [];
    for (let i = 0; i < 4; i += 1) answers.push(await narrow.as('auditor').get('/api/v1/me'));
    expect(answers.map(({ status }) => status)).toEqual([200, 200, 200, 429]);
    const last = answers.at(-1);
    expect(last?.body.code).toBe('too-many-requests');
    expect(Number(last?.headers['retry-after'])).toBeGreaterThan(0);
    const unknown = [];
    for (let i = 0; i < 4; i += 1) unknown.push((await narrow.stranger.get('/nothing')).status);
    expect(unknown).toContain(429);
    await narrow.close();
  });

  test('sign-ins have a stricter limit', async () => {
    const narrow = await testClinic({ numberPrefix: 'NB', signInsPerMinute: 2 });
    const statuses = [];
    for (let i = 0; i < 3; i += 1) {
      const { email } = narrow.people.auditor;
      statuses.push(
        (await narrow.stranger.post('/api/v1/sign-in', { email, password: PASSWORD })).status,
      );
    }
    await narrow.close();
    expect(statuses).toEqual([200, 200, 429]);
  });
});

describe('a fault', () => {
  const failing = (numberPrefix: string, failure: Error) =>
    testClinic({
      numberPrefix,
      tampered: (store) => ({
        ...store,
        // Only what the services use.
        prisma: { $transaction: () => Promise.reject(failure) } as never,
      }),
    });

  test('of ours is 500 without a word of the cause, which the log has', async () => {
    const broken = await failing('FA', new TypeError('cannot read the lamp'));
    const { status, body, text } = await broken.as('auditor').get('/api/v1/me');
    await broken.close();
    expect({ status, code: body.code }).toEqual({ status: 500, code: 'internal' });
    expect(text).not.toContain('lamp');
    const line = broken.logLines.find((each) => each.includes('"fault"')) ?? '';
    expect(line).toContain('cannot read the lamp');
    expect(line).toContain(String(body.instance).replace('urn:uuid:', ''));
  });

  test.each([
    ['a database that gives no turn', Object.assign(new Error('no turn'), { code: 'P2028' })],
    ['a full pool', new Error('timeout exceeded when trying to connect')],
    ['a lock held too long', Object.assign(new Error('x'), { meta: { code: '55P03' } })],
  ])('of the moment, as %s, says when to come again', async (_what, failure) => {
    const busy = await failing('FB', failure);
    const { status, body, headers } = await busy.as('auditor').get('/api/v1/me');
    await busy.close();
    expect({ status, code: body.code }).toEqual({ status: 503, code: 'service-busy' });
    expect(headers['retry-after']).toBe('2');
  });
});

describe('the number of a request', () => {
  const given = randomUUID();
  test.each([
    ['a UUID', given, given],
    ['a UUID without dashes, as proxies send', given.replaceAll('-', '').toUpperCase(), given],
  ])('%s is taken over', async (_what, sent, expected) => {
    const { headers } = await clinic.stranger.get('/healthz', { 'x-request-id': sent });
    expect(headers['x-request-id']).toBe(expected);
  });

  test('anything else is replaced', async () => {
    const { headers } = await clinic.stranger.get('/healthz', { 'x-request-id': 'anna muster' });
    expect(headers['x-request-id']).toMatch(/^[0-9a-f-]{36}$/);
  });
});

describe('the pages of the problems', () => {
  test('the list has every code, with its status', async () => {
    const { body } = await clinic.stranger.get('/api/problems');
    const codes = (body.problems as { code: string }[]).map(({ code }) => code);
    expect(codes).toEqual(Object.keys(REASONS).sort());
  });

  test('the type of a problem leads to its page, as JSON or to be read', async () => {
    const { body } = await clinic.stranger.get('/api/v1/me');
    const json = await clinic.stranger.get(body.type);
    expect(json.body).toMatchObject({ code: 'not-signed-in', status: 401 });
    const page = await clinic.stranger.get(body.type, { accept: 'text/html,*/*' });
    expect(page.headers['content-type']).toBe('text/html; charset=utf-8');
    expect(page.text).toContain('<h1>Not signed in</h1>');
    expect(page.text).not.toMatch(/<script|style=/);
    const index = await clinic.stranger.get('/api/problems', { accept: 'text/html' });
    expect(index.text).toContain('href="/api/problems/not-signed-in"');
  });

  test.each(Object.keys(REASONS))('%s has words and a way out', async (code) => {
    const { status, body } = await clinic.stranger.get(`/api/problems/${code}`);
    expect(status).toBe(200);
    expect(body.example).not.toMatch(/undefined|NaN|\[object|=>/);
    expect(body.wayOut).not.toMatch(/undefined|NaN|\[object|=>/);
    expect(body.wayOut.length).toBeGreaterThan(5);
  });
});

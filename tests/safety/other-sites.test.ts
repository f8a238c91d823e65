/**
 * What pages of other sites can do with a browser that is signed in here: nothing. There are no
 * cookies, a token is sent by our own client only, bodies are JSON, and no other origin is let in.
 */
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { PERMISSIONS, PUBLIC, type Who } from '../../src/access/permissions.ts';
import { PASSWORD, testClinic, type TestClinic } from '../support/api.ts';
import { everything } from '../support/integrity.ts';
import { deliveredLimb, stockedShop } from '../support/job.ts';

let clinic: TestClinic;
beforeAll(async () => {
  clinic = await testClinic();
});
afterAll(() => clinic.close());

const ROUTES = (Object.entries(PERMISSIONS) as [string, Who][]).map(([permission, who]) => {
  const [method = '', url = ''] = permission.split(' ');
  return { method, url: url.replaceAll(/:\w+/g, '01890000-0000-7000-8000-000000000000'), who };
});

const ask = (method: string, url: string, headers: Record<string, string> = {}, body?: string) =>
  fetch(`${clinic.address}${url}`, { method, headers, ...(body === undefined ? {} : { body }) });

const bearer = () => ({
  authorization: `Bearer ${clinic.token(clinic.people.administrator)}`,
  'idempotency-key': randomUUID(),
});

describe('no cookie', () => {
  test('is set by any answer of a sign-in, and none is read', async () => {
    const { email } = clinic.people.administrator;
    const signedIn = await clinic.stranger.post('/api/v1/sign-in', { email, password: PASSWORD });
    expect(signedIn.headers['set-cookie']).toBeUndefined();
    const { accessToken } = signedIn.body as { accessToken: string };
    for (const name of ['token', 'accessToken', 'session', 'authorization', 'jwt']) {
      const answer = await ask('GET', '/api/v1/me', { cookie: `${name}=${accessToken}` });
      expect(answer.status).toBe(401);
    }
    // Nor from the address, where logs and other sites would see it.
    const inAddress = await ask('GET', `/api/v1/me?access_token=${accessToken}`);
    expect(inAddress.status).toBe(401);
  });
});

describe('a form of another site', () => {
  test.each([
    ['application/x-www-form-urlencoded', 'email=x&printedName=y'],
    ['text/plain', '{"email":"x@people.example","printedName":"X","roles":["administrator"]}'],
    ['multipart/form-data; boundary=x', '--x\r\n\r\n\r\n--x--'],
  ])('sends %s, which is not read', async (type, body) => {
    for (const { method, url, who } of ROUTES) {
      if (method === 'GET') continue;
      const headers = who === PUBLIC ? {} : bearer();
      const answer = await ask(
        method,
        url,
        { ...headers, 'content-type': type, 'if-match': '"1"' },
        body,
      );
      const { code } = (await answer.json()) as { code: string };
      // Who may not is told so first.
      expect([415, 403], `${method} ${url}: ${code}`).toContain(answer.status);
      if (answer.status === 403) expect(code).toBe('role-may-not');
      else expect(code).toBe('media-type-unsupported');
    }
  });
});

describe('a script of another site', () => {
  test('is given no leave beforehand, by any route', async () => {
    for (const { method, url } of ROUTES) {
      const answer = await ask('OPTIONS', url, {
        origin: 'https://evil.example',
        'access-control-request-method': method,
        'access-control-request-headers': 'authorization,content-type,idempotency-key',
      });
      expect({ url, status: answer.status }).toEqual({ url, status: 405 });
      expect(
        [...answer.headers.keys()].filter((name) => name.startsWith('access-control')),
      ).toEqual([]);
    }
  });

  test.each(['cross-site', 'same-site'])(
    'is refused where the browser says that it is %s',
    async (site) => {
      for (const { method, url } of ROUTES.filter(({ url }) => url.startsWith('/api/v1/'))) {
        const answer = await ask(method, url, {
          ...bearer(),
          'sec-fetch-site': site,
          'sec-fetch-mode': 'cors',
        });
        const { code } = (await answer.json()) as { code: string };
        expect({ url, status: answer.status, code }).toEqual({
          url,
          status: 403,
          code: 'other-site-refused',
        });
      }
    },
  );

  test('a post that moves the browser here is refused alike; a link is followed, and finds nobody signed in', async () => {
    const asLink = { 'sec-fetch-site': 'cross-site', 'sec-fetch-mode': 'navigate' };
    const { stranger } = clinic;
    const post = { key: null, headers: asLink };
    expect((await stranger.post('/api/v1/sign-in', {}, post)).status).toBe(403);
    expect((await stranger.get('/api/v1/me', asLink)).status).toBe(401);
    expect((await stranger.get('/api/problems', asLink)).status).toBe(200);
  });

  test('our own pages, people and programs are heard', async () => {
    for (const site of ['same-origin', 'none']) {
      const answer = await ask('GET', '/api/v1/me', { ...bearer(), 'sec-fetch-site': site });
      expect(answer.status).toBe(200);
    }
  });
});

describe('no other method', () => {
  test.each(['x-http-method-override', 'x-method-override', 'x-http-method'])(
    'comes by %s',
    async (name) => {
      const { id } = clinic.people.technician;
      const answer = await ask('GET', `/api/v1/people/${id}`, { ...bearer(), [name]: 'PATCH' });
      expect(answer.status).toBe(200);
      const post = await ask(
        'POST',
        `/api/v1/people/${id}`,
        { ...bearer(), [name]: 'PATCH', 'content-type': 'application/json' },
        '{}',
      );
      expect(post.status).toBe(405);
    },
  );
});

/** What the reading of a record leaves: who looked at which patient, and its event. */
const TRACES = ['event', 'event_head', 'patient_look'];

test('a GET changes nothing but the trace that a record was read', async () => {
  const limb = await deliveredLimb(await stockedShop(clinic));
  const ids: Readonly<Record<string, string>> = {
    orderId: limb.orderId,
    socketId: limb.socketId,
    patientId: limb.patientId,
    number: limb.number,
    subjectKind: 'order',
    subjectId: limb.orderId,
    personId: clinic.people.technician.id,
    socket: 'D1',
    jointKind: 'distal',
    itemId: limb.hardware.lock,
    code: 'internal',
  };
  const tables = await everything(clinic.store.raw);
  let answered = 0;
  for (const permission of Object.keys(PERMISSIONS).filter((each) => each.startsWith('GET '))) {
    const url = permission
      .slice(4)
      .replaceAll(/:(\w+)/g, (_all, name: string) => ids[name] ?? 'none');
    if (url === '/api/v1/changes') continue;
    const { status } = await clinic.as('auditor').get(url);
    if (status === 200) answered += 1;
  }
  expect(answered).toBeGreaterThan(40);
  const after = await everything(clinic.store.raw);
  const changed = Object.keys(after).filter((table) => after[table] !== tables[table]);
  expect(changed.filter((table) => !TRACES.includes(table))).toEqual([]);
  const kinds = await clinic.store.raw<{ kind: string }>(
    `select distinct kind from event where at > (select max(at) - interval '1 second' from event) and kind like '%.read'`,
  );
  const written = Number(after['event']?.split(' ')[0]) - Number(tables['event']?.split(' ')[0]);
  expect(written === 0 || kinds.length > 0).toBe(true);
}, 300_000);

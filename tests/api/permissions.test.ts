/**
 * Every route of the table × every role, no token, an expired one, a forged one, and a person
 * of another clinic who names this clinic's records. Made from the table and the app's own
 * routes, so a new feature is walked as soon as it is registered.
 */
import fs from 'node:fs';
import type { Readable } from 'node:stream';
import Fastify from 'fastify';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { z } from 'zod';
import { PERMISSIONS, PUBLIC, type Who } from '../../src/access/permissions.ts';
import { ROLES, type Role } from '../../src/domain/words.ts';
import { makeApi } from '../../src/http/route.ts';
import { isWebBuilt, WEB_FOLDER } from '../../src/http/webPages.ts';
import { deliveredLimb, stockedShop } from '../support/job.ts';
import { picture } from '../support/pictures.ts';
import { testClinic, type Client, type TestClinic } from '../support/api.ts';
import { takeOn } from '../support/clinic.ts';

type Method = 'GET' | 'POST' | 'PATCH';
const ROUTES = (Object.entries(PERMISSIONS) as [string, Who][]).map(([permission, who]) => {
  const [method = '', url = ''] = permission.split(' ');
  return { permission, method: method as Method, url, who };
});
/** Signing out comes last: everybody is asked by the one sign-in they have. */
const isSignOut = (url: string): number => Number(url === '/api/v1/sign-out');
const CLOSED = ROUTES.filter(({ who }) => who !== PUBLIC).sort(
  (one, other) => isSignOut(one.url) - isSignOut(other.url),
);

let ours: TestClinic;
let theirs: TestClinic;
/** One id of ours for each table that has a row, by table. */
const oneOfEach = new Map<string, string>();
let orderNumber = '';

beforeAll(async () => {
  ours = await testClinic({ numberPrefix: 'OUR' });
  theirs = await ours.another('THR');
  // A limb from cast to patient leaves a record in nearly every table.
  const shop = await stockedShop(ours);
  const limb = await deliveredLimb(shop);
  orderNumber = limb.number;
  const finding = {
    kind: 'rattle',
    note: 'The button rattles.',
    photos: [{ base64: picture().base64 }],
  };
  await ours
    .as('technician')
    .post(`/api/v1/sockets/${limb.socketId}/findings`, finding)
    .expect(201);
  // A device of GS1's own range for examples, which the catalogue does not know: a draft of it waits.
  const label = { scans: ['(01)09520000010072(21)S1'], toPlaceId: shop.bin };
  await ours.as('technician').post('/api/v1/items/scan', label).expect(201);
  await ours
    .as('front_desk')
    .post('/api/v1/appointments', {
      orderId: (await ours.as('front_desk').get(`/api/v1/orders/by-number/${orderNumber}`)).body.id,
      prosthetistId: ours.people.prosthetist.id,
      purpose: 'service',
      startsAt: '2027-03-02T09:00:00Z',
    })
    .expect(201);
  const why = { reason: 'mixed_up', words: 'Two limbs on one bench.' };
  await ours.as('technician').post(`/api/v1/patients/${limb.patientId}/more`, why).expect(201);
  const { patientId } = limb;
  const hold = { patientId, reason: 'A claim.', reference: 'Cg 3/26' };
  const { body: held } = await ours.as('administrator').post('/api/v1/legal-holds', hold);
  // Nothing is asked to be erased while it is held.
  await ours
    .as('administrator')
    .post(`/api/v1/legal-holds/${(held as { id: string }).id}/lift`, { why: 'Settled.' })
    .expect(200);
  await ours
    .as('front_desk')
    .post(`/api/v1/patients/${patientId}/correction-requests`, {
      askedOn: '2026-03-01',
      said: 'weighs more than that',
    })
    .expect(201);
  const ask = { what: ['desk_notes'], why: 'Asked in writing.', legalBasis: 'Consent withdrawn' };
  await ours.as('front_desk').post('/api/v1/appointments', {
    patientId,
    orderId: limb.orderId,
    prosthetistId: ours.people.prosthetist.id,
    purpose: 'service',
    startsAt: '2027-03-03T09:00:00Z',
    note: 'rings twice',
  });
  await ours.as('administrator').post(`/api/v1/patients/${patientId}/erasures`, ask).expect(201);
  await ours.as('auditor').post('/api/v1/long-works', { kind: 'record_export' }).expect(202);
  const tables = await ours.store.raw<{ name: string }>(
    `select a.table_name as name from information_schema.columns a
       join information_schema.columns b using (table_schema, table_name)
     where a.table_schema = 'public' and a.column_name = 'clinic_id' and b.column_name = 'id'`,
  );
  for (const { name } of tables) {
    const [row] = await ours.store.raw<{ id: string }>(
      `select id::text as id from "${name}" where clinic_id = $1 limit 1`,
      [ours.clinicId],
    );
    if (row !== undefined) oneOfEach.set(name, row.id);
  }
  // Whose password, sign-ins and roles are asked about is nobody who asks.
  const newcomer = await takeOn(ours, { roles: ['technician'] });
  oneOfEach.set('person', newcomer.id).set('session', newcomer.caller.familyId);
});
afterAll(() => ours.close());

/** Tables of parameters whose name is not the table's. */
const TABLE_OF: Readonly<Record<string, string>> = {
  subject: 'fabrication_order',
  order: 'fabrication_order',
  cast: 'limb_cast',
  tool: 'shop_tool',
};
const NOT_THERE = [400, 404, 412, 422];
const NOBODYS_ID = '01890000-0000-7000-8000-000000000000';

/** The address with an id of ours for each parameter, or nobody's where we have no such record. */
const withIds = (url: string): string =>
  url.replaceAll(/:(\w+)/g, (_match, name: string) => {
    const thing = /^(\w+)Id$/.exec(name)?.[1];
    if (name === 'number') return orderNumber;
    if (name === 'subjectKind') return 'order';
    if (name === 'socket') return 'D1';
    if (thing === undefined) return 'internal';
    const table = TABLE_OF[thing] ?? thing.replaceAll(/[A-Z]/g, (c) => `_${c.toLowerCase()}`);
    return oneOfEach.get(table) ?? NOBODYS_ID;
  });

async function ask(client: Client, method: Method, url: string) {
  const address = withIds(url);
  if (url === '/api/v1/changes') return headOf(client, address);
  if (method === 'GET') return client.get(address);
  if (method === 'POST') return client.post(address, {});
  return client.patch(address, {}, '"1"');
}

/** Live updates have no end that one could wait for: what comes first is read, and they are left. */
const headOf = (client: Client, address: string) =>
  client.get(address).parse((answer, done) => {
    const reading = answer as unknown as Readable & { headers: Record<string, string> };
    const isLive = reading.headers['content-type']?.startsWith('text/event-stream');
    const chunks: Buffer[] = [];
    reading.on('data', (chunk: Buffer) => {
      chunks.push(chunk);
      if (isLive !== true) return;
      done(null, chunk);
      reading.destroy();
    });
    reading.on('end', () => {
      done(null, JSON.parse(Buffer.concat(chunks).toString()) as object);
    });
  });

describe('every route, asked by everybody', () => {
  test.each(CLOSED)('$permission is closed to who is not signed in', async ({ method, url }) => {
    const { status, headers, body } = await ask(ours.stranger, method, url);
    expect({ status, code: body.code }).toEqual({ status: 401, code: 'not-signed-in' });
    expect(headers['www-authenticate']).toContain('Bearer');
    expect(headers['content-type']).toContain('application/problem+json');
  });

  test.each(CLOSED)('$permission is closed to an expired and a forged token', async (route) => {
    const { method, url } = route;
    const old = ours.token(ours.people.administrator);
    ours.clock.pass(10);
    const late = await ask(ours.bearing(old), method, url);
    expect({ status: late.status, code: late.body.code }).toEqual({
      status: 401,
      code: 'token-expired',
    });
    const [head = '', , seal = ''] = ours.token(ours.people.technician).split('.');
    const [, claims = ''] = ours.token(ours.people.administrator).split('.');
    const forged = await ask(ours.bearing(`${head}.${claims}.${seal}`), method, url);
    expect({ status: forged.status, code: forged.body.code }).toEqual({
      status: 401,
      code: 'not-signed-in',
    });
  });

  test.each(CLOSED)('$permission answers each role as the table says', async (route) => {
    const { method, url, who } = route;
    const expected: Partial<Record<Role, string>> = {};
    const seen: Partial<Record<Role, string>> = {};
    for (const role of ROLES) {
      const { status, body } = await ask(ours.as(role), method, url);
      expected[role] = who.includes(role) ? 'let in' : 'role-may-not';
      seen[role] =
        status === 403 ? body.code : status === 401 || status >= 500 ? String(status) : 'let in';
    }
    expect(seen).toEqual(expected);
  });

  test.each(ROUTES.filter(({ who }) => who === PUBLIC))(
    '$permission is open to all',
    async ({ method, url }) => {
      const { status, body } = await ask(ours.stranger, method, url);
      expect([200, 400]).toContain(status);
      if (status === 400) expect(body.code).toBe('request-invalid');
    },
  );

  test.each(CLOSED)('$permission shows and changes nothing of another clinic', async (route) => {
    const { method, url, who } = route;
    const role = ROLES.find((each) => who.includes(each));
    if (role === undefined) throw new Error(`${route.permission} is for nobody`);
    const { status, text, body } = await ask(theirs.as(role), method, url);
    // A drawing is answered as bytes.
    const told = Buffer.isBuffer(body) ? body.toString('utf8') : text;
    if (url.includes(':')) {
      // Another clinic's record is not forbidden but not there at all; what else is wrong may be said first.
      const onlyIds = !/:\w+(?<!Id)(?:\/|$)/.test(url);
      expect(method === 'GET' && onlyIds ? [404] : NOT_THERE).toContain(status);
    }
    for (const id of [ours.clinicId, ...oneOfEach.values()]) {
      // A refusal may name the id that was asked for; nothing else of the record.
      if (!withIds(url).includes(id)) expect(told).not.toContain(id);
    }
    expect(told).not.toMatch(/of OUR|@our\.example/);
  });
});

describe('the table and the routes hold each other', () => {
  test('the walk above named a record of ours for nearly every parameter', () => {
    const ids = CLOSED.filter(({ url }) => /:\w+Id\b/.test(url));
    const empty = ids.filter(({ url }) => withIds(url).includes(NOBODYS_ID)).map(({ url }) => url);
    expect(new Set(empty.map((url) => /:(\w+)/.exec(url)?.[1]))).toEqual(
      new Set(['serviceVisitId']),
    );
  });

  test('no route stands beside the table, but for the pages of the API', () => {
    const printed = ours.app.printRoutes({ commonPrefix: false });
    // The browser client's files, where it is built: they hold nothing of the record.
    const files = isWebBuilt() ? fs.readdirSync(WEB_FOLDER, { recursive: true }) : [];
    const ofClient = new Set(['/', ...files.map((file) => `/${String(file)}`)]);
    const found: string[] = [];
    const above: string[] = [];
    for (const line of printed.split('\n')) {
      const [, indent = '', part, methods = ''] =
        /^([│ ]*)[├└]── (\S+) \(([^)]*)\)/.exec(line) ?? [];
      if (part === undefined) continue;
      const depth = indent.length / 4;
      above.length = depth;
      above.push(part);
      // The other methods of a path are answered 405.
      const url = above.join('').replaceAll('//', '/');
      const first = methods.split(', ')[0] ?? '';
      if (!url.startsWith('/api/docs') && !ofClient.has(url)) found.push(`${first} ${url}`);
    }
    expect(found.length).toBeGreaterThan(10);
    for (const route of found) expect(Object.keys(PERMISSIONS)).toContain(route);
  });

  const emptyApi = () =>
    makeApi({
      app: Fastify(),
      store: ours.store,
      now: ours.clock.now,
      signInsPerMinute: 1,
      guard: () => () => undefined,
    });

  test('a route that the table does not know stops the boot', () => {
    const route = {
      url: '/api/v1/unheard-of',
      name: 'unheardOf',
      tag: 'Service',
      summary: 'Nobody thought of who may',
      answer: z.object({}),
    } as const;
    expect(() => {
      emptyApi().api.read(route, async () => ({}));
    }).toThrow('GET /api/v1/unheard-of is not in src/access/permissions.ts');
  });

  test('a route that calls itself open where the table does not stops the boot', () => {
    const route = {
      method: 'GET',
      url: '/api/v1/me',
      name: 'readMe',
      tag: 'People',
      summary: 'Open by mistake',
      answer: z.object({}),
    } as const;
    expect(() => {
      emptyApi().api.open(route, () => ({}));
    }).toThrow('GET /api/v1/me: public');
  });

  test('a line of the table without its route stops the boot', () => {
    expect(() => {
      emptyApi().finish();
    }).toThrow(/names no route of ours: GET \/healthz, /);
  });
});

/** The service is told to stop, or loses its database, while people are at work. */
import { randomUUID } from 'node:crypto';
import http from 'node:http';
import net from 'node:net';
import { afterAll, afterEach, beforeAll, describe, expect, test, vi } from 'vitest';
import { BenchLoad, send, type Request } from '../support/benchLoad.ts';
import { carriesToAndFro, contendsFor, opensOrders } from '../support/benchWork.ts';
import { needsManyConnections } from '../support/database.ts';
import { foundedGrounds, type Grounds } from '../support/grounds.ts';
import { holdRequest } from '../support/heldRequest.ts';
import { breaches, eventCounts } from '../support/integrity.ts';
import { inBin, onBench, openedOrder, shopAt, type Shop } from '../support/job.ts';
import { endServices, startService } from '../support/service.ts';
import { moveTask, orderTask } from '../support/tasks.ts';

// Whole services start in here, on machines that may be busy.
vi.setConfig({ testTimeout: 240_000, hookTimeout: 240_000 });

let grounds: Grounds<Awaited<ReturnType<typeof prepared>>>;

beforeAll(async () => {
  grounds = await foundedGrounds(prepared);
});
afterEach(endServices);
afterAll(() => grounds.remove());

async function prepared(
  shop: Shop,
): Promise<{ patientId: string; carried: string[]; awaited: string[]; contended: string[] }> {
  const promisedOn = new Date().toISOString().slice(0, 10);
  const { patientId } = await openedOrder(shop, { promisedOn });
  return {
    patientId,
    carried: await shop.receive('lock', 8),
    awaited: await shop.receive('lock', 8),
    contended: await shop.receive('lock', 8),
  };
}

const orderRequest = (): Request => ({
  ...orderTask(grounds.prepared.patientId),
  key: randomUUID(),
});

const opened = () => grounds.look(({ query }) => eventCounts(query)).then((n) => n['order.opened']);

/** What a new connection gets: undefined where it is taken, else the error's code. */
function knockAt(address: string): Promise<string | undefined> {
  const { hostname, port } = new URL(address);
  return new Promise((resolve) => {
    const socket = net.connect(Number(port), hostname);
    socket.once('connect', () => {
      socket.destroy();
      resolve(undefined);
    });
    socket.once('error', (error: NodeJS.ErrnoException) => {
      resolve(error.code);
    });
  });
}

const noLongerTaken = (address: string) =>
  expect.poll(() => knockAt(address), { timeout: 30_000 }).toBe('ECONNREFUSED');

describe('told to stop', () => {
  test('it answers all that is under way, takes nothing new, loses nothing, and ends with 0', async () => {
    const before = (await opened()) ?? 0;
    const service = await startService(grounds.env);
    const { clinic } = shopAt(grounds.shop, service.address);
    const agent = new http.Agent({ keepAlive: true });
    const requests = Array.from({ length: 20 }, orderRequest);
    const held = await Promise.all(requests.map((request) => holdRequest(clinic, request, agent)));
    // Half of them are being done when the signal comes, half are still being sent.
    for (const request of held.slice(0, 10)) request.goOn();
    service.signal('SIGTERM');
    await service.logged('stopping');
    await noLongerTaken(service.address);
    for (const request of held.slice(10)) request.goOn();

    const answers = await Promise.all(held.map(({ answer }) => answer));
    expect(answers.map(({ status }) => status)).toEqual(Array(20).fill(201));
    // Nobody is left to send the next request into a closed door.
    expect(answers.slice(10).map(({ connection }) => connection)).toEqual(Array(10).fill('close'));
    expect(await service.ended).toEqual({ code: 0, signal: null, stderr: '' });
    expect(service.log.at(-1)?.msg).toBe('stopped');
    expect(service.log.filter(({ msg }) => msg.includes('too long'))).toEqual([]);
    agent.destroy();

    expect(await opened()).toBe(before + 20);
    const again = await startService(grounds.env);
    const there = shopAt(grounds.shop, again.address).clinic;
    for (const [n, { who, url, body, key }] of requests.entries()) {
      const answer = await there.as(who).post(url, body, { key });
      expect(answer.headers['idempotency-replayed']).toBe('true');
      expect(answer.body).toEqual(answers[n]?.body);
    }
  });

  test('in the middle of a load, each request is answered or was never begun', async () => {
    const { patientId, carried: items } = grounds.prepared;
    const before = await grounds.look(({ query }) => eventCounts(query));
    const service = await startService(grounds.env);
    const load = new BenchLoad([
      ...items.map((itemId) => carriesToAndFro(grounds.shop, itemId)),
      opensOrders(patientId),
    ]);
    await load.workAt(grounds.shop, service.address, () => {
      if (load.acknowledged.length === 40) service.signal('SIGTERM');
    });
    expect(await service.ended).toEqual({ code: 0, signal: null, stderr: '' });
    expect(load.refused).toEqual([]);
    expect(load.acknowledged.length).toBeGreaterThanOrEqual(40);
    // What found the door closed has left nothing: all that was done was answered.
    await grounds.look(async ({ query }) => {
      const after = await eventCounts(query);
      for (const kind of ['custody.moved', 'order.opened']) {
        const times = load.acknowledged.filter(({ request }) => request.event === kind).length;
        expect(after[kind], kind).toBe((before[kind] ?? 0) + times);
      }
      expect(await breaches(query)).toEqual([]);
    });
  });

  test('it is alive and no longer ready, for whoever still asks on an open connection', async () => {
    const service = await startService(grounds.env);
    const { clinic } = shopAt(grounds.shop, service.address);
    const holding = await holdRequest(clinic, orderRequest());
    const [health, readiness] = await Promise.all([
      halfAsked(service.address, '/healthz'),
      halfAsked(service.address, '/readyz'),
    ]);
    // Answered later than the halves were sent: the service has them.
    await clinic.stranger.get('/healthz');
    service.signal('SIGTERM');
    await service.logged('stopping');
    await noLongerTaken(service.address);
    expect(await health()).toMatch(/^HTTP\/1\.1 200 /);
    const unready = await readiness();
    expect(unready).toMatch(/^HTTP\/1\.1 503 /);
    expect(unready).toContain('"service-busy"');
    expect(unready).toMatch(/^connection: close\r$/im);
    holding.goOn();
    expect(await holding.answer).toMatchObject({ status: 201 });
    expect(await service.ended).toMatchObject({ code: 0 });
  });

  test('a caller that never sends the rest of its request does not keep it from ending', async () => {
    const before = await opened();
    const service = await startService(grounds.env);
    const { clinic } = shopAt(grounds.shop, service.address);
    const silent = await holdRequest(clinic, orderRequest());
    service.signal('SIGTERM');
    expect(await service.ended).toMatchObject({ code: 0, signal: null });
    await expect(silent.answer).rejects.toMatchObject({ code: 'ECONNRESET' });
    expect(await opened()).toBe(before);
  });

  /** Two requests written as one: the first is done, the second lacks its last line until it is called for. */
  async function halfAsked(address: string, path: string): Promise<() => Promise<string>> {
    const { hostname, port } = new URL(address);
    const socket = net.connect(Number(port), hostname);
    let heard = '';
    socket.on('data', (chunk: Buffer) => (heard += chunk.toString()));
    const asked = `GET ${path} HTTP/1.1\r\nHost: ${hostname}\r\n`;
    socket.write(`${asked}\r\n`);
    await expect.poll(() => heard, { timeout: 30_000 }).toContain('{"status":"ok"}');
    heard = '';
    socket.write(asked);
    return () =>
      new Promise((resolve, reject) => {
        socket.once('error', reject);
        socket.once('close', () => {
          resolve(heard);
        });
        socket.write('\r\n');
      });
  }
});

describe('the connections to the database server are cut', () => {
  /** The service's own sessions have a name by which they can be told from the test's. */
  const NAME = 'shop_floor';
  const named = () => ({
    ...grounds.env,
    DATABASE_URL: `${grounds.env['DATABASE_URL'] ?? ''}?application_name=${NAME}`,
  });
  const sessions = (what: string) =>
    grounds.look(({ query }) =>
      query<{ found: boolean }>(
        `select ${what} as found from pg_stat_activity
         where datname = current_database() and application_name = '${NAME}'`,
      ),
    );
  const cut = () => sessions('pg_terminate_backend(pid)');

  needsManyConnections(
    'what waits there is told to come again, and then goes through',
    async () => {
      const { awaited: items } = grounds.prepared;
      const service = await startService(named());
      const shop = shopAt(grounds.shop, service.address);
      const requests = items.map((itemId) => ({
        ...moveTask(itemId, inBin(shop), onBench, 'issued'),
        key: randomUUID(),
      }));
      const asked = () => Promise.all(requests.map((request) => send(shop, request)));
      const before = await grounds.look(({ query }) => eventCounts(query));
      const answers = await grounds.look(async ({ query }) => {
        await query('select id from item where id = any($1) for update', [items]);
        const pending = asked();
        const waiting = async () =>
          (await sessions(`wait_event_type = 'Lock'`)).filter(({ found }) => found).length;
        await expect.poll(waiting, { timeout: 30_000 }).toBe(items.length);
        await cut();
        return pending;
      });
      for (const answer of answers) {
        expect(answer).toMatchObject({ status: 503, body: { code: 'service-busy' } });
      }
      expect((await grounds.look(({ query }) => eventCounts(query)))['custody.moved']).toBe(
        before['custody.moved'],
      );
      for (const answer of await asked()) {
        expect(answer).toMatchObject({ status: 201, replayed: false });
      }
      expect((await shop.clinic.stranger.get('/readyz')).status).toBe(200);
    },
  );

  needsManyConnections(
    'again and again under load: no half work, and no request done twice',
    async () => {
      const { patientId, contended: items } = grounds.prepared;
      const before = await grounds.look(({ query }) => eventCounts(query));
      const service = await startService(named());
      const load = new BenchLoad([
        ...items.map((itemId) => contendsFor(grounds.shop, itemId)),
        opensOrders(patientId),
      ]);
      const cuts: Promise<unknown>[] = [];
      await load.workAt(grounds.shop, service.address, () => {
        const done = load.acknowledged.length;
        if (done % 15 === 0 && done <= 150) cuts.push(cut());
        if (done === 180) service.signal('SIGTERM');
      });
      await Promise.all(cuts);
      expect(cuts).toHaveLength(10);
      expect(await service.ended).toEqual({ code: 0, signal: null, stderr: '' });

      // A request whose session was cut may have been done or not: under its key it tells.
      const failed = load.refused.filter(({ answer }) => answer.status >= 500);
      expect(failed.length).toBeGreaterThan(0);
      for (const { answer } of failed) {
        expect(answer).toMatchObject({ status: 503, body: { code: 'service-busy' } });
      }
      const next = await startService(named());
      const shop = shopAt(grounds.shop, next.address);
      await load.settleAt(grounds.shop, next.address);
      const done = [...load.acknowledged];
      for (const { request } of failed) {
        const answer = await send(shop, request);
        if (answer?.status === 201) done.push({ request, answer });
        else expect(answer?.body['code']).toBe('item-is-elsewhere');
      }
      const after = await grounds.look(({ query }) => eventCounts(query));
      for (const kind of ['custody.moved', 'order.opened']) {
        const times = done.filter(({ request }) => request.event === kind).length;
        expect(after[kind], kind).toBe((before[kind] ?? 0) + times);
      }
      expect(await grounds.look(({ query }) => breaches(query))).toEqual([]);
    },
  );
});

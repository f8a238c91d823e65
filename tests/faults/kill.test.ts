/** The power goes, ten times, in the middle of the work: nothing that was answered is lost, nothing is done twice. */
import { uniformInt } from 'pure-rand/distribution/uniformInt';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest';
import { BenchLoad, send, type Acknowledged } from '../support/benchLoad.ts';
import { testCipher } from '../support/columnKeys.ts';
import {
  carriesToAndFro,
  checksLocks,
  contendsFor,
  makesCheckSockets,
  opensOrders,
  torques,
} from '../support/benchWork.ts';
import { foundedGrounds, type Grounds } from '../support/grounds.ts';
import { breaches, eventCounts } from '../support/integrity.ts';
import {
  acceptedCast,
  checkSocketOnTheLimb,
  ok,
  openedOrder,
  shopAt,
  type Shop,
} from '../support/job.ts';
import { endServices, startService, type RunningService } from '../support/service.ts';

const KILLS = 10;
/** Acknowledged writes of one life before its end: at least and at most. */
const LIFE = { least: 12, most: 45 };
const SEED = 20_261_125;

const today = new Date().toISOString().slice(0, 10);
let grounds: Grounds<Prepared>;

beforeAll(async () => {
  grounds = await foundedGrounds(prepared);
}, 240_000);
afterEach(endServices);
afterAll(() => grounds.remove());

type Prepared = Awaited<ReturnType<typeof prepared>>;

/** A socket with its hardware in, patients, and loose pieces to carry. */
async function prepared(shop: Shop) {
  const { orderId, patientId } = await openedOrder(shop, { promisedOn: today });
  await acceptedCast(shop, orderId);
  const { socketId } = await checkSocketOnTheLimb(shop, orderId);
  const patients = [patientId];
  for (let n = 0; n < 2; n += 1) {
    patients.push((await openedOrder(shop, { promisedOn: today })).patientId);
  }
  const items = [...(await shop.receive('lock', 2)), ...(await shop.receive('pin', 1))];
  return { socketId, patients, items };
}

test('killed ten times in the middle of the work, the service comes back with all that it answered', async () => {
  const { shop } = grounds;
  const { socketId, patients, items } = grounds.prepared;
  const [desk = '', first = '', second = ''] = patients;
  const [own = '', other = '', contended = ''] = items;
  const load = new BenchLoad([
    opensOrders(desk),
    makesCheckSockets(shop, first, today),
    makesCheckSockets(shop, second, today),
    carriesToAndFro(shop, own),
    carriesToAndFro(shop, other),
    contendsFor(shop, contended),
    contendsFor(shop, contended),
    torques(shop, socketId),
    checksLocks(socketId),
  ]);
  const atFirst = await grounds.look(({ query }) => eventCounts(query));
  const chance = xoroshiro128plus(SEED);
  const cutOff: number[] = [];
  let service = await startService(grounds.env);

  for (let kill = 0; kill < KILLS; kill += 1) {
    const before = load.acknowledged.length;
    const goal = before + uniformInt(chance, LIFE.least, LIFE.most);
    await load.workAt(shop, service.address, () => {
      if (load.acknowledged.length !== goal) return;
      cutOff.push(load.underWay);
      service.signal('SIGKILL');
    });
    expect(await service.ended).toMatchObject({ code: null, signal: 'SIGKILL' });
    expect(load.acknowledged.length).toBeGreaterThanOrEqual(goal);

    // The next one starts on the same folder at once; what the dead one left is read beside it.
    const left = grounds.asLeft();
    const [next] = await Promise.all([
      startService(grounds.env),
      left.look(async ({ query }) => {
        expect(await breaches(query)).toEqual([]);
        await expectKept(query, load.acknowledged);
        expectOnce(await eventCounts(query), atFirst, load);
      }),
    ]);
    service = next;
    await expectAnsweredAgain(service, load.acknowledged.slice(before));
  }

  await load.settleAt(shop, service.address);
  expect(load.unanswered).toEqual([]);
  await expectReadBack(service, load.acknowledged);
  service.signal('SIGTERM');
  expect(await service.ended).toMatchObject({ code: 0 });
  await grounds.look(async ({ query }) => {
    expect(await breaches(query)).toEqual([]);
    await expectKept(query, load.acknowledged);
    expectOnce(await eventCounts(query), atFirst, load);
  });

  // It was a load, and each kill fell into it.
  expect(load.acknowledged.length).toBeGreaterThanOrEqual(KILLS * LIFE.least);
  expect(cutOff).toHaveLength(KILLS);
  expect(Math.min(...cutOff)).toBeGreaterThanOrEqual(2);
  expect(load.sentAgain.length).toBeGreaterThanOrEqual(2 * KILLS);
  expect(new Set(load.acknowledged.map(({ request }) => request.event))).toEqual(
    new Set([
      ...['order.opened', 'cast.taken', 'cast.accepted', 'socket.started', 'operation.done'],
      ...['custody.moved', 'torque.confirmed', 'lock.checked'],
    ]),
  );
  // Only the two who contend for one pin are ever refused, and only with where it is.
  expect(new Set(load.refused.map(({ answer }) => answer.body['code']))).toEqual(
    new Set(['item-is-elsewhere']),
  );
}, 600_000);

/** Every acknowledged request stands in the record with the very answer that was given. */
async function expectKept(
  query: Parameters<typeof breaches>[0],
  acknowledged: readonly Acknowledged[],
): Promise<void> {
  const rows = await query<{ key: string; clinic: string; person: string; answer: string }>(
    `select key, clinic_id::text as clinic, person_id::text as person, answer #>> '{}' as answer
     from idempotency_key where key = any($1)`,
    [acknowledged.map(({ request }) => request.key)],
  );
  const kept = new Map(
    rows.map(({ key, clinic, person, answer }) => {
      const cell = { table: 'idempotency_key', column: 'answer', clinicId: clinic };
      const text = testCipher.decryptFor({ ...cell, rowId: `${person} ${key}` }, answer);
      return [key, JSON.parse(text) as unknown];
    }),
  );
  for (const { request, answer } of acknowledged) {
    expect(kept.get(request.key), `${request.event} ${request.key}`).toEqual(answer.body);
  }
}

/** Each kind of event as often as was acknowledged; an unanswered request may have been done, once. */
function expectOnce(
  now: Readonly<Record<string, number>>,
  atFirst: Readonly<Record<string, number>>,
  load: BenchLoad,
): void {
  const kinds = new Set(load.acknowledged.map(({ request }) => request.event));
  for (const kind of kinds) {
    const done = (now[kind] ?? 0) - (atFirst[kind] ?? 0);
    const answered = load.acknowledged.filter(({ request }) => request.event === kind).length;
    const open = load.unanswered.filter(({ event }) => event === kind).length;
    expect(done, kind).toBeGreaterThanOrEqual(answered);
    expect(done, kind).toBeLessThanOrEqual(answered + open);
  }
}

/** To each request of the life that ended, the new service gives the old one's answer and does nothing more. */
async function expectAnsweredAgain(
  service: RunningService,
  acknowledged: readonly Acknowledged[],
): Promise<void> {
  const shop = shopAt(grounds.shop, service.address);
  const again = await Promise.all(acknowledged.map(({ request }) => send(shop, request)));
  expect(again).toEqual(acknowledged.map(({ answer }) => ({ ...answer, replayed: true })));
}

/** The same by reading: orders by their numbers, carried items by their moves, sockets by their operations. */
async function expectReadBack(
  service: RunningService,
  acknowledged: readonly Acknowledged[],
): Promise<void> {
  const { clinic } = shopAt(grounds.shop, service.address);
  const of = (event: string) => acknowledged.filter(({ request }) => request.event === event);
  for (const { answer } of of('order.opened')) {
    const order = await ok(
      clinic.as('front_desk').get(`/api/v1/orders/${String(answer.body['id'])}`),
    );
    expect(order['number']).toBe(answer.body['number']);
  }
  const { items } = grounds.prepared;
  const made: unknown[] = [];
  for (const itemId of items) {
    const history = await ok<{ moves: { id: string }[] }>(
      clinic.as('technician').get(`/api/v1/items/${itemId}`),
    );
    made.push(...history.moves.map(({ id }) => id));
  }
  const answered = of('custody.moved').map(({ answer }) => answer.body['moveId']);
  expect(made).toEqual(expect.arrayContaining(answered));
  expect(made).toHaveLength(answered.length + items.length);
  for (const { answer } of of('socket.started')) {
    const socketId = String(answer.body['id']);
    const { operations } = await ok<{ operations: { id: string; state: string }[] }>(
      clinic.as('technician').get(`/api/v1/sockets/${socketId}`),
    );
    const recorded = of('operation.done').map(({ request }) => request.url);
    for (const { id, state } of operations) {
      const done = recorded.includes(`/api/v1/operations/${id}/records`);
      expect(state).toBe(done ? 'done' : 'waiting');
    }
  }
}

/** R13 under fire: twenty times at once, and over a wire that is cut. */
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest';
import { testClinic, type TestClinic } from '../support/api.ts';
import { send, type Answer, type Request, type Task } from '../support/benchLoad.ts';
import { sendAndCut } from '../support/cutWire.ts';
import { breaches, eventCounts, everything } from '../support/integrity.ts';
import {
  acceptedCast,
  checkSocketOnTheLimb,
  openedOrder,
  stockedShop,
  type Shop,
} from '../support/job.ts';
import {
  awaitingRelease,
  betweenTwoSockets,
  deliveryTask,
  orderTask,
  torqueTask,
  transferTask,
} from '../support/tasks.ts';

// Many whole limbs are built in here, on machines that may be busy.
vi.setConfig({ testTimeout: 180_000, hookTimeout: 180_000 });

let clinic: TestClinic;
let shop: Shop;

beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
});
afterAll(() => clinic.close());

const TASKS: readonly (readonly [string, () => Promise<Task>])[] = [
  ['an order', async () => orderTask((await openedOrder(shop)).patientId)],
  [
    'a torque confirmation',
    async () => {
      const { orderId } = await openedOrder(shop);
      await acceptedCast(shop, orderId);
      return torqueTask(shop, (await checkSocketOnTheLimb(shop, orderId)).socketId);
    },
  ],
  [
    'a transfer',
    async () => {
      const { checkId, definitiveId, hardware } = await betweenTwoSockets(shop);
      return transferTask(shop, checkId, definitiveId, hardware);
    },
  ],
  [
    'a signed delivery',
    async () => {
      const { orderId, definitiveId } = await awaitingRelease(shop);
      return deliveryTask(shop, orderId, definitiveId);
    },
  ],
];

/** How often the signer may prove who it is at the same moment: more are taken for guessing. */
const SIGNERS_AT_ONCE = 5;

const keyed = (task: Task): Request => ({ ...task, key: randomUUID() });
const counts = () => eventCounts(clinic.store.raw);

async function answered(request: Request): Promise<Answer> {
  const answer = await send(shop, request);
  if (answer === undefined) throw new Error('the connection ended without an answer');
  return answer;
}

async function isKept({ key }: Request): Promise<boolean> {
  const rows = await clinic.store.raw('select 1 as kept from idempotency_key where key = $1', [
    key,
  ]);
  return rows.length > 0;
}

/** That `work` did what `request` asks exactly once, and broke nothing. */
async function onlyOnce<T>(request: Request, work: () => Promise<T>): Promise<T> {
  const before = await counts();
  const result = await work();
  const after = await counts();
  expect(after[request.event]).toBe((before[request.event] ?? 0) + 1);
  expect(await breaches(clinic.store.raw)).toEqual([]);
  return result;
}

describe.each(TASKS)('%s', (title, prepare) => {
  const signed = title.includes('signed');

  test('sent many times at once is done once, and all hear the same', async () => {
    const request = keyed(await prepare());
    const times = signed ? SIGNERS_AT_ONCE : 20;
    const answers = await onlyOnce(request, () =>
      Promise.all(Array.from({ length: times }, () => answered(request))),
    );
    const first = answers.filter(({ replayed }) => !replayed);
    expect(first).toHaveLength(1);
    expect(answers.map(({ status }) => status)).toEqual(Array(times).fill(201));
    for (const { body } of answers) expect(body).toEqual(first[0]!.body);
  });

  test('whose wire was cut after the last byte is done once, and told when it is asked again', async () => {
    const request = keyed(await prepare());
    await onlyOnce(request, async () => {
      await sendAndCut(clinic, request);
      await expect.poll(() => isKept(request), { timeout: 30_000 }).toBe(true);
      expect(await answered(request)).toMatchObject({ status: 201, replayed: true });
    });
  });

  test('sent again at once after the cut, while the first is still being done, is done once', async () => {
    const request = keyed(await prepare());
    await onlyOnce(request, async () => {
      await sendAndCut(clinic, request);
      const again = await answered(request);
      expect(again.status).toBe(201);
      expect(await answered(request)).toEqual({ ...again, replayed: true });
    });
  });

  test('whose wire was cut in the middle of its body was never asked for', async () => {
    const request = keyed(await prepare());
    const before = await everything(clinic.store.raw);
    await sendAndCut(clinic, request, 0.5);
    // Whatever came of it would stand before what is asked for next.
    await answered(keyed(orderTask((await openedOrder(shop)).patientId)));
    const [order, cut] = [await counts(), await everything(clinic.store.raw)];
    expect(Object.keys(cut).filter((table) => cut[table] !== before[table])).toEqual(OF_AN_ORDER);
    expect(await answered(request)).toMatchObject({ status: 201, replayed: false });
    expect((await counts())[request.event]).toBe((order[request.event] ?? 0) + 1);
  });
});

test('a delivery signed twenty times at once is done once; whoever signs too often at a time is told to wait', async () => {
  const { orderId, definitiveId } = await awaitingRelease(shop);
  const request = keyed(await deliveryTask(shop, orderId, definitiveId));
  const answers = await onlyOnce(request, () =>
    Promise.all(Array.from({ length: 20 }, () => answered(request))),
  );
  const done = answers.filter(({ status }) => status === 201);
  expect(done.length).toBeGreaterThanOrEqual(1);
  for (const { body } of done) expect(body).toEqual(done[0]!.body);
  for (const { status, body } of answers.filter((answer) => answer.status !== 201)) {
    expect({ status, code: body['code'] }).toEqual({ status: 429, code: 'sign-in-locked' });
  }
  expect(await answered(request)).toMatchObject({ status: 201, replayed: true });
});

/** The tables that entering a patient and opening two orders writes to. */
const OF_AN_ORDER = [
  'body_mass',
  'event',
  'event_head',
  'fabrication_order',
  'idempotency_key',
  'number_counter',
  'patient',
  'stage_change',
];

/** Whatever breaks in the middle of an act, wherever it breaks: nothing of it stays, and it can be done again. */
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest';
import { testClinic, type TestClinic } from '../support/api.ts';
import { send, type Request, type Task } from '../support/benchLoad.ts';
import { Breakage } from '../support/breakingStore.ts';
import { breaches, eventCounts, everything } from '../support/integrity.ts';
import {
  acceptedCast,
  checkSocketOnTheLimb,
  goodAnswers,
  makeSocket,
  openedOrder,
  stockedShop,
  type Shop,
} from '../support/job.ts';
import {
  awaitingRelease,
  betweenTwoSockets,
  deliveryTask,
  stoppedCupTask,
  torqueTask,
  transferTask,
} from '../support/tasks.ts';

// Many whole limbs are built in here, on machines that may be busy.
vi.setConfig({ testTimeout: 180_000, hookTimeout: 180_000 });

const breakage = new Breakage();
let clinic: TestClinic;
let shop: Shop;

beforeAll(async () => {
  clinic = await testClinic({ tampered: breakage.store });
  shop = await stockedShop(clinic);
});
afterAll(() => clinic.close());

const TASKS: readonly (readonly [string, () => Promise<Task>])[] = [
  [
    'a transfer of five pieces with fresh screws and a fresh spring',
    async () => {
      const { checkId, definitiveId, hardware } = await betweenTwoSockets(shop);
      return transferTask(shop, checkId, definitiveId, hardware);
    },
  ],
  [
    'an operation that uses a batch',
    async () => {
      const { orderId } = await openedOrder(shop);
      await acceptedCast(shop, orderId);
      const socket = await makeSocket(shop, orderId, { kind: 'check', sheetThicknessMm: 12 });
      const [prepare, form] = socket.operations;
      const record = (operation: NonNullable<typeof form>): Task => ({
        who: 'technician',
        url: `/api/v1/operations/${operation.id}/records`,
        body: { answers: goodAnswers(shop, operation) },
        event: 'operation.done',
      });
      await sent(record(prepare!));
      return record(form!);
    },
  ],
  [
    'a torque confirmation with its readings',
    async () => {
      const { orderId } = await openedOrder(shop);
      await acceptedCast(shop, orderId);
      return torqueTask(shop, (await checkSocketOnTheLimb(shop, orderId)).socketId);
    },
  ],
  ['a cup of resin that stops the lamination', () => stoppedCupTask(shop)],
  [
    'a signed delivery',
    async () => {
      const { orderId, definitiveId } = await awaitingRelease(shop);
      return deliveryTask(shop, orderId, definitiveId);
    },
  ],
];

async function sent(task: Task, key: string = randomUUID()) {
  const answer = await send(shop, { ...task, key });
  if (answer === undefined) throw new Error('no answer');
  return answer;
}

const inWholeRecord = () => everything(clinic.store.raw);

describe.each(TASKS)('%s', (_title, prepare) => {
  test('that breaks at any of its statements leaves nothing, and then goes through once', async () => {
    const task = await prepare();
    const before = await inWholeRecord();
    const counted = await eventCounts(clinic.store.raw);
    const request: Request = { ...task, key: randomUUID() };
    let broken = 0;
    for (let statement = 1; ; statement += 1) {
      const lost = statement % 2 === 0;
      breakage.arm(statement, lost ? connectionLost : bug);
      const answer = await sent(request, request.key);
      if (!breakage.broke) {
        expect(answer).toMatchObject({ status: 201, replayed: false });
        break;
      }
      broken += 1;
      expect(answer, `statement ${statement}`).toMatchObject(
        lost
          ? { status: 503, body: { code: 'service-busy' } }
          : { status: 500, body: { code: 'internal' } },
      );
      expect(JSON.stringify(answer.body)).not.toContain(SECRET);
      expect(await inWholeRecord(), `after statement ${statement}`).toEqual(before);
    }
    breakage.disarm();
    // Scope, facts, at least one write, the kept answer, the events, the commit.
    expect(broken).toBeGreaterThanOrEqual(6);
    expect((await sent(request, request.key)).replayed).toBe(true);
    const now = await eventCounts(clinic.store.raw);
    expect(now[task.event]).toBe((counted[task.event] ?? 0) + 1);
    expect(await breaches(clinic.store.raw)).toEqual([]);
  });

  test.each([
    ['the wire is cut', () => connectionLost(), 503],
    ['the program stumbles', () => bug(), 201],
  ])(
    'that was committed when %s is done once, whether its caller heard of it or not',
    async (_what, failure, heard) => {
      const task = await prepare();
      const counted = await eventCounts(clinic.store.raw);
      const key = randomUUID();
      breakage.loseAnswerOfCommit(failure);
      const first = await sent(task, key);
      breakage.disarm();
      // What is no fault of the moment is looked up before it is answered: the work was done.
      expect(first.status).toBe(heard);
      const second = await sent(task, key);
      expect(second).toMatchObject({ status: 201, replayed: true });
      if (heard === 201) expect(first).toEqual(second);
      const now = await eventCounts(clinic.store.raw);
      expect(now[task.event]).toBe((counted[task.event] ?? 0) + 1);
    },
  );
});

const SECRET = 'row 42 of the shelf';
const bug = () => new Error(SECRET);
const connectionLost = () => Object.assign(new Error(SECRET), { code: 'P1017' });

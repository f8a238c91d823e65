/** What is asked of the service: the acts of a busy day, each prepared so that every request can succeed. */
import { randomUUID } from 'node:crypto';
import type { Role } from '../../src/domain/words.ts';
import {
  acceptedCast,
  checkSocketOnTheLimb,
  deliveredLimb,
  goodAnswers,
  goodReadings,
  makeSocket,
  openedOrder,
  readSocket,
  type Shop,
} from '../../tests/support/job.ts';
import type { BenchRequest } from './load.ts';

export interface Scenario {
  readonly name: string;
  readonly what: string;
  /** For each lane so many requests that go through in their order, whatever other lanes do. */
  prepare(shop: Shop, lanes: number, each: number): Promise<BenchRequest[][]>;
}

export const SCENARIOS: readonly Scenario[] = [
  {
    name: 'open',
    what: 'open an order',
    prepare: (shop, lanes, each) =>
      eachLane(lanes, async () => {
        const limbs = [
          'trans_tibial',
          'trans_femoral',
          'ankle_disarticulation',
          'knee_disarticulation',
        ];
        let patientId = '';
        return inTurn(each, async (n) => {
          // The order that comes with the patient is for the left side.
          if (n % limbs.length === 0) ({ patientId } = await openedOrder(shop));
          return post(shop, 'front_desk', '/api/v1/orders', {
            patientId,
            side: 'right',
            level: limbs[n % limbs.length],
            suspension: 'pin_lock',
            functionalLevel: 'K3',
            promisedOn: '2026-12-10',
          });
        });
      }),
  },
  {
    name: 'operation',
    what: 'record an operation',
    prepare: (shop, lanes, each) =>
      eachLane(lanes, async () => {
        const kinds = ['prepare_model', 'thermoform', 'trim_edges'];
        let socket = await emptyCheckSocket(shop);
        return inTurn(each, async (n) => {
          if (n > 0 && n % kinds.length === 0) socket = await emptyCheckSocket(shop);
          const operation = socket.operations.find(({ kind }) => kind === kinds[n % kinds.length]);
          if (operation === undefined) throw new Error(`${socket.number} lacks an operation`);
          return post(shop, 'technician', `/api/v1/operations/${operation.id}/records`, {
            answers: goodAnswers(shop, operation),
          });
        });
      }),
  },
  {
    name: 'transfer',
    what: 'transfer five parts',
    prepare: (shop, lanes, each) =>
      eachLane(lanes, async () => {
        const full = await socketOnTheLimb(shop);
        const { id: empty } = await emptyCheckSocket(shop);
        const { lock, lock_plate, release_valve, pin, pyramid } = full.hardware;
        return inTurn(each, async (n) => {
          const there = n % 2 === 0;
          return post(shop, 'technician', '/api/v1/transfers', {
            fromSocketId: there ? full.socketId : empty,
            toSocketId: there ? empty : full.socketId,
            itemIds: [lock, lock_plate, release_valve, pin, pyramid],
          });
        });
      }),
  },
  {
    name: 'torque',
    what: 'confirm the torque of a joint',
    prepare: (shop, lanes, each) =>
      eachLane(lanes, async () => {
        const { socketId } = await socketOnTheLimb(shop);
        const path = `/api/v1/sockets/${socketId}/joints/distal/confirmations`;
        return inTurn(each, async () =>
          post(shop, 'technician', path, {
            toolId: shop.wrench,
            threadlockerBatchId: shop.batches['threadlocker'],
            readings: goodReadings,
          }),
        );
      }),
  },
  {
    name: 'list',
    what: 'list 50 of several hundred orders',
    prepare: async (shop, lanes, each) => {
      await eachLane(lanes, () => inTurn(Math.ceil(200 / lanes), () => openedOrder(shop)));
      return eachLane(lanes, () =>
        inTurn(each, async () => get(shop, 'front_desk', '/api/v1/orders?limit=50')),
      );
    },
  },
  {
    name: 'trace',
    what: 'trace a delivered order',
    prepare: async (shop, lanes, each) => {
      const { orderId } = await deliveredLimb(shop);
      return eachLane(lanes, () =>
        inTurn(each, async () => get(shop, 'auditor', `/api/v1/trace?order=${orderId}`)),
      );
    },
  },
];

async function emptyCheckSocket(shop: Shop) {
  const { orderId } = await openedOrder(shop);
  await acceptedCast(shop, orderId);
  const { id } = await makeSocket(shop, orderId, { kind: 'check', sheetThicknessMm: 12 });
  return readSocket(shop, id);
}

async function socketOnTheLimb(shop: Shop) {
  const { orderId } = await openedOrder(shop);
  await acceptedCast(shop, orderId);
  return checkSocketOnTheLimb(shop, orderId);
}

const eachLane = <T>(lanes: number, prepare: () => Promise<T>): Promise<T[]> =>
  Promise.all(Array.from({ length: lanes }, prepare));

async function inTurn<T>(count: number, make: (n: number) => Promise<T>): Promise<T[]> {
  const made: T[] = [];
  for (let n = 0; n < count; n += 1) made.push(await make(n));
  return made;
}

const authorization = ({ clinic }: Shop, role: Role): string =>
  `Bearer ${clinic.token(clinic.people[role])}`;

const get = (shop: Shop, role: Role, path: string): BenchRequest => ({
  method: 'GET',
  path,
  headers: { authorization: authorization(shop, role) },
  body: undefined,
});

const post = (shop: Shop, role: Role, path: string, body: object): BenchRequest => ({
  method: 'POST',
  path,
  headers: {
    authorization: authorization(shop, role),
    'content-type': 'application/json',
    'idempotency-key': randomUUID(),
  },
  body: JSON.stringify(body),
});

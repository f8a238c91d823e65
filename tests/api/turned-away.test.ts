/** Requests that the bench makes in good faith and is turned away from, each with its reason. */
import net, { type Socket } from 'node:net';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { answerClientError } from '../../src/http/clientErrors.ts';
import { PASSWORD, testClinic, type TestClinic } from '../support/api.ts';
import {
  acceptedCast,
  inBin,
  inPosition,
  makeSocket,
  MEASURES,
  move,
  ok,
  openedOrder,
  readSocket,
  refusedWith,
  stockedShop,
  type Shop,
} from '../support/job.ts';

let clinic: TestClinic;
let shop: Shop;

beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
});
afterAll(() => clinic.close());

describe('in the store room', () => {
  it('two drawers cannot have one name', async () => {
    const name = 'Drawer of springs';
    const make = () => clinic.as('technician').post('/api/v1/places', { name });
    await ok(make());
    const { status, body } = await refusedWith(make(), 'place-name-taken');
    expect([status, body['detail']]).toEqual([409, `There is a place called ${name} already.`]);
  });

  it('a lock is received once, and of a box with one known serial nothing is received', async () => {
    const receive = (serials: string[]) =>
      clinic.as('technician').post('/api/v1/items', {
        partId: shop.parts.lock,
        serials,
        toPlaceId: shop.bin,
      });
    await ok(receive(['A-1', 'A-2']));
    const { body } = await refusedWith(receive(['A-3', 'A-2']), 'serial-already-received');
    expect(body['detail']).toContain('A-2');
    const kept = await clinic.store.raw(
      `select serial from item where serial like 'A-%' order by serial`,
    );
    expect(kept).toEqual([{ serial: 'A-1' }, { serial: 'A-2' }]);
  });
});

describe('starting a socket', () => {
  it('from a cast that nobody has accepted yet', async () => {
    const { orderId } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const second = await ok<{ id: string }>(
      clinic.as('prosthetist').post(`/api/v1/orders/${orderId}/casts`, {
        method: 'plaster',
        takenOn: '2026-03-02',
        limbLengthMm: 165,
        measures: MEASURES,
      }),
    );
    await refusedWith(
      clinic
        .as('technician')
        .post(`/api/v1/orders/${orderId}/sockets`, { kind: 'check', castId: second.id }),
      'cast-not-accepted',
    );
  });

  it('in the place of a socket of another order', async () => {
    const [one, other] = [await openedOrder(shop), await openedOrder(shop)];
    await acceptedCast(shop, one.orderId);
    await acceptedCast(shop, other.orderId);
    const theirs = await makeSocket(shop, other.orderId, { kind: 'check' });
    await refusedWith(
      clinic.as('technician').post(`/api/v1/orders/${one.orderId}/sockets`, {
        kind: 'check',
        replacesSocketId: theirs.id,
      }),
      'replaces-foreign-socket',
    );
    expect((await readSocket(shop, theirs.id)).state).toBe('in_work');
  });

  it('for which the clinic has no route', async () => {
    const { orderId } = await openedOrder(shop, { suspension: 'lanyard' });
    await acceptedCast(shop, orderId);
    // Over the API a route is replaced, never ended.
    await clinic.store.raw(
      `update route set superseded_at = now() where clinic_id = $1 and suspension = 'lanyard'`,
      [clinic.clinicId],
    );
    await refusedWith(
      clinic.as('technician').post(`/api/v1/orders/${orderId}/sockets`, { kind: 'check' }),
      'no-route',
    );
  });
});

describe('at the bench', () => {
  it('a model is not broken out while a check socket waits to be formed over it (R6)', async () => {
    const { orderId } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const check = await makeSocket(shop, orderId, { kind: 'check' });
    await ok(
      clinic.as('prosthetist').post(`/api/v1/orders/${orderId}/skip-check-fitting`, {
        reason: 'Remake over the proven shape.',
        signature: { password: PASSWORD },
      }),
    );
    const definitive = await makeSocket(shop, orderId, { kind: 'definitive' });
    const breakOut = definitive.operations.find(({ kind }) => kind === 'break_out_model');
    const { body } = await refusedWith(
      clinic
        .as('technician')
        .post(`/api/v1/operations/${breakOut?.id ?? ''}/records`, { answers: {} }),
      'model-still-needed',
    );
    expect(body['detail']).toContain(check.number);
  });

  it('a transfer that names a lock which the socket does not hold moves nothing', async () => {
    const { orderId } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const socket = await makeSocket(shop, orderId, { kind: 'check' });
    const other = await openedOrder(shop);
    await acceptedCast(shop, other.orderId);
    const target = await makeSocket(shop, other.orderId, { kind: 'check' });
    const [lock = '', loose = ''] = await shop.receive('lock', 2);
    await ok(move(shop, { itemId: lock }, inBin(shop), inPosition(socket.id, 'lock')));
    await refusedWith(
      clinic.as('technician').post('/api/v1/transfers', {
        fromSocketId: socket.id,
        toSocketId: target.id,
        itemIds: [lock, loose],
        fresh: [],
      }),
      'nothing-to-transfer',
    );
    expect((await readSocket(shop, socket.id)).hardware.map(({ itemId }) => itemId)).toEqual([
      lock,
    ]);
  });
});

describe('on the wire', () => {
  it('a request that takes too long to arrive is told so, and the line is closed', async () => {
    // The service's own limit is half a minute; the answer is asked for here without the wait.
    const server = net.createServer((socket: Socket) => {
      const late = Object.assign(new Error('late'), { code: 'ERR_HTTP_REQUEST_TIMEOUT' });
      answerClientError(late, socket);
    });
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
    const { port } = server.address() as net.AddressInfo;
    const heard = await new Promise<string>((resolve, reject) => {
      let text = '';
      net
        .connect(port, '127.0.0.1')
        .on('data', (bytes) => (text += bytes.toString()))
        .on('end', () => {
          resolve(text);
        })
        .on('error', reject);
    });
    await new Promise((resolve) => server.close(resolve));
    expect(heard).toMatch(/^HTTP\/1\.1 408 /);
    const problem = JSON.parse(heard.slice(heard.indexOf('{'))) as object;
    expect(problem).toMatchObject({ status: 408, code: 'request-timed-out' });
  });
});

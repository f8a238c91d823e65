/** What the bench meets besides the straight road: heavy patients, races, the mould, who releases, holds. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Role } from '../../src/domain/words.ts';
import { PASSWORD, takeOn, testClinic, type TestClinic, type TestPerson } from '../support/api.ts';
import {
  acceptedCast,
  acceptFit,
  ALIGNMENT,
  checkLock,
  checkSocketOnTheLimb,
  definitiveAwaitingLock,
  deliver,
  finishDefinitive,
  gate,
  goodAnswers,
  inBin,
  inPosition,
  makeSocket,
  move,
  ok,
  onBench,
  openedOrder,
  readSocket,
  refusedWith,
  type Shop,
  stockedShop,
  torque,
  transferTo,
} from '../support/job.ts';

const signature = { password: PASSWORD };
let clinic: TestClinic;
let shop: Shop;

beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
});
afterAll(() => clinic.close());

const operationOf = async (socketId: string, kind: string) => {
  const operation = (await readSocket(shop, socketId)).operations.find(
    (each) => each.kind === kind,
  );
  if (operation === undefined) throw new Error(`no ${kind}`);
  return operation;
};

describe('R3: a body mass near the rating', () => {
  it('needs a prosthetist’s signed acknowledgement, and past the rating none helps', async () => {
    const { orderId, patientId } = await openedOrder(shop, { massKg: 115 });
    await acceptedCast(shop, orderId);
    const socket = await makeSocket(shop, orderId, { kind: 'check' });
    const [lock = ''] = await shop.receive('lock', 1);
    const put = () => move(shop, { itemId: lock }, inBin(shop), inPosition(socket.id, 'lock'));
    const refusal = await refusedWith(put(), 'mass-near-rating');
    expect(JSON.stringify(refusal.body)).toContain('92');
    const acknowledge = () =>
      clinic.as('prosthetist').post(`/api/v1/sockets/${socket.id}/mass-acknowledgements`, {
        partId: shop.parts.lock,
        signature,
      });
    await refusedWith(
      clinic.as('technician').post(`/api/v1/sockets/${socket.id}/mass-acknowledgements`, {
        partId: shop.parts.lock,
        signature,
      }),
      'role-may-not',
    );
    expect(await ok<{ upToKg: number }>(acknowledge())).toMatchObject({ upToKg: 115 });
    await ok(put());

    await ok(
      clinic.as('prosthetist').post(`/api/v1/patients/${patientId}/body-masses`, {
        massKg: 126,
        measuredOn: '2026-03-02',
      }),
    );
    await refusedWith(acknowledge(), 'mass-over-rating');
    const [pin = ''] = await shop.receive('pin', 1);
    await refusedWith(
      move(shop, { itemId: pin }, inBin(shop), inPosition(socket.id, 'pin')),
      'mass-over-rating',
    );
  });
});

describe('R1: fifty hands on one lock', () => {
  it('one gets it, forty-nine are told where it is, and the ledger holds one move', async () => {
    const [lock = ''] = await shop.receive('lock', 1);
    const bins = await Promise.all(
      Array.from({ length: 50 }, (_, n) =>
        ok<{ id: string }>(
          clinic.as('technician').post('/api/v1/places', { name: `Race ${String(n)}` }),
        ),
      ),
    );
    const answers = await Promise.all(
      bins.map((bin) =>
        move(shop, { itemId: lock }, inBin(shop), { kind: 'bin', placeId: bin.id }, 'stock_taken'),
      ),
    );
    const won = answers.filter((answer) => answer.status === 201);
    const lost = answers.filter((answer) => answer.status === 409);
    expect([won.length, lost.length]).toEqual([1, 49]);
    const { item, moves } = await ok<{ item: { placeName: string }; moves: unknown[] }>(
      clinic.as('technician').get(`/api/v1/items/${lock}`),
    );
    expect(moves).toHaveLength(2);
    for (const answer of lost) {
      expect(answer.body).toMatchObject({ code: 'item-is-elsewhere', rule: 'R2' });
      expect((answer.body as { detail: string }).detail).toContain(item.placeName);
    }
  });

  it('two different locks race for one position: one goes in', async () => {
    const { orderId } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const socket = await makeSocket(shop, orderId, { kind: 'check' });
    const locks = await shop.receive('lock', 8);
    const answers = await Promise.all(
      locks.map((itemId) => move(shop, { itemId }, inBin(shop), inPosition(socket.id, 'lock'))),
    );
    expect(answers.filter((answer) => answer.status === 201)).toHaveLength(1);
    for (const answer of answers.filter((each) => each.status !== 201)) {
      expect(answer.body).toMatchObject({ code: 'position-is-occupied', status: 409 });
    }
  });
});

describe('R6: the mould', () => {
  it('is left unbroken by a prosthetist’s decision only, and what a rule asks for is never left out', async () => {
    const { orderId } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const check = await checkSocketOnTheLimb(shop, orderId);
    await ok(acceptFit(shop, check.socketId));
    const first = await makeSocket(shop, orderId, { kind: 'definitive' });
    await refusedWith(
      clinic.as('technician').post(`/api/v1/orders/${orderId}/sockets`, { kind: 'definitive' }),
      'socket-state-does-not-allow',
    );
    const breakOut = await operationOf(first.id, 'break_out_model');
    await refusedWith(
      clinic
        .as('technician')
        .post(`/api/v1/operations/${breakOut.id}/leave-out`, { why: 'Keep it.' }),
      'role-may-not',
    );
    await ok(
      clinic.as('prosthetist').post(`/api/v1/operations/${breakOut.id}/leave-out`, {
        why: 'The model is kept for a spare.',
      }),
    );
    const cure = await operationOf(first.id, 'cure');
    await refusedWith(
      clinic.as('prosthetist').post(`/api/v1/operations/${cure.id}/leave-out`, { why: 'No time.' }),
      'operation-is-needed',
    );
  });
});

describe('R8: who releases', () => {
  it('the prosthetist who alone did the bench work cannot release it, unless the clinic says so', async () => {
    const roles = ['technician', 'prosthetist'] as const;
    const bo = await takeOn(clinic, { printedName: 'Bo Both', roles });
    const hands = (who: Role | TestPerson) =>
      clinic.as(who === 'technician' || who === 'prosthetist' ? bo : who);
    const alone: Shop = { ...shop, clinic: { ...clinic, as: hands } };
    const { orderId } = await openedOrder(alone);
    await acceptedCast(alone, orderId);
    const check = await checkSocketOnTheLimb(alone, orderId);
    await ok(acceptFit(alone, check.socketId));
    const socketId = await definitiveAwaitingLock(alone, orderId);
    await transferTo(alone, check.socketId, socketId, check.hardware);
    await finishDefinitive(alone, socketId);
    await refusedWith(deliver(alone, orderId, socketId), 'releaser-did-the-work');
    expect((await gate(shop, orderId)).open).toBe(true);

    const settings = await clinic.as('administrator').get('/api/v1/clinic');
    await ok(
      clinic
        .as('administrator')
        .patch('/api/v1/clinic', { releaserMayBeSoleWorker: true }, settings.headers['etag']!),
    );
    expect(await ok(deliver(alone, orderId, socketId))).toMatchObject({
      releaserWasSoleWorker: true,
    });
  });
});

describe('holding and skipping', () => {
  it('an order on hold takes no bench work, and goes on when it is taken off', async () => {
    const { orderId } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const socket = await makeSocket(shop, orderId, { kind: 'check' });
    await ok(
      clinic
        .as('front_desk')
        .post(`/api/v1/orders/${orderId}/hold`, { holdReason: 'authorization_awaited' }),
    );
    const first = await operationOf(socket.id, 'prepare_model');
    const record = () =>
      clinic
        .as('technician')
        .post(`/api/v1/operations/${first.id}/records`, { answers: goodAnswers(shop, first) });
    await refusedWith(record(), 'order-on-hold');
    const [lock = ''] = await shop.receive('lock', 1);
    await refusedWith(
      move(shop, { itemId: lock }, inBin(shop), inPosition(socket.id, 'lock')),
      'order-on-hold',
    );
    await ok(clinic.as('front_desk').post(`/api/v1/orders/${orderId}/resume`));
    await ok(record());
  });

  it('check fitting is skipped only by a prosthetist, signed, with the reason', async () => {
    const { orderId } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const skip = (who: 'technician' | 'prosthetist') =>
      clinic.as(who).post(`/api/v1/orders/${orderId}/skip-check-fitting`, {
        reason: 'Same limb, same socket as last year; volume unchanged.',
        signature,
      });
    await refusedWith(skip('technician'), 'role-may-not');
    await ok(skip('prosthetist'));
    const socketId = await definitiveAwaitingLock(shop, orderId);
    expect((await gate(shop, orderId)).missing.map((each) => each.code)).not.toContain(
      'fit-not-accepted',
    );
    expect((await readSocket(shop, socketId)).order.stage).toBe('delivery');
  });
});

describe('bad input at the bench', () => {
  it('is refused with the field to blame, never with half a write', async () => {
    const tech = clinic.as('technician');
    const { orderId } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const socket = await makeSocket(shop, orderId, { kind: 'check' });
    const bad: [string, object, string][] = [
      ['/api/v1/moves', {}, 'request-invalid'],
      [
        '/api/v1/moves',
        { thing: { itemId: shop.bin }, from: inBin(shop), to: onBench, reason: 'issued' },
        'thing-unknown',
      ],
      [
        '/api/v1/moves',
        { thing: { itemId: 'x' }, from: inBin(shop), to: onBench, reason: 'issued', extra: 1 },
        'request-invalid',
      ],
      [
        `/api/v1/sockets/${socket.id}/joints/distal/confirmations`,
        { toolId: shop.wrench, readings: [] },
        'hardware-missing',
      ],
      [
        `/api/v1/sockets/${socket.id}/joints/nothing/confirmations`,
        { toolId: shop.wrench, readings: [] },
        'request-invalid',
      ],
      [`/api/v1/sockets/${socket.id}/lock-checks`, { cycles: [] }, 'hardware-missing'],
      [
        `/api/v1/sockets/${socket.id}/alignments`,
        { ...ALIGNMENT, flexionDeg: 500 },
        'request-invalid',
      ],
      [`/api/v1/sockets/${socket.id}/alignments`, ALIGNMENT, 'hardware-missing'],
      [
        `/api/v1/orders/${orderId}/sockets`,
        { kind: 'definitive', sheetThicknessMm: 12 },
        'request-invalid',
      ],
    ];
    for (const [url, body, code] of bad) {
      const { status } = await refusedWith(tech.post(url, body), code);
      expect(status, url).toBeLessThan(500);
    }
    expect((await readSocket(shop, socket.id)).hardware).toEqual([]);
    await refusedWith(
      clinic.as('technician').get('/api/v1/sockets/00000000-0000-7000-8000-000000000000'),
      'not-found',
    );
    await refusedWith(checkLock(shop, socket.id), 'hardware-missing');
    await refusedWith(torque(shop, socket.id), 'hardware-missing');
  });
});

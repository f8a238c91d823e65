/** What the bench meets besides the straight road: heavy patients, findings, races, remakes, what is due. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Role } from '../../src/domain/words.ts';
import { PASSWORD, testClinic, type TestClinic, type TestPerson } from '../support/api.ts';
import {
  acceptedCast,
  acceptFit,
  ALIGNMENT,
  checkLock,
  checkSocketOnTheLimb,
  definitiveAwaitingLock,
  deliver,
  deliveredLimb,
  doOperations,
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
  stockedShop,
  torque,
  transferTo,
  type Shop,
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

describe('findings and what they block', () => {
  it('an open finding blocks delivery until it is disposed of; accepting it needs a signature', async () => {
    const { orderId } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const check = await checkSocketOnTheLimb(shop, orderId);
    await ok(acceptFit(shop, check.socketId));
    const socketId = await definitiveAwaitingLock(shop, orderId);
    await transferTo(shop, check.socketId, socketId, check.hardware);
    await finishDefinitive(shop, socketId);
    const { findingId } = await ok<{ findingId: string }>(
      clinic.as('technician').post(`/api/v1/sockets/${socketId}/findings`, {
        kind: 'void',
        note: 'Void of 2 mm at the posterior brim.',
      }),
    );
    expect((await gate(shop, orderId)).missing.map((each) => each.code)).toEqual(['finding-open']);
    await refusedWith(deliver(shop, orderId, socketId), 'finding-open');
    await refusedWith(
      clinic.as('technician').post(`/api/v1/findings/${findingId}/disposition`, {
        disposition: 'scrap',
        why: 'Too deep.',
      }),
      'prosthetist-decides',
    );
    await ok(
      clinic.as('prosthetist').post(`/api/v1/findings/${findingId}/acceptance`, {
        why: 'Outside the loaded area; filled.',
        signature,
      }),
    );
    await refusedWith(
      clinic.as('prosthetist').post(`/api/v1/findings/${findingId}/acceptance`, {
        why: 'Again.',
        signature,
      }),
      'finding-already-closed',
    );
    await ok(deliver(shop, orderId, socketId));
  });

  it('a batch that is quarantined after use blocks the limb it went into', async () => {
    const { orderId } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const check = await checkSocketOnTheLimb(shop, orderId);
    await ok(acceptFit(shop, check.socketId));
    const resin = shop.batches['resin'] ?? '';
    const other = await ok<{ id: string; lot: string }>(
      clinic.as('technician').post('/api/v1/batches', {
        kind: 'resin',
        name: 'Invented resin',
        lot: 'RES-BAD',
        receivedOn: '2026-01-05',
        quantity: 900,
        unit: 'g',
      }),
    );
    const withBadResin: Shop = { ...shop, batches: { ...shop.batches, resin: other.id } };
    const socketId = await definitiveAwaitingLock(withBadResin, orderId);
    await transferTo(shop, check.socketId, socketId, check.hardware);
    await finishDefinitive(shop, socketId);
    expect((await gate(shop, orderId)).open).toBe(true);
    await ok(
      clinic
        .as('technician')
        .post(`/api/v1/batches/${other.id}/quarantine`, { reason: 'Supplier withdrew the lot.' }),
    );
    const blocked = await gate(shop, orderId);
    expect(blocked.missing.map((each) => each.code)).toEqual(['batch-not-good']);
    expect(blocked.missing[0]?.detail).toContain('RES-BAD');
    const { findingId } = await ok<{ findingId: string }>(
      clinic.as('prosthetist').post(`/api/v1/sockets/${socketId}/findings`, {
        kind: 'other',
        note: 'Resin lot RES-BAD was withdrawn after use.',
      }),
    );
    await ok(
      clinic.as('prosthetist').post(`/api/v1/findings/${findingId}/acceptance`, {
        why: 'The withdrawal concerns colour only.',
        signature,
      }),
    );
    expect((await gate(shop, orderId)).open).toBe(true);
    expect(resin).not.toBe(other.id);
  });

  it('scrapping a definitive socket takes the order back to lamination', async () => {
    const { orderId } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const check = await checkSocketOnTheLimb(shop, orderId);
    await ok(acceptFit(shop, check.socketId));
    const socketId = await definitiveAwaitingLock(shop, orderId);
    const { findingId: second } = await ok<{ findingId: string }>(
      clinic.as('technician').post(`/api/v1/sockets/${socketId}/findings`, {
        kind: 'dry_fibre',
        note: 'Dry fibre beside the crack.',
      }),
    );
    const { findingId } = await ok<{ findingId: string }>(
      clinic.as('technician').post(`/api/v1/sockets/${socketId}/findings`, {
        kind: 'crack',
        note: 'Crack from the valve hole.',
      }),
    );
    await ok(
      clinic.as('prosthetist').post(`/api/v1/findings/${findingId}/disposition`, {
        disposition: 'scrap',
        why: 'Structural.',
      }),
    );
    const ended = await readSocket(shop, socketId);
    expect(ended).toMatchObject({ state: 'scrapped', order: { stage: 'lamination' } });
    // The second finding is closed too; the socket stays scrap.
    await ok(
      clinic.as('prosthetist').post(`/api/v1/findings/${second}/disposition`, {
        disposition: 'remake',
        why: 'With the crack.',
      }),
    );
    expect((await readSocket(shop, socketId)).state).toBe('scrapped');
    await refusedWith(
      move(
        shop,
        { itemId: check.hardware.lock },
        inPosition(check.socketId, 'lock'),
        inPosition(socketId, 'lock'),
        'put_back',
      ),
      'socket-is-retired',
    );
    // The model was broken out with the first: only a new cast helps.
    await refusedWith(
      clinic.as('technician').post(`/api/v1/orders/${orderId}/sockets`, { kind: 'definitive' }),
      'model-is-gone',
    );
  });
});

describe('R6: the mould', () => {
  it('is kept while another socket waits to be formed over it, and may be left unbroken by decision', async () => {
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
    const { id } = await ok<{ id: string }>(
      clinic.as('administrator').post('/api/v1/people', {
        email: 'both.hands@kl.example',
        printedName: 'Bo Both',
        roles,
        initialPassword: PASSWORD,
      }),
    );
    const bo: TestPerson = {
      ...clinic.people.prosthetist,
      id,
      email: 'both.hands@kl.example',
      caller: {
        ...clinic.people.prosthetist.caller,
        personId: id,
        printedName: 'Bo Both',
        roles: [...roles],
      },
    };
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

describe('after delivery', () => {
  it('what is due is listed, a new body mass is judged on what is worn, and a remake takes the lock along', async () => {
    const limb = await deliveredLimb(shop);
    const desk = clinic.as('front_desk');
    const due = async (days: number) =>
      (
        await ok<{ items: { socketNumber: string; because: string; dueOn: string }[] }>(
          desk.get(`/api/v1/service/due?withinDays=${String(days)}`),
        )
      ).items.find((each) => each.socketNumber === `${limb.number}/D1`);
    expect(await due(13)).toBeUndefined();
    expect(await due(14)).toMatchObject({ because: 'first_recheck', dueOn: '2026-03-16' });

    const heavy = await ok<{ warnings: { code: string }[] }>(
      clinic.as('prosthetist').post(`/api/v1/patients/${limb.patientId}/body-masses`, {
        massKg: 130,
        measuredOn: '2026-03-02',
        confirmed: true,
      }),
    );
    expect(heavy.warnings.map((each) => each.code)).toContain('mass-over-rating');
    expect((await readSocket(shop, limb.socketId)).openFindings.map((each) => each.kind)).toContain(
      'over_rated_mass',
    );
    await ok(
      clinic.as('prosthetist').post(`/api/v1/patients/${limb.patientId}/body-masses`, {
        massKg: 84,
        measuredOn: '2026-03-02',
        confirmed: true,
      }),
    );

    // Remake from a new cast: the worn hardware moves in a service visit of the old socket.
    await ok(
      clinic
        .as('prosthetist')
        .post(`/api/v1/orders/${limb.orderId}/remake`, { why: 'The limb shrank.', newCast: true }),
    );
    await acceptedCast(shop, limb.orderId);
    const check = await makeSocket(shop, limb.orderId, { kind: 'check' });
    await doOperations(shop, check.id, ['prepare_model', 'thermoform', 'trim_edges']);
    const itemIds = [
      limb.hardware.lock,
      limb.hardware.lock_plate,
      limb.hardware.release_valve,
      limb.hardware.pin,
      limb.hardware.pyramid,
    ];
    const transfer = (more: object) =>
      clinic.as('technician').post('/api/v1/transfers', {
        fromSocketId: limb.socketId,
        toSocketId: check.id,
        itemIds,
        ...more,
      });
    await refusedWith(transfer({}), 'worn-moves-in-service-only');
    const { serviceVisitId } = await ok<{ serviceVisitId: string }>(
      desk.post(`/api/v1/orders/${limb.orderId}/service-visits`, {
        socketId: limb.socketId,
        kind: 'part_replaced',
        note: 'Hardware goes into the remake.',
      }),
    );
    await refusedWith(
      desk.post(`/api/v1/orders/${limb.orderId}/service-visits`, {
        socketId: limb.socketId,
        kind: 'follow_up',
        note: 'A second one.',
      }),
      'visit-already-open',
    );
    await ok(transfer({ serviceVisitId }));
    await ok(
      clinic.as('prosthetist').post(`/api/v1/service-visits/${serviceVisitId}/closing`, {
        outcome: 'Old socket taken out of use.',
        signature,
      }),
    );
    expect((await readSocket(shop, limb.socketId)).state).toBe('retired');
    const now = await readSocket(shop, check.id);
    expect(now.hardware.find((each) => each.position === 'lock')?.cameFrom).toBe(
      `${limb.number}/D1 lock`,
    );
  });

  it('an alignment out of tolerance is accepted by signature, for that measurement only', async () => {
    const { orderId } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const check = await checkSocketOnTheLimb(shop, orderId);
    await ok(acceptFit(shop, check.socketId));
    const socketId = await definitiveAwaitingLock(shop, orderId);
    await transferTo(shop, check.socketId, socketId, check.hardware);
    await finishDefinitive(shop, socketId);
    const measure = () =>
      ok(
        clinic
          .as('prosthetist')
          .post(`/api/v1/sockets/${socketId}/alignments`, { ...ALIGNMENT, lateralOffsetMm: 4 }),
      );
    await measure();
    expect((await gate(shop, orderId)).missing.map((each) => each.code)).toEqual([
      'alignment-out-of-tolerance',
    ]);
    await ok(
      clinic.as('prosthetist').post(`/api/v1/sockets/${socketId}/alignment-difference-acceptance`, {
        why: 'Better knee position seen walking.',
        signature,
      }),
    );
    expect((await gate(shop, orderId)).open).toBe(true);
    await measure();
    expect((await gate(shop, orderId)).open).toBe(false);
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

/** After delivery: what is due, a heavier wearer, a remake; and an alignment accepted as it differs. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { PASSWORD, testClinic, type TestClinic } from '../support/api.ts';
import {
  acceptedCast,
  ALIGNMENT,
  deliveredLimb,
  doOperations,
  gate,
  limbToDeliver,
  makeSocket,
  ok,
  readSocket,
  refusedWith,
  type Shop,
  stockedShop,
} from '../support/job.ts';

const signature = { password: PASSWORD };
let clinic: TestClinic;
let shop: Shop;

beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
});
afterAll(() => clinic.close());

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
    const { orderId, socketId } = await limbToDeliver(shop);
    const measure = () =>
      ok<{ alignmentId: string }>(
        clinic
          .as('prosthetist')
          .post(`/api/v1/sockets/${socketId}/alignments`, { ...ALIGNMENT, lateralOffsetMm: 4 }),
      );
    const { alignmentId } = await measure();
    expect((await gate(shop, orderId)).missing.map((each) => each.code)).toEqual([
      'alignment-out-of-tolerance',
    ]);
    await ok(
      clinic.as('prosthetist').post(`/api/v1/sockets/${socketId}/alignment-difference-acceptance`, {
        alignmentId,
        why: 'Better knee position seen walking.',
        signature,
      }),
    );
    expect((await gate(shop, orderId)).open).toBe(true);
    await measure();
    expect((await gate(shop, orderId)).open).toBe(false);
  });
});

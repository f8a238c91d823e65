/** Findings and bad batches: what they block, and who may close them. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { PASSWORD, testClinic, type TestClinic } from '../support/api.ts';
import {
  deliver,
  gate,
  inPosition,
  laminatedAfterFit,
  limbToDeliver,
  move,
  ok,
  openedOrder,
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

describe('findings and what they block', () => {
  it('an open finding blocks delivery until it is disposed of; accepting it needs a signature', async () => {
    const { orderId, socketId } = await limbToDeliver(shop);
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
    const { orderId, socketId } = await limbToDeliver(withBadResin);
    expect((await gate(shop, orderId)).open).toBe(true);
    await ok(
      clinic
        .as('technician')
        .post(`/api/v1/batches/${other.id}/quarantine`, { reason: 'Supplier withdrew the lot.' }),
    );
    const blocked = await gate(shop, orderId);
    expect(blocked.missing.map((each) => each.code)).toEqual(['batch-not-good']);
    expect(blocked.missing[0]?.detail).toContain('RES-BAD');
    const report = (body: object) =>
      clinic
        .as('prosthetist')
        .post(`/api/v1/sockets/${socketId}/findings`, { kind: 'other', ...body });
    const accept = (findingId: string) =>
      ok(
        clinic.as('prosthetist').post(`/api/v1/findings/${findingId}/acceptance`, {
          why: 'The withdrawal concerns colour only.',
          signature,
        }),
      );
    // A note that happens to mention the lot accepts nothing: the finding must name the batch.
    const mentioned = await ok<{ findingId: string }>(
      report({ note: 'Scratch; lot RES-BAD was on the bench beside it.' }),
    );
    await accept(mentioned.findingId);
    expect((await gate(shop, orderId)).missing.map((each) => each.code)).toEqual([
      'batch-not-good',
    ]);
    await refusedWith(
      report({ note: 'Not in this socket.', batchId: shop.batches['resin'] }),
      'not-found',
    );
    const named = await ok<{ findingId: string }>(
      report({ note: 'Resin lot was withdrawn after use.', batchId: other.id }),
    );
    await accept(named.findingId);
    expect((await gate(shop, orderId)).open).toBe(true);
  });

  it('scrapping a definitive socket takes the order back to lamination', async () => {
    const { orderId } = await openedOrder(shop);
    const { socketId, check } = await laminatedAfterFit(shop, orderId);
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

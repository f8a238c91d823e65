/** Findings and bad batches: what they block, and who may close them. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { PASSWORD, testClinic, type TestClinic } from '../support/api.ts';
import {
  acceptedCast,
  checkLock,
  deliver,
  doOperations,
  gate,
  goodAnswers,
  inBin,
  inPosition,
  issueHardware,
  laidUpWithoutLock,
  laminatedAfterFit,
  limbToDeliver,
  makeRecipe,
  makeSocket,
  move,
  ok,
  openedOrder,
  readSocket,
  refusedWith,
  sealedWithoutLock,
  type Shop,
  stockedShop,
  torque,
  weighCup,
  weighedResin,
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
        resinProductId: shop.resinProduct,
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

  describe('accepted as it is on an operation', () => {
    const operationOf = async (socketId: string, kind: string) =>
      (await readSocket(shop, socketId)).operations.find((each) => each.kind === kind)!;
    const stateOf = async (socketId: string, kind: string) =>
      (await operationOf(socketId, kind)).state;
    const report = async (socketId: string, kind: string) => {
      const { id: operationId } = await operationOf(socketId, kind);
      const { findingId } = await ok<{ findingId: string }>(
        clinic.as('technician').post(`/api/v1/sockets/${socketId}/findings`, {
          kind: 'other',
          note: 'A streak of pigment.',
          operationId,
        }),
      );
      return findingId;
    };
    const accept = (findingId: string) =>
      ok(
        clinic.as('prosthetist').post(`/api/v1/findings/${findingId}/acceptance`, {
          why: 'Colour only.',
          signature,
        }),
      );
    const rework = (findingId: string) =>
      ok(
        clinic.as('technician').post(`/api/v1/findings/${findingId}/disposition`, {
          disposition: 'rework',
          why: 'Done again.',
        }),
      );
    /** Records the lamination with a vacuum that was lost; the finding it opened. */
    const badVacuum = async (socketId: string): Promise<string> => {
      const laminate = await operationOf(socketId, 'laminate');
      const { findingId } = await ok<{ findingId: string }>(
        clinic.as('technician').post(`/api/v1/operations/${laminate.id}/records`, {
          answers: { ...goodAnswers(shop, laminate), vacuum_kpa: 10 },
        }),
      );
      return findingId;
    };

    it('that was never recorded leaves it to be done: no layup is laid up, no resin drawn by a signature', async () => {
      const socketId = await sealedWithoutLock(shop);
      for (const kind of ['lay_up', 'laminate']) {
        const findingId = await report(socketId, kind);
        expect(await stateOf(socketId, kind)).toBe('stopped');
        await accept(findingId);
        expect(await stateOf(socketId, kind)).toBe('waiting');
      }
      const layUp = await operationOf(socketId, 'lay_up');
      await refusedWith(
        clinic.as('technician').post(`/api/v1/operations/${layUp.id}/records`, {
          answers: goodAnswers(shop, layUp),
        }),
        'facts-do-not-bear-it-out',
      );
    });

    it('that was recorded and stopped lets it stand as done', async () => {
      const socketId = await laidUpWithoutLock(shop);
      await weighedResin(shop, socketId);
      await accept(await badVacuum(socketId));
      expect(await stateOf(socketId, 'laminate')).toBe('done');
    });

    it('leaves it stopped while another finding is open on it, whichever is closed first', async () => {
      const socketId = await laidUpWithoutLock(shop);
      const { pours } = await ok<{ pours: { totalG: number; hardenerG: number }[] }>(
        makeRecipe(shop, socketId),
      );
      const { totalG: _total, ...cup } = pours[0]!;
      const weighed = await ok<{ findingId: string }>(
        weighCup(shop, socketId, { ...cup, hardenerG: cup.hardenerG / 2 }),
      );
      const streak = await report(socketId, 'laminate');
      await accept(streak);
      expect(await stateOf(socketId, 'laminate')).toBe('stopped');
      const another = await report(socketId, 'laminate');
      await rework(another);
      expect(await stateOf(socketId, 'laminate')).toBe('stopped');
      // The cup may be poured as it is; pouring it is still to be done.
      await accept(weighed.findingId);
      expect(await stateOf(socketId, 'laminate')).toBe('waiting');
    });

    it('whose attempt was given up for rework leaves it to be done again', async () => {
      const socketId = await laidUpWithoutLock(shop);
      await weighedResin(shop, socketId);
      await rework(await badVacuum(socketId));
      await accept(await report(socketId, 'laminate'));
      expect(await stateOf(socketId, 'laminate')).toBe('waiting');
    });

    it('whose facts no longer bear it out leaves it to be done: a joint that moved is not torqued', async () => {
      const { orderId } = await openedOrder(shop);
      await acceptedCast(shop, orderId);
      const { id: socketId } = await makeSocket(shop, orderId, { kind: 'check' });
      await doOperations(shop, socketId, ['prepare_model', 'thermoform', 'trim_edges']);
      const { pyramid } = await issueHardware(shop, socketId);
      await ok(checkLock(shop, socketId));
      await ok(torque(shop, socketId));
      await doOperations(shop, socketId, ['fit_hardware', 'check_lock']);
      const joints = await operationOf(socketId, 'torque_joints');
      const no = joints.checks.find((each) => each.kind === 'yes_no');
      const stopped = async () =>
        ok<{ findingId: string; outcome: string }>(
          clinic.as('technician').post(`/api/v1/operations/${joints.id}/records`, {
            answers: { ...goodAnswers(shop, joints), [no?.key ?? '']: false },
          }),
        );
      const { findingId, outcome } = await stopped();
      expect(outcome).toBe('stopped');
      const position = inPosition(socketId, 'pyramid');
      await ok(move(shop, { itemId: pyramid }, position, inBin(shop), 'returned_to_bin'));
      await ok(move(shop, { itemId: pyramid }, inBin(shop), position));
      await accept(findingId);
      expect(await stateOf(socketId, 'torque_joints')).toBe('waiting');
    });
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

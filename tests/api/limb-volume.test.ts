/** A limb that changed past the clinic's limit: asked, decided once, and asked for at the delivery (C1, R8). */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { PASSWORD, testClinic, type TestClinic } from '../support/api.ts';
import {
  acceptedCast,
  acceptFit,
  checkSocketOnTheLimb,
  deliver,
  deliveredLimb,
  doOperations,
  gate,
  goodAnswers,
  limbToDeliver,
  makeSocket,
  MEASURES,
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

const prosthetist = () => clinic.as('prosthetist');

interface Since {
  readonly first: { readonly id: string };
  readonly second: { readonly id: string };
  readonly differenceMl: number;
  readonly percent: number;
}
/** Measures the order's limb again, `girth` times as thick as at its cast. */
async function measuredAgain(orderId: string, girth: number, given: object = {}): Promise<Since> {
  const taken = await ok<{ sinceCast: Since | null }>(
    prosthetist().post(`/api/v1/orders/${orderId}/measure-sets`, {
      occasion: 'fitting',
      takenOn: '2026-03-02',
      limbLengthMm: 165,
      measures: MEASURES.map((each) => ({
        ...each,
        circumferenceMm: each.circumferenceMm * girth,
      })),
      ...given,
    }),
  );
  if (taken.sinceCast === null) throw new Error('nothing to compare with');
  return taken.sinceCast;
}

const decide = ({ first, second }: Since, decision: string, more: object = {}) =>
  prosthetist().post('/api/v1/volume-decisions', {
    firstSetId: first.id,
    secondSetId: second.id,
    decision,
    ...more,
  });

interface Decided {
  readonly comparison: { readonly decision: Record<string, unknown> | null };
  readonly orderStage: string;
  readonly whatNext: { readonly words: string; readonly url: string } | null;
}

/** An order at check fitting whose limb has lost 7.8 % since its cast. */
async function shrunken(): Promise<{ orderId: string; since: Since }> {
  const { orderId } = await openedOrder(shop);
  await acceptedCast(shop, orderId);
  return { orderId, since: await measuredAgain(orderId, 0.96) };
}

describe('a decision on a limb that changed', () => {
  test('is kept with the server’s own figures, the limit of that moment, who and why', async () => {
    const { orderId, since } = await shrunken();
    const why = 'Wears the old liner again.';
    const { comparison, whatNext } = await ok<Decided>(decide(since, 'socks', { why }));
    expect(whatNext).toBeNull();
    const kept = {
      decision: 'socks',
      why,
      percent: since.percent,
      differenceMl: since.differenceMl,
      limitPercent: 5,
      decidedBy: 'Paula Fitting of KL',
    };
    expect(comparison.decision).toMatchObject(kept);
    const { body } = await clinic.as('auditor').get(`/api/v1/orders/${orderId}/history`);
    expect(body.items[0]).toMatchObject({
      kind: 'limb.change_decided',
      data: { decision: 'socks' },
    });

    const admin = clinic.as('administrator');
    const { headers } = await admin.get('/api/v1/clinic');
    await admin.patch('/api/v1/clinic', { volumeLimitPercent: 7 }, headers['etag'] ?? '');
    const list = await clinic.as('technician').get(`/api/v1/orders/${orderId}/measure-sets`);
    expect(list.body.sinceCast).toMatchObject({ limitPercent: 7, decision: kept });
    const after = await admin.get('/api/v1/clinic');
    await admin.patch('/api/v1/clinic', { volumeLimitPercent: 5 }, after.headers['etag'] ?? '');
  });

  test('takes no figures from outside', async () => {
    const { since } = await shrunken();
    await refusedWith(decide(since, 'socks', { percent: 1 }), 'request-invalid');
  });

  test('is not asked for within the limit', async () => {
    const { orderId } = await shrunken();
    const since = await measuredAgain(orderId, 0.99);
    const { status } = await refusedWith(decide(since, 'as_is'), 'no-decision-asked');
    expect(status).toBe(422);
  });

  test('is made once for two sets, whichever is named first', async () => {
    const { since } = await shrunken();
    await ok(decide(since, 'as_is'));
    const { body } = await refusedWith(decide(since, 'new_cast'), 'volume-already-decided');
    expect(body['detail']).toContain('Paula Fitting of KL decided');
    await refusedWith(
      decide({ ...since, first: since.second, second: since.first }, 'socks'),
      'volume-already-decided',
    );
  });

  test('is made by one of two who decide at the same moment', async () => {
    const { since } = await shrunken();
    const answers = await Promise.all([decide(since, 'socks'), decide(since, 'as_is')]);
    expect(answers.map(({ status }) => status).sort()).toEqual([201, 409]);
    expect(answers.find(({ status }) => status === 409)?.body.code).toBe('volume-already-decided');
  });

  test('is a prosthetist’s, on two sets of one limb', async () => {
    const [one, other] = [await shrunken(), await shrunken()];
    await refusedWith(
      clinic.as('technician').post('/api/v1/volume-decisions', {
        firstSetId: one.since.first.id,
        secondSetId: one.since.second.id,
        decision: 'socks',
      }),
      'role-may-not',
    );
    await refusedWith(
      decide({ ...one.since, second: other.since.second }, 'socks'),
      'measure-sets-of-two-limbs',
    );
  });

  test('is on the newest measures of the limb, and on the cast that is the newest accepted', async () => {
    const { orderId, since } = await shrunken();
    const again = await measuredAgain(orderId, 0.95);
    await refusedWith(decide(since, 'socks'), 'not-the-newest-measures');
    await refusedWith(
      decide({ ...again, first: since.second, second: again.second }, 'socks'),
      'not-the-newest-measures',
    );
    // A later cast is accepted: what was measured before it is decided on no more.
    await acceptedCast(shop, orderId);
    const { status } = await refusedWith(decide(again, 'new_cast'), 'not-the-newest-measures');
    expect(status).toBe(422);
    const order = await ok<{ stage: string }>(prosthetist().get(`/api/v1/orders/${orderId}`));
    expect(order.stage).toBe('check_fitting');
  });

  test('of a cancelled order is not made', async () => {
    const { orderId, since } = await shrunken();
    await clinic.as('front_desk').post(`/api/v1/orders/${orderId}/cancel`, { why: 'Mistake.' });
    await refusedWith(decide(since, 'socks'), 'stage-does-not-allow');
  });
});

describe('a new cast, and the way to it', () => {
  const stageOf = async (orderId: string): Promise<string> =>
    (await ok<{ stage: string }>(prosthetist().get(`/api/v1/orders/${orderId}`))).stage;

  test('at check fitting one is taken at once, or the fit of the socket on trial is rejected', async () => {
    const { orderId, since } = await shrunken();
    const { whatNext } = await ok<Decided>(decide(since, 'new_cast'));
    expect(whatNext?.url).toBe(`/api/v1/orders/${orderId}/casts`);

    const tried = await openedOrder(shop);
    await acceptedCast(shop, tried.orderId);
    const { socketId } = await checkSocketOnTheLimb(shop, tried.orderId);
    const again = await ok<Decided>(
      decide(await measuredAgain(tried.orderId, 0.96, { socketId }), 'new_cast'),
    );
    expect(again).toMatchObject({ orderStage: 'check_fitting' });
    expect(again.whatNext?.url).toBe(`/api/v1/sockets/${socketId}/fit-rejection`);
    await ok(
      prosthetist().post(again.whatNext?.url ?? '', {
        reasons: ['too_loose'],
        nextStep: 'new_cast',
      }),
    );
    expect(await stageOf(tried.orderId)).toBe('casting');
  });

  test('at delivery the order goes back to casting with the decision; a held one does not', async () => {
    const { orderId, number, socketId } = await limbToDeliver(shop);
    const since = await measuredAgain(orderId, 0.96, { socketId });
    const hold = { holdReason: 'limb_volume_not_stable' };
    await clinic.as('technician').post(`/api/v1/orders/${orderId}/hold`, hold).expect(200);
    await refusedWith(decide(since, 'new_cast'), 'order-on-hold');
    await clinic.as('technician').post(`/api/v1/orders/${orderId}/resume`).expect(200);

    const { orderStage, whatNext } = await ok<Decided>(decide(since, 'new_cast'));
    expect(orderStage).toBe('casting');
    expect(await stageOf(orderId)).toBe('casting');
    expect(whatNext?.url).toBe(`/api/v1/orders/${orderId}/casts`);
    const { missing } = await gate(shop, orderId);
    const said = missing.find(({ code }) => code === 'new-cast-decided');
    expect(said?.detail).toContain(`${number}/D1 still comes from cast 1`);
    await acceptedCast(shop, orderId);
    expect(await stageOf(orderId)).toBe('check_fitting');
  });

  test('after delivery a remake is opened', async () => {
    const { orderId, socketId } = await deliveredLimb(shop);
    const since = await measuredAgain(orderId, 0.9, { occasion: 'follow_up', socketId });
    const { orderStage, whatNext } = await ok<Decided>(decide(since, 'new_cast'));
    expect(orderStage).toBe('delivered');
    const remake = { why: 'The limb has shrunk.', newCast: true };
    await ok(prosthetist().post(whatNext?.url ?? '', remake));
    expect(await stageOf(orderId)).toBe('casting');
  });

  test('that these very measures were taken with is accepted, not taken again', async () => {
    const { orderId, since } = await shrunken();
    const cast = await ok<{ id: string; measureSetId: string }>(
      prosthetist().post(`/api/v1/orders/${orderId}/casts`, {
        method: 'scan',
        takenOn: '2026-03-02',
        limbLengthMm: 165,
        measures: MEASURES.map((each) => ({
          ...each,
          circumferenceMm: each.circumferenceMm * 0.95,
        })),
      }),
    );
    const pair = { ...since, second: { id: cast.measureSetId } };
    const { whatNext } = await ok<Decided>(decide(pair, 'new_cast'));
    expect(whatNext?.url).toBe(`/api/v1/casts/${cast.id}/accept`);
  });
});

describe('a cast that a new one was decided for', () => {
  /** The limb has lost 19 %, and a new cast is decided. */
  const newCast = async (orderId: string): Promise<Since> => {
    const since = await measuredAgain(orderId, 0.9);
    await ok(decide(since, 'new_cast'));
    return since;
  };
  const laterCast = async (orderId: string): Promise<void> => {
    const taken = await ok<{ id: string }>(
      prosthetist().post(`/api/v1/orders/${orderId}/casts`, {
        method: 'plaster',
        takenOn: '2026-03-02',
        limbLengthMm: 165,
        measures: MEASURES.map((each) => ({
          ...each,
          circumferenceMm: each.circumferenceMm * 0.98,
        })),
      }),
    );
    await ok(prosthetist().post(`/api/v1/casts/${taken.id}/accept`));
  };
  const skip = (orderId: string) =>
    prosthetist().post(`/api/v1/orders/${orderId}/skip-check-fitting`, {
      reason: 'A remake.',
      signature: { password: PASSWORD },
    });
  const start = (orderId: string, body: object) =>
    clinic.as('technician').post(`/api/v1/orders/${orderId}/sockets`, body);

  test('has no socket accepted on the limb, and check fitting is not skipped over it', async () => {
    const { orderId } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const { socketId } = await checkSocketOnTheLimb(shop, orderId);
    await newCast(orderId);
    const { body } = await refusedWith(acceptFit(shop, socketId), 'new-cast-decided');
    expect(body['detail']).toContain('/C1 still comes from cast 1');
    await refusedWith(skip(orderId), 'new-cast-decided');
    // Rejecting the fit is the way on.
    await ok(
      prosthetist().post(`/api/v1/sockets/${socketId}/fit-rejection`, {
        reasons: ['too_loose'],
        nextStep: 'new_cast',
      }),
    );
  });

  test('has no socket started from it, nor by name; from the later cast it is', async () => {
    const { orderId } = await openedOrder(shop);
    const castId = await acceptedCast(shop, orderId);
    await newCast(orderId);
    await refusedWith(start(orderId, { kind: 'check' }), 'new-cast-decided');
    await laterCast(orderId);
    await refusedWith(start(orderId, { kind: 'check', castId }), 'new-cast-decided');
    await ok(start(orderId, { kind: 'check' }));
  });

  test('has no socket worked on or delivered, whatever is measured, cast or decided afterwards', async () => {
    const { orderId } = await openedOrder(shop, { suspension: 'suction' });
    await acceptedCast(shop, orderId);
    await ok(skip(orderId));
    const old = await makeSocket(shop, orderId, { kind: 'definitive' });
    await doOperations(shop, old.id, ['prepare_model']);
    await newCast(orderId);
    // The limb has come back, and a later cast takes the order to lamination again.
    const back = await measuredAgain(orderId, 1);
    await refusedWith(decide(back, 'as_is'), 'new-cast-decided');
    await laterCast(orderId);
    await ok(skip(orderId));
    const operation = old.operations.find(({ kind }) => kind === 'seal_model')!;
    await refusedWith(
      clinic.as('technician').post(`/api/v1/operations/${operation.id}/records`, {
        answers: goodAnswers(shop, operation),
      }),
      'new-cast-decided',
    );
    const { missing } = await gate(shop, orderId);
    expect(missing.map(({ code }) => code)).toContain('new-cast-decided');
    await refusedWith(deliver(shop, orderId, old.id), 'stage-does-not-allow');
    const next = await ok<{ id: string }>(
      start(orderId, { kind: 'definitive', replacesSocketId: old.id }),
    );
    await doOperations(shop, next.id, ['prepare_model', 'seal_model']);
    expect((await readSocket(shop, next.id)).state).toBe('in_work');
    expect((await gate(shop, orderId)).missing.map(({ code }) => code)).not.toContain(
      'new-cast-decided',
    );
  });

  test('is not laminated over again by a remake after delivery', async () => {
    const { orderId } = await deliveredLimb(shop);
    await newCast(orderId);
    const remake = (newCastToo: boolean) =>
      prosthetist().post(`/api/v1/orders/${orderId}/remake`, {
        why: 'Too loose.',
        newCast: newCastToo,
      });
    await refusedWith(remake(false), 'new-cast-decided');
    await ok(remake(true));
  });
});

describe('the fit of a check socket on a limb that changed', () => {
  test('is accepted once a prosthetist has decided on the change', async () => {
    const { orderId } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const { socketId } = await checkSocketOnTheLimb(shop, orderId);
    const since = await measuredAgain(orderId, 0.96, { socketId });
    await refusedWith(acceptFit(shop, socketId), 'limb-change-undecided');
    await ok(decide(since, 'socks'));
    await ok(acceptFit(shop, socketId));
  });

  test('from an older cast is not; the socket is made from the later one', async () => {
    const { orderId } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const { socketId } = await checkSocketOnTheLimb(shop, orderId);
    await acceptedCast(shop, orderId);
    await measuredAgain(orderId, 0.96, { socketId });
    const { body } = await refusedWith(acceptFit(shop, socketId), 'limb-change-undecided');
    expect(body['wayOut']).toBe('Cast 2 is accepted: make the socket from it.');
  });
});

describe('the delivery of a socket to a limb that changed', () => {
  const codes = async (orderId: string): Promise<string[]> =>
    (await gate(shop, orderId)).missing.map(({ code }) => code);

  test('waits for the decision, and asks again when the limb has changed again', async () => {
    const { orderId, socketId } = await limbToDeliver(shop);
    expect(await codes(orderId)).toEqual([]);
    await measuredAgain(orderId, 0.99, { socketId });
    expect(await codes(orderId)).toEqual([]);

    const lost = await measuredAgain(orderId, 0.96, { occasion: 'delivery', socketId });
    const { missing } = await gate(shop, orderId);
    expect(missing).toMatchObject([{ code: 'limb-change-undecided' }]);
    expect(missing[0]?.wayOut).toContain('decides on the two sets of measures');
    await refusedWith(deliver(shop, orderId, socketId), 'limb-change-undecided');
    await ok(decide(lost, 'socks'));
    expect(await codes(orderId)).toEqual([]);

    const more = await measuredAgain(orderId, 0.93, { occasion: 'delivery', socketId });
    expect(await codes(orderId)).toEqual(['limb-change-undecided']);
    await ok(decide(more, 'as_is'));
    await ok(deliver(shop, orderId, socketId));
  });

  test('is not held up by the other leg, nor by what the limb was before its cast', async () => {
    const { orderId, patientId } = await limbToDeliver(shop);
    const right = await ok<{ id: string }>(
      clinic.as('front_desk').post('/api/v1/orders', {
        patientId,
        side: 'right',
        level: 'trans_tibial',
        suspension: 'pin_lock',
        functionalLevel: 'K3',
      }),
    );
    const thin = {
      occasion: 'fitting',
      takenOn: '2026-03-02',
      limbLengthMm: 165,
      measures: MEASURES.map((each) => ({ ...each, circumferenceMm: each.circumferenceMm * 0.8 })),
    };
    await ok(prosthetist().post(`/api/v1/orders/${right.id}/measure-sets`, thin));
    const before = await ok<{ sinceCast: unknown; notCompared: unknown }>(
      prosthetist().post(`/api/v1/orders/${orderId}/measure-sets`, {
        ...thin,
        takenOn: '2026-02-01',
      }),
    );
    // Nothing turned round: what came before the cast tells nothing of what became of it.
    expect(before).toMatchObject({ sinceCast: null, notCompared: null });
    expect(await codes(orderId)).toEqual([]);
  });
});

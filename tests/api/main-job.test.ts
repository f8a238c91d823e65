/**
 * The main job, from the opened order to the delivered limb and the service
 * visit after it, told as it happens. Each step also shows what is refused there.
 */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { PASSWORD, testClinic, type TestClinic } from '../support/api.ts';
import {
  acceptedCast,
  acceptFit,
  ALIGNMENT,
  approvedLayup,
  checkLock,
  checkSocketOnTheLimb,
  deliver,
  doOperation,
  doOperations,
  gate,
  goodAnswers,
  goodReadings,
  inBin,
  inPosition,
  issueHardware,
  makeRecipe,
  makeSocket,
  MEASURES,
  move,
  ok,
  onBench,
  openedOrder,
  readSocket,
  refusedWith,
  stockedShop,
  torque,
  weighCup,
  weighedResin,
  type Hardware,
  type ResinBody,
  type Shop,
  type SocketBody,
} from '../support/job.ts';

const signature = { password: PASSWORD };

describe('a pin-lock trans-tibial order, from opened to delivered', () => {
  let clinic: TestClinic;
  let shop: Shop;
  let order: { orderId: string; number: string; patientId: string };
  let firstCheck: SocketBody;
  let secondCheck: SocketBody;
  let definitive: SocketBody;
  let hardware: Hardware;

  beforeAll(async () => {
    clinic = await testClinic();
    shop = await stockedShop(clinic);
  });
  afterAll(() => clinic.close());

  it('front desk opens the order; the number carries its check character', async () => {
    order = await openedOrder(shop);
    expect(order.number).toMatch(/^KL-26-\d{5}-[0-9A-Z]$/);
    await refusedWith(
      clinic.as('technician').post('/api/v1/orders', { patientId: order.patientId }),
      'role-may-not',
    );
  });

  it('no socket is made before a prosthetist has accepted the cast', async () => {
    await refusedWith(
      clinic.as('technician').post(`/api/v1/orders/${order.orderId}/sockets`, { kind: 'check' }),
      'stage-does-not-allow',
    );
    await refusedWith(
      clinic.as('technician').post(`/api/v1/orders/${order.orderId}/casts`, {
        method: 'plaster',
        takenOn: '2026-03-02',
        limbLengthMm: 165,
        measures: MEASURES,
      }),
      'role-may-not',
    );
    await acceptedCast(shop, order.orderId);
    const read = await ok<{ stage: string }>(
      clinic.as('front_desk').get(`/api/v1/orders/${order.orderId}`),
    );
    expect(read.stage).toBe('check_fitting');
  });

  it('the definitive socket waits for an accepted fit', async () => {
    await refusedWith(
      clinic
        .as('technician')
        .post(`/api/v1/orders/${order.orderId}/sockets`, { kind: 'definitive' }),
      'stage-does-not-allow',
    );
  });

  it('a check socket is made by its route, in order, with its checks answered', async () => {
    firstCheck = await makeSocket(shop, order.orderId, { kind: 'check', sheetThicknessMm: 12 });
    expect(firstCheck.number).toBe(`${order.number}/C1`);
    const [first, second] = firstCheck.operations;
    await refusedWith(
      clinic.as('technician').post(`/api/v1/operations/${second?.id ?? ''}/records`, {
        answers: second === undefined ? {} : goodAnswers(shop, second),
      }),
      'earlier-operation-open',
    );
    const { codes } = await refusedWith(
      clinic.as('technician').post(`/api/v1/operations/${first?.id ?? ''}/records`, {
        answers: { number_on_model: 3, something_else: true },
      }),
      'check-unanswered',
    );
    expect(codes).toEqual(expect.arrayContaining(['check-answer-misfits', 'check-unknown']));
    await doOperations(shop, firstCheck.id, ['prepare_model', 'thermoform', 'trim_edges']);
  });

  it('hardware comes out of bins and goes only where it fits', async () => {
    const [foreign = ''] = await shop.receive('foreign_pyramid', 1);
    const [light = ''] = await shop.receive('light_pyramid', 1);
    const [wrongPin = ''] = await shop.receive('foreign_pin', 1);
    hardware = await issueHardware(shop, firstCheck.id);
    const pyramidPlace = inPosition(firstCheck.id, 'pyramid');

    await refusedWith(
      move(shop, { itemId: foreign }, inBin(shop), pyramidPlace),
      'hole-pattern-differs',
    );
    await refusedWith(move(shop, { itemId: light }, inBin(shop), pyramidPlace), 'mass-over-rating');
    await refusedWith(
      move(shop, { itemId: wrongPin }, inBin(shop), inPosition(firstCheck.id, 'pin')),
      'pin-does-not-fit-lock',
    );
    await refusedWith(
      move(shop, { itemId: light }, inBin(shop), inPosition(firstCheck.id, 'lock')),
      'position-takes-another-kind',
    );
    const twice = await refusedWith(
      move(shop, { itemId: hardware.lock }, inBin(shop), onBench),
      'item-is-elsewhere',
    );
    expect(twice.status).toBe(409);
    expect(JSON.stringify(twice.body)).toContain(`${firstCheck.number} lock`);
    const [spare = ''] = await shop.receive('lock', 1);
    await refusedWith(
      move(shop, { itemId: spare }, inBin(shop), inPosition(firstCheck.id, 'lock')),
      'position-is-occupied',
    );
  });

  it('the joint is torqued for fitting; an unfit tool, an old batch or a wrong unit is refused', async () => {
    await refusedWith(
      torque(shop, firstCheck.id, { toolId: shop.expiredWrench }),
      'tool-calibration-expired',
    );
    await refusedWith(
      torque(shop, firstCheck.id, { threadlockerBatchId: shop.batches['expiredThreadlocker'] }),
      'threadlocker-expired',
    );
    await refusedWith(
      torque(shop, firstCheck.id, { threadlockerBatchId: undefined }),
      'threadlocker-missing',
    );
    const inPounds = goodReadings.map((reading) => ({ ...reading, value: reading.value * 8.8507 }));
    await refusedWith(
      torque(shop, firstCheck.id, { readings: inPounds }),
      'torque-reading-implausible',
    );

    const low = goodReadings.map((reading) =>
      reading.fastener === 3 && reading.pass === 3 ? { ...reading, value: 13.8 } : reading,
    );
    const kept = await ok<{ confirms: boolean; because: { code: string }[] }>(
      torque(shop, firstCheck.id, { readings: low }),
    );
    expect(kept.confirms).toBe(false);
    expect(kept.because.map((each) => each.code)).toEqual(['torque-out-of-band']);
    expect((await readSocket(shop, firstCheck.id)).joints[0]?.confirmed).toBe(false);

    const inPoundInches = goodReadings.map((reading) => ({
      ...reading,
      value: Number((reading.value / 0.1129848).toFixed(1)),
      unit: 'lbf.in',
    }));
    const good = await ok<{ confirms: boolean; acceptedBandNm: { fromNm: number; toNm: number } }>(
      torque(shop, firstCheck.id, { readings: inPoundInches }),
    );
    expect(good.confirms).toBe(true);
    // 13.5 × 1.04 and 16.5 × 0.96: ISO 6789 permissible deviation of 4 % taken as guard band.
    expect(good.acceptedBandNm.fromNm).toBeCloseTo(14.04, 9);
    expect(good.acceptedBandNm.toNm).toBeCloseTo(15.84, 9);
  });

  it('the lock is checked: too few clicks are kept and do not count', async () => {
    const failed = await ok<{ passes: boolean; leastClicks: number }>(
      checkLock(shop, firstCheck.id, [
        { clicks: 3, heldUnderPull: true, releasedByButton: true },
        { clicks: 6, heldUnderPull: true, releasedByButton: true },
      ]),
    );
    expect(failed).toMatchObject({ passes: false, leastClicks: 4 });
    expect((await readSocket(shop, firstCheck.id)).lockCheckedNow).toBe(false);
    const { codes } = await refusedWith(acceptFit(shop, firstCheck.id), 'lock-check-not-valid');
    expect(codes).toContain('operation-not-done');
    await ok(checkLock(shop, firstCheck.id));
    await doOperations(shop, firstCheck.id, ['fit_hardware', 'check_lock', 'torque_joints']);
  });

  it('the prosthetist refuses the fit with reasons, areas and what is next', async () => {
    await refusedWith(
      clinic.as('technician').post(`/api/v1/sockets/${firstCheck.id}/fit-rejection`, {
        reasons: ['too_tight'],
        nextStep: 'another_check_socket',
      }),
      'role-may-not',
    );
    await refusedWith(
      clinic.as('prosthetist').post(`/api/v1/sockets/${firstCheck.id}/fit-rejection`, {
        reasons: [],
        nextStep: 'new_cast',
      }),
      'request-invalid',
    );
    await ok(
      clinic.as('prosthetist').post(`/api/v1/sockets/${firstCheck.id}/fit-rejection`, {
        reasons: ['too_tight', 'skin_redness'],
        areas: ['fibular_head', 'tibial_crest'],
        changes: 'Relieve the fibular head by 3 mm on the model.',
        nextStep: 'another_check_socket',
      }),
    );
    expect((await readSocket(shop, firstCheck.id)).state).toBe('rejected');
  });

  it('a second check socket is made and the hardware moves to it; single-use parts stay behind', async () => {
    secondCheck = await makeSocket(shop, order.orderId, { kind: 'check', sheetThicknessMm: 12 });
    expect(secondCheck.number).toBe(`${order.number}/C2`);
    await doOperations(shop, secondCheck.id, ['prepare_model', 'thermoform', 'trim_edges']);
    const tech = clinic.as('technician');
    await refusedWith(
      tech.post('/api/v1/transfers', {
        fromSocketId: firstCheck.id,
        toSocketId: secondCheck.id,
        itemIds: [hardware.lock, hardware.distal_screws],
      }),
      'single-use-again',
    );
    await shop.receive('distal_screws', 2);
    const moved = await ok<{
      moved: { position: string }[];
      leftBehind: { position: string; singleUse: boolean }[];
      freshOffered: { itemId: string; partId: string; placeId: string }[];
    }>(
      tech.post('/api/v1/transfers', {
        fromSocketId: firstCheck.id,
        toSocketId: secondCheck.id,
        itemIds: [
          hardware.lock,
          hardware.lock_plate,
          hardware.release_valve,
          hardware.pin,
          hardware.pyramid,
        ],
      }),
    );
    expect(moved.moved).toHaveLength(5);
    expect(moved.leftBehind.map((each) => each.position).sort()).toEqual([
      'distal_screws',
      'lock_spring',
    ]);
    const screws = moved.freshOffered.find((each) => each.partId === shop.parts.distal_screws);
    expect(screws).toBeDefined();
    await ok(
      move(
        shop,
        { itemId: screws?.itemId ?? '' },
        inBin(shop),
        inPosition(secondCheck.id, 'distal_screws'),
      ),
    );
    hardware = { ...hardware, distal_screws: screws?.itemId ?? '' };
    const old = await readSocket(shop, firstCheck.id);
    expect(old.movedOn.map((each) => each.nowAt)).toContain(`${secondCheck.number} lock`);
    expect((await readSocket(shop, secondCheck.id)).joints[0]).toMatchObject({
      confirmed: false,
      openBecause: 'never torqued on this socket',
    });
  });

  it('the fit is accepted with its alignment, by a signature that needs the password again', async () => {
    await ok(checkLock(shop, secondCheck.id));
    await ok(torque(shop, secondCheck.id));
    await doOperations(shop, secondCheck.id, ['fit_hardware', 'check_lock', 'torque_joints']);
    await refusedWith(
      acceptFit(shop, secondCheck.id, { signature: { password: 'not the password at all' } }),
      'signature-not-verified',
    );
    await ok(acceptFit(shop, secondCheck.id));
    const read = await readSocket(shop, secondCheck.id);
    expect(read).toMatchObject({ state: 'accepted', order: { stage: 'lamination' } });
  });

  it('the definitive socket is laminated over the dummy, with batches weighed and read', async () => {
    definitive = await makeSocket(shop, order.orderId, { kind: 'definitive' });
    await doOperations(shop, definitive.id, ['prepare_model', 'seal_model']);
    const mount = definitive.operations.find((each) => each.kind === 'mount_dummy');
    await refusedWith(
      clinic.as('technician').post(`/api/v1/operations/${mount?.id ?? ''}/records`, {
        answers: mount === undefined ? {} : goodAnswers(shop, mount),
      }),
      'facts-do-not-bear-it-out',
    );
    await ok(
      move(
        shop,
        { shopToolId: shop.dummy },
        inBin(shop),
        inPosition(definitive.id, 'dummy'),
        'mounted_for_lamination',
      ),
    );
    await doOperation(shop, definitive.id, 'mount_dummy');
    const layUp = definitive.operations.find((each) => each.kind === 'lay_up');
    await refusedWith(
      clinic.as('technician').post(`/api/v1/operations/${layUp?.id ?? ''}/records`, {
        answers: layUp === undefined ? {} : goodAnswers(shop, layUp),
      }),
      'facts-do-not-bear-it-out',
    );
    await approvedLayup(shop, definitive.id);
    await doOperation(shop, definitive.id, 'lay_up');

    const laminate = definitive.operations.find((each) => each.kind === 'laminate');
    if (laminate === undefined) throw new Error('the route has no lamination');
    await refusedWith(
      clinic.as('technician').post(`/api/v1/operations/${laminate.id}/records`, {
        answers: goodAnswers(shop, laminate),
      }),
      'facts-do-not-bear-it-out',
    );
    const { pours } = await ok<ResinBody['recipe']>(makeRecipe(shop, definitive.id));
    const [{ totalG: _sum, ...cup } = { totalG: 0 }] = pours;
    const weighed = (changed: object) => weighCup(shop, definitive.id, { ...cup, ...changed });
    await refusedWith(weighed({ resinBatchId: shop.batches['expiredResin'] }), 'batch-expired');
    await refusedWith(weighed({ resinBatchId: shop.batches['hardener'] }), 'batch-wrong-kind');
    const { findingId } = await ok<{ findingId: string }>(weighed({ hardenerG: 90 }));
    await ok(
      clinic.as('technician').post(`/api/v1/findings/${findingId}/disposition`, {
        disposition: 'rework',
        why: 'Thrown away; weighed afresh.',
      }),
    );
    await weighedResin(shop, definitive.id);
    await doOperation(shop, definitive.id, 'laminate');
  });

  it('no lock goes in while the dummy is in, the laminate green or the chamber uninspected', async () => {
    const put = () =>
      move(
        shop,
        { itemId: hardware.lock },
        inPosition(secondCheck.id, 'lock'),
        inPosition(definitive.id, 'lock'),
        'put_back',
      );
    await refusedWith(put(), 'definitive-not-ready');

    // A vacuum or a cure outside its limits is kept, stops the operation and opens a finding.
    const cure = definitive.operations.find((each) => each.kind === 'cure');
    if (cure === undefined) throw new Error('the route has no cure');
    const stopped = await ok<{ outcome: string; findingId: string }>(
      clinic.as('technician').post(`/api/v1/operations/${cure.id}/records`, {
        answers: { ...goodAnswers(shop, cure), cure_temperature_c: 110 },
      }),
    );
    expect(stopped.outcome).toBe('stopped');
    await refusedWith(
      clinic.as('technician').post(`/api/v1/operations/${cure.id}/records`, {
        answers: goodAnswers(shop, cure),
      }),
      'operation-stopped',
    );
    await ok(
      clinic.as('technician').post(`/api/v1/findings/${stopped.findingId}/disposition`, {
        disposition: 'rework',
        why: 'Thermometer lay on the heater; read again in the oven.',
      }),
    );
    await doOperations(shop, definitive.id, ['cure', 'grind_flush']);
    await refusedWith(put(), 'definitive-not-ready');

    const pull = definitive.operations.find((each) => each.kind === 'pull_dummy');
    await refusedWith(
      clinic.as('technician').post(`/api/v1/operations/${pull?.id ?? ''}/records`, {
        answers: { dummy_whole: true },
      }),
      'facts-do-not-bear-it-out',
    );
    await ok(
      move(
        shop,
        { shopToolId: shop.dummy },
        inPosition(definitive.id, 'dummy'),
        inBin(shop),
        'pulled_after_cure',
      ),
    );
    await doOperations(shop, definitive.id, ['pull_dummy', 'break_out_model']);
    await refusedWith(put(), 'definitive-not-ready');
    await doOperation(shop, definitive.id, 'inspect_chamber');
    expect((await readSocket(shop, definitive.id)).order.stage).toBe('delivery');
  });

  it('lock and pyramid move over in one transfer that is all or nothing', async () => {
    const tech = clinic.as('technician');
    const [screws = ''] = await shop.receive('distal_screws', 1);
    const transfer = (itemIds: string[], fresh: string) =>
      tech.post('/api/v1/transfers', {
        fromSocketId: secondCheck.id,
        toSocketId: definitive.id,
        itemIds,
        fresh: [{ itemId: fresh, fromPlaceId: shop.bin, position: 'distal_screws' }],
      });
    const reusable = [
      hardware.lock,
      hardware.lock_plate,
      hardware.release_valve,
      hardware.pin,
      hardware.pyramid,
    ];
    // The screws left in the check socket are used up: offering them as fresh undoes the whole transfer.
    await refusedWith(transfer(reusable, hardware.distal_screws), 'item-is-elsewhere');
    expect((await readSocket(shop, definitive.id)).hardware).toEqual([]);
    await ok(transfer(reusable, screws));
    hardware = { ...hardware, distal_screws: screws };
    const made = await readSocket(shop, definitive.id);
    expect(made.hardware.find((each) => each.position === 'lock')?.cameFrom).toBe(
      `${secondCheck.number} lock`,
    );
    await doOperations(shop, definitive.id, ['trim_edges', 'fit_hardware']);
  });

  it('lock check, torque and alignment; then the gate is open', async () => {
    const before = await gate(shop, order.orderId);
    expect(before.open).toBe(false);
    expect(new Set(before.missing.map((each) => each.code))).toEqual(
      new Set(['operation-not-done', 'joint-open', 'lock-check-not-valid', 'alignment-missing']),
    );
    expect(before.missing.every((each) => each.wayOut.length > 10)).toBe(true);
    await ok(checkLock(shop, definitive.id));
    await ok(torque(shop, definitive.id));
    const measured = await ok<{ differences: { component: string; within: boolean }[] }>(
      clinic.as('prosthetist').post(`/api/v1/sockets/${definitive.id}/alignments`, {
        ...ALIGNMENT,
        flexionDeg: 7,
      }),
    );
    expect(
      measured.differences.filter((each) => !each.within).map((each) => each.component),
    ).toEqual(['flexionDeg']);
    await doOperations(shop, definitive.id, [
      'check_lock',
      'torque_joints',
      'measure_alignment',
      'finish',
    ]);
    expect((await gate(shop, order.orderId)).missing.map((each) => each.code)).toEqual([
      'alignment-out-of-tolerance',
    ]);
    await ok(
      clinic.as('prosthetist').post(`/api/v1/sockets/${definitive.id}/alignments`, ALIGNMENT),
    );
    expect(await gate(shop, order.orderId)).toMatchObject({ open: true, missing: [] });
  });

  it('the lock comes out for trimming and goes back: joint, check and alignment are open again', async () => {
    const parts = ['distal_screws', 'pyramid', 'lock'] as const;
    for (const position of parts) {
      await ok(
        move(
          shop,
          { itemId: hardware[position] },
          inPosition(definitive.id, position),
          onBench,
          'taken_out_for_trimming',
        ),
      );
    }
    const out = await gate(shop, order.orderId);
    expect(out.missing.map((each) => each.code)).toContain('hardware-missing');
    for (const position of [...parts].reverse()) {
      await ok(
        move(
          shop,
          { itemId: hardware[position] },
          onBench,
          inPosition(definitive.id, position),
          'put_back',
        ),
      );
    }
    const refusal = await refusedWith(deliver(shop, order.orderId, definitive.id), 'joint-open');
    expect(refusal.status).toBe(422);
    expect(new Set(refusal.codes)).toEqual(
      new Set(['joint-open', 'lock-check-not-valid', 'alignment-missing']),
    );
    expect(JSON.stringify(refusal.body)).toContain(
      'a part of it moved after the last torque confirmation',
    );
  });

  it('torque, check and alignment again; the prosthetist signs the delivery', async () => {
    await ok(torque(shop, definitive.id));
    await ok(checkLock(shop, definitive.id));
    await ok(
      clinic.as('prosthetist').post(`/api/v1/sockets/${definitive.id}/alignments`, ALIGNMENT),
    );
    await refusedWith(
      clinic.as('technician').post(`/api/v1/orders/${order.orderId}/delivery`, {
        socketId: definitive.id,
        receivedByName: 'Nomen Inventum',
        receivedByRelation: 'patient',
        signature,
      }),
      'role-may-not',
    );
    await refusedWith(
      deliver(shop, order.orderId, definitive.id, { receivedByName: 'tamás bench of kl' }),
      'receiver-works-here',
    );
    const delivered = await ok<{ retired: string[]; releaserWasSoleWorker: boolean }>(
      deliver(shop, order.orderId, definitive.id),
    );
    expect(delivered.releaserWasSoleWorker).toBe(false);
    expect(delivered.retired).toEqual([`${order.number}/C1`, `${order.number}/C2`]);
    await refusedWith(deliver(shop, order.orderId, definitive.id), 'not-the-socket-to-deliver');
  });

  it('years later the lock is replaced in a service visit, under the same rules', async () => {
    clinic.clock.set('2026-09-01T09:00:00Z');
    const [newLock = ''] = await shop.receive('lock', 1);
    const [screws = ''] = await shop.receive('distal_screws', 1);
    const lockPlace = inPosition(definitive.id, 'lock');
    await refusedWith(
      move(shop, { itemId: hardware.lock }, lockPlace, onBench, 'replaced_in_service'),
      'worn-moves-in-service-only',
    );
    await refusedWith(torque(shop, definitive.id), 'worn-moves-in-service-only');
    const { serviceVisitId } = await ok<{ serviceVisitId: string }>(
      clinic.as('front_desk').post(`/api/v1/orders/${order.orderId}/service-visits`, {
        socketId: definitive.id,
        kind: 'part_replaced',
        note: 'The lock rattles.',
      }),
    );
    const visit = { serviceVisitId };
    await ok(
      move(
        shop,
        { itemId: hardware.distal_screws },
        inPosition(definitive.id, 'distal_screws'),
        { kind: 'scrap' },
        'scrapped',
        visit,
      ),
    );
    await ok(
      move(
        shop,
        { itemId: hardware.lock },
        lockPlace,
        { kind: 'quarantine' },
        'replaced_in_service',
        visit,
      ),
    );
    await ok(move(shop, { itemId: newLock }, inBin(shop), lockPlace, 'issued', visit));
    await ok(
      move(
        shop,
        { itemId: screws },
        inBin(shop),
        inPosition(definitive.id, 'distal_screws'),
        'issued',
        visit,
      ),
    );
    const close = () =>
      clinic.as('prosthetist').post(`/api/v1/service-visits/${serviceVisitId}/closing`, {
        outcome: 'New lock.',
        signature,
      });
    const { codes } = await refusedWith(close(), 'joint-open');
    expect(codes).toContain('lock-check-not-valid');
    await ok(torque(shop, definitive.id));
    await ok(checkLock(shop, definitive.id));
    await ok(close());
    await refusedWith(close(), 'visit-closed');

    const trace = await ok<{ rows: { kind: string; recordId: string }[] }>(
      clinic.as('auditor').get(`/api/v1/trace?socket=${encodeURIComponent(definitive.number)}`),
    );
    const text = JSON.stringify(trace);
    expect(text).toContain(hardware.lock);
    expect(text).toContain(newLock);
  });

  it('a second limb needs its own hardware: the worn lock cannot be taken for it', async () => {
    const other = await openedOrder(shop);
    await acceptedCast(shop, other.orderId);
    const { socketId } = await checkSocketOnTheLimb(shop, other.orderId);
    const spare = await readSocket(shop, socketId);
    expect(spare.hardware).toHaveLength(7);
    await refusedWith(
      move(
        shop,
        { itemId: hardware.pyramid },
        inPosition(definitive.id, 'pyramid'),
        inPosition(socketId, 'adapter'),
      ),
      'position-takes-another-kind',
    );
  });
});

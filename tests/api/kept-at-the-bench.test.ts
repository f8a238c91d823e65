/**
 * What a technician records without a network and sends later: it says when it was made and
 * upon what, and never overrules what others did meanwhile.
 */
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { takeOn, testClinic, type TestClinic, type TestPerson } from '../support/api.ts';
import { cupBench } from '../support/cupBench.ts';
import { readPdf } from '../support/pdf.ts';
import {
  acceptedCast,
  checkLock,
  checkSocketOnTheLimb,
  doOperations,
  goodAnswers,
  goodCycles,
  goodReadings,
  id,
  inBin,
  inPosition,
  issueHardware,
  makeSocket,
  move,
  ok,
  onBench,
  openedOrder,
  readSocket,
  refusedWith,
  stockedShop,
  torque,
  type Hardware,
  type Shop,
  type SocketBody,
} from '../support/job.ts';

let clinic: TestClinic;
let shop: Shop;
/** The other technician, who has a network. */
let other: TestPerson;

beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
  other = await takeOn(clinic, {
    email: 'berta@kl.example',
    printedName: 'Berta Bench',
    roles: ['technician'],
  });
});
beforeEach(() => {
  at('10:00');
});
afterAll(() => clinic.close());

/** The clinic's clock on the day of the story: Vienna is an hour ahead of UTC. */
const utc = (clock: string): string =>
  new Date(Date.parse(`2026-03-02T${clock}:00Z`) - 3_600_000).toISOString();
const at = (clock: string): void => {
  clinic.clock.set(utc(clock));
};

interface Seen extends Omit<SocketBody, 'joints' | 'operations'> {
  readonly joints: {
    kind: string;
    confirmed: boolean;
    openBecause: string;
    movesSoFar: string[];
  }[];
  readonly operations: (SocketBody['operations'][number] & {
    attempts: number;
    lastRecordedAt: string | null;
  })[];
  readonly lockMovesSoFar: string[];
}
const see = async (socketId: string): Promise<Seen> =>
  (await readSocket(shop, socketId)) as unknown as Seen;
const distalOf = ({ joints }: Seen) => {
  const joint = joints.find(({ kind }) => kind === 'distal');
  if (joint === undefined) throw new Error('no distal joint');
  return joint;
};

/** A check socket with its hardware in, nothing torqued. */
async function hardwareIn(): Promise<{ socketId: string; hardware: Hardware }> {
  const { orderId } = await openedOrder(shop);
  await acceptedCast(shop, orderId);
  const { id: socketId } = await makeSocket(shop, orderId, { kind: 'check', sheetThicknessMm: 12 });
  await doOperations(shop, socketId, ['prepare_model', 'thermoform', 'trim_edges']);
  return { socketId, hardware: await issueHardware(shop, socketId) };
}

const lateTorque = (socketId: string, seen: Seen, recordedAt: string, more: object = {}) =>
  torque(shop, socketId, {
    recordedAt: utc(recordedAt),
    basedOn: { moveIds: distalOf(seen).movesSoFar },
    ...more,
  });
const lateLockCheck = (socketId: string, seen: Seen, recordedAt: string, more: object = {}) =>
  clinic.as('technician').post(`/api/v1/sockets/${socketId}/lock-checks`, {
    cycles: goodCycles,
    recordedAt: utc(recordedAt),
    basedOn: { moveIds: seen.lockMovesSoFar },
    ...more,
  });
/** The other technician takes something out, and puts it back. */
async function outAndBack(socketId: string, itemId: string, position: string): Promise<void> {
  const there = inPosition(socketId, position);
  const post = (from: object, to: object, reason: string) =>
    ok(clinic.as(other).post('/api/v1/moves', { thing: { itemId }, from, to, reason }));
  await post(there, onBench, 'taken_out_for_trimming');
  await post(onBench, there, 'put_back');
}

describe('torque that was recorded at ten and arrives at twelve', () => {
  test('counts where nothing of the joint moved, and stands on the record with both times', async () => {
    const { socketId } = await hardwareIn();
    const seen = await see(socketId);
    at('12:00');
    const { confirmationId } = await ok<{ confirmationId: string }>(
      lateTorque(socketId, seen, '10:02'),
    );
    expect(distalOf(await see(socketId)).confirmed).toBe(true);
    const [event] = await clinic.store.raw<{ at: Date; data: { recordedAt: string } }>(
      'select at, data from event where subject_id = $1',
      [confirmationId],
    );
    expect(event?.data.recordedAt).toBe(utc('10:02'));
    expect(event?.at.toISOString()).toBe(utc('12:00'));
    const { rows } = await ok<{ rows: Record<string, string>[] }>(
      clinic.as('auditor').get(`/api/v1/trace?socket=${encodeURIComponent(seen.number)}`),
    );
    const row = rows.find(({ recordId }) => recordId === confirmationId);
    expect(row).toMatchObject({ at: utc('12:00'), recordedAt: utc('10:02') });
    expect(row?.['what']).toContain(
      'recorded on the phone Mon 2 Mar 2026 10:02, arrived Mon 2 Mar 2026 12:00',
    );
  });

  test.each(['lock', 'pyramid'] as const)(
    'does not count where somebody took the %s out at eleven and put it back',
    async (position) => {
      const { socketId, hardware } = await hardwareIn();
      const seen = await see(socketId);
      at('11:00');
      await outAndBack(socketId, hardware[position], position);
      at('12:00');
      const { status, body } = await refusedWith(
        lateTorque(socketId, seen, '10:00'),
        'moved-since-recorded',
      );
      expect(status).toBe(409);
      expect(body['detail']).toMatch(
        /was moved by Berta Bench \(Mon 2 Mar 2026 11:00\); the record of Mon 2 Mar 2026 10:00 did not know/,
      );
      expect(distalOf(await see(socketId)).confirmed).toBe(false);
      // Done again on what is there now it counts.
      await ok(lateTorque(socketId, await see(socketId), '12:00'));
    },
  );

  test('nor where a piece came and went, which leaves the same last moves', async () => {
    const { socketId } = await hardwareIn();
    const seen = await see(socketId);
    const [adapterless = ''] = await shop.receive('pyramid', 1);
    at('11:00');
    const there = inPosition(socketId, 'pyramid');
    const [pyramid] = seen.hardware.filter(({ position }) => position === 'pyramid');
    const post = (itemId: string, from: object, to: object, reason: string) =>
      ok(clinic.as(other).post('/api/v1/moves', { thing: { itemId }, from, to, reason }));
    await post(pyramid?.itemId ?? '', there, onBench, 'taken_out_for_trimming');
    await post(adapterless, inBin(shop), there, 'issued');
    at('12:00');
    await refusedWith(lateTorque(socketId, seen, '10:00'), 'moved-since-recorded');
  });

  test('counts after one’s own moves that were still on their way, and only one’s own', async () => {
    const { socketId, hardware } = await hardwareIn();
    const seen = await see(socketId);
    const there = inPosition(socketId, 'lock');
    const sent = (key: string, recordedAt: string, from: object, to: object, reason: string) =>
      clinic
        .as('technician')
        .post(
          '/api/v1/moves',
          { thing: { itemId: hardware.lock }, from, to, reason, recordedAt: utc(recordedAt) },
          { key },
        );
    const keys = [randomUUID(), randomUUID()] as const;
    at('12:00');
    await ok(sent(keys[0], '10:05', there, onBench, 'taken_out_for_trimming'));
    await ok(sent(keys[1], '10:10', onBench, there, 'put_back'));
    const basedOn = { moveIds: distalOf(seen).movesSoFar, keys };
    await refusedWith(lateTorque(socketId, seen, '10:15'), 'moved-since-recorded');
    // The other's keys are no proof of what I did.
    await refusedWith(
      clinic.as(other).post(`/api/v1/sockets/${socketId}/joints/distal/confirmations`, {
        toolId: shop.wrench,
        threadlockerBatchId: shop.batches['threadlocker'],
        readings: goodReadings,
        recordedAt: utc('10:15'),
        basedOn,
      }),
      'moved-since-recorded',
    );
    await ok(lateTorque(socketId, seen, '10:15', { basedOn }));
    expect(distalOf(await see(socketId)).confirmed).toBe(true);
  });

  test('does not overrule a newer one, whatever that says', async () => {
    const { socketId } = await hardwareIn();
    const seen = await see(socketId);
    at('11:00');
    const low = goodReadings.map((reading) => ({ ...reading, value: 5 }));
    await ok(torque(shop, socketId, { readings: low }));
    at('12:00');
    await refusedWith(lateTorque(socketId, seen, '10:00'), 'evidence-newer');
    expect(distalOf(await see(socketId)).confirmed).toBe(false);
  });

  test('is judged by the day of the work, and by that of its arrival where that is stricter', async () => {
    const { socketId } = await hardwareIn();
    const seen = await see(socketId);
    const admin = clinic.as('administrator');
    const tool = (name: string) =>
      id(
        admin.post('/api/v1/shop-tools', {
          kind: 'torque_tool',
          name,
          toPlaceId: shop.bin,
          toolType: 'indicating',
          toolClass: 'C',
          minNm: 4,
          maxNm: 40,
        }),
      );
    const calibrate = (toolId: string, calibratedOn: string) =>
      ok(
        admin.post(`/api/v1/shop-tools/${toolId}/calibrations`, {
          calibratedOn,
          certificate: `LATE-${toolId}`,
          laboratory: 'Invented calibration room',
        }),
      );
    const runsOut = await tool('Wrench due on the third');
    await calibrate(runsOut, '2025-03-03');
    const notYet = await tool('Wrench calibrated on the third');
    clinic.clock.set('2026-03-03T09:00:00Z');
    await calibrate(notYet, '2026-03-03');
    await refusedWith(
      lateTorque(socketId, seen, '10:00', { toolId: runsOut }),
      'tool-calibration-expired',
    );
    await refusedWith(
      lateTorque(socketId, seen, '10:00', { toolId: notYet }),
      'tool-calibration-missing',
    );
    await ok(lateTorque(socketId, seen, '10:00'));
  });

  test('says when and upon what, or neither; not in the future, not after three days', async () => {
    const { socketId } = await hardwareIn();
    const seen = await see(socketId);
    await refusedWith(torque(shop, socketId, { recordedAt: utc('10:00') }), 'field-malformed');
    await refusedWith(lateTorque(socketId, seen, '10:03'), 'recorded-in-future');
    // A phone whose clock is a minute fast.
    await ok(lateTorque(socketId, seen, '10:01'));
    clinic.clock.set('2026-03-05T09:01:00Z');
    await refusedWith(lateTorque(socketId, seen, '10:00'), 'recorded-long-ago');
  });

  test('sent again after its answer was lost it is answered as it was, whatever moved since', async () => {
    const { socketId, hardware } = await hardwareIn();
    const seen = await see(socketId);
    const key = randomUUID();
    const body = {
      toolId: shop.wrench,
      threadlockerBatchId: shop.batches['threadlocker'],
      readings: goodReadings,
      recordedAt: utc('10:00'),
      basedOn: { moveIds: distalOf(seen).movesSoFar },
    };
    const send = () =>
      ok<{ confirmationId: string }>(
        clinic
          .as('technician')
          .post(`/api/v1/sockets/${socketId}/joints/distal/confirmations`, body, { key }),
      );
    at('12:00');
    const first = await send();
    await outAndBack(socketId, hardware.lock, 'lock');
    clinic.clock.set('2026-03-06T09:00:00Z');
    expect(await send()).toEqual(first);
  });
});

describe('a lock check that was recorded at ten and arrives at twelve', () => {
  test('counts where lock and pin stayed', async () => {
    const { socketId, hardware } = await hardwareIn();
    const seen = await see(socketId);
    at('11:00');
    await outAndBack(socketId, hardware.pyramid, 'pyramid');
    at('12:00');
    await ok(lateLockCheck(socketId, seen, '10:00'));
    expect((await see(socketId)).lockCheckedNow).toBe(true);
  });

  test('does not where the pin was out, nor beside a newer one', async () => {
    const { socketId, hardware } = await hardwareIn();
    const seen = await see(socketId);
    at('11:00');
    await outAndBack(socketId, hardware.pin, 'pin');
    at('12:00');
    await refusedWith(lateLockCheck(socketId, seen, '10:00'), 'moved-since-recorded');
    await ok(checkLock(shop, socketId));
    at('13:00');
    await refusedWith(lateLockCheck(socketId, await see(socketId), '11:30'), 'evidence-newer');
  });
});

describe('moves that arrive late', () => {
  test('are refused where the thing moved after them, though it is there again', async () => {
    const { socketId, hardware } = await hardwareIn();
    at('11:00');
    await outAndBack(socketId, hardware.lock, 'lock');
    at('12:00');
    const takeOut = (recordedAt: string) =>
      move(
        shop,
        { itemId: hardware.lock },
        inPosition(socketId, 'lock'),
        onBench,
        'taken_out_for_trimming',
        { recordedAt: utc(recordedAt) },
      );
    const { body } = await refusedWith(takeOut('10:00'), 'thing-moved-since');
    expect(body['detail']).toMatch(/moved by Berta Bench \(Mon 2 Mar 2026 11:00\), after this/);
    await ok(takeOut('11:30'));
  });

  test('a transfer of what has moved on is refused whole', async () => {
    const { socketId: from, hardware } = await hardwareIn();
    const { socketId: to } = await hardwareIn();
    for (const position of ['pin', 'lock'] as const) {
      const held = (await see(to)).hardware.find((each) => each.position === position);
      await ok(
        move(
          shop,
          { itemId: held?.itemId ?? '' },
          inPosition(to, position),
          onBench,
          'taken_out_for_trimming',
        ),
      );
    }
    at('11:00');
    await outAndBack(from, hardware.pin, 'pin');
    at('12:00');
    const transfer = (recordedAt: string) =>
      clinic.as('technician').post('/api/v1/transfers', {
        fromSocketId: from,
        toSocketId: to,
        itemIds: [hardware.lock, hardware.pin],
        recordedAt: utc(recordedAt),
      });
    await refusedWith(transfer('10:30'), 'thing-moved-since');
    expect((await see(from)).hardware.some(({ itemId }) => itemId === hardware.lock)).toBe(true);
    await ok(transfer('11:30'));
  });
});

describe('operations that arrive late', () => {
  const firstOperation = async () => {
    const { orderId } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const { id: socketId } = await makeSocket(shop, orderId, {
      kind: 'check',
      sheetThicknessMm: 12,
    });
    const [operation] = (await see(socketId)).operations;
    if (operation === undefined) throw new Error('no operation');
    const record = (as: 'technician' | TestPerson, body: object = {}) =>
      clinic.as(as).post(`/api/v1/operations/${operation.id}/records`, {
        answers: goodAnswers(shop, operation),
        ...body,
      });
    return { socketId, operation, record };
  };
  const late = { recordedAt: utc('10:00'), basedOn: { attempts: 0 } };

  test('stand with the time of the work', async () => {
    const { socketId, record } = await firstOperation();
    at('12:00');
    await ok(record('technician', late));
    expect((await see(socketId)).operations[0]).toMatchObject({
      state: 'done',
      lastRecordedAt: utc('10:00'),
    });
  });

  test('are refused where somebody did it meanwhile, stopped it, or found something on it', async () => {
    const done = await firstOperation();
    at('11:00');
    await ok(done.record(other));
    at('12:00');
    const { status } = await refusedWith(done.record('technician', late), 'recorded-since');
    expect(status).toBe(409);

    at('10:00');
    const reworked = await firstOperation();
    at('11:00');
    const { findingId } = await ok<{ findingId: string }>(
      clinic.as(other).post(`/api/v1/sockets/${reworked.socketId}/findings`, {
        kind: 'crack',
        note: 'The model is cracked.',
        operationId: reworked.operation.id,
      }),
    );
    await ok(
      clinic.as(other).post(`/api/v1/findings/${findingId}/disposition`, {
        disposition: 'rework',
        why: 'Mended.',
      }),
    );
    at('12:00');
    await refusedWith(reworked.record('technician', late), 'recorded-since');
    await ok(reworked.record('technician', { ...late, recordedAt: utc('11:30') }));
  });

  test('a finding keeps its time at the bench, and one’s own later record goes on from it', async () => {
    const { socketId, operation, record } = await firstOperation();
    at('12:00');
    const { findingId } = await ok<{ findingId: string }>(
      clinic.as('technician').post(`/api/v1/sockets/${socketId}/findings`, {
        kind: 'crack',
        note: 'The model is cracked.',
        operationId: operation.id,
        recordedAt: utc('10:00'),
      }),
    );
    await ok(
      clinic.as('technician').post(`/api/v1/findings/${findingId}/disposition`, {
        disposition: 'rework',
        why: 'Mended.',
        recordedAt: utc('10:05'),
      }),
    );
    await ok(record('technician', { recordedAt: utc('10:10'), basedOn: { attempts: 0 } }));
    const rows = await clinic.store.raw('select opened_at, bench_at from finding where id = $1', [
      findingId,
    ]);
    expect(rows).toEqual([{ opened_at: new Date(utc('12:00')), bench_at: new Date(utc('10:00')) }]);
  });
});

describe('resin that was weighed without a network', () => {
  const { laidUpSocket, recipeFor, cupOf, firstCup, weigh, laminateOf, laminate } = cupBench(
    () => shop,
  );

  test('runs from its mixing at the bench, and was poured in time', async () => {
    const socketId = await laidUpSocket();
    const cup = cupOf(firstCup(await recipeFor(socketId)));
    const lamination = await laminateOf(socketId);
    at('12:00');
    const { resin } = await weigh(socketId, { ...cup, recordedAt: utc('10:05') });
    expect(resin.cups[0]?.readings[0]).toMatchObject({ mixedAt: utc('10:05') });
    // By now it has set.
    expect(resin.cups[0]?.state).toBe('set');
    const record = (body: object) =>
      clinic.as('technician').post(`/api/v1/operations/${lamination.id}/records`, {
        answers: goodAnswers(shop, lamination),
        ...body,
      });
    await refusedWith(record({}), 'facts-do-not-bear-it-out');
    await ok(record({ recordedAt: utc('10:15'), basedOn: { attempts: 0 } }));
    const [row] = await clinic.store.raw<{ bench_at: Date }>(
      'select bench_at from operation_record where operation_id = $1',
      [lamination.id],
    );
    expect(row?.bench_at.toISOString()).toBe(utc('10:15'));
  });

  test('is refused where somebody weighed that cup meanwhile, and so is a lamination with it', async () => {
    const socketId = await laidUpSocket();
    const cup = cupOf(firstCup(await recipeFor(socketId)));
    const lamination = await laminateOf(socketId);
    at('11:00');
    await ok(
      clinic.as(other).post(`/api/v1/sockets/${socketId}/resin-weighings`, {
        resinBatchId: shop.batches['resin'],
        hardenerBatchId: shop.batches['hardener'],
        ...cup,
      }),
    );
    at('11:05');
    await refusedWith(
      clinic.as('technician').post(`/api/v1/sockets/${socketId}/resin-weighings`, {
        resinBatchId: shop.batches['resin'],
        hardenerBatchId: shop.batches['hardener'],
        ...cup,
        recordedAt: utc('10:30'),
      }),
      'recorded-since',
    );
    await refusedWith(
      clinic.as('technician').post(`/api/v1/operations/${lamination.id}/records`, {
        answers: goodAnswers(shop, lamination),
        recordedAt: utc('10:40'),
      }),
      'recorded-since',
    );
    await ok(laminate(lamination));
  });
});

test('the traveller tells both times of what came late', async () => {
  const { orderId } = await openedOrder(shop);
  await acceptedCast(shop, orderId);
  const { socketId } = await checkSocketOnTheLimb(shop, orderId);
  const seen = await see(socketId);
  at('12:10');
  await ok(lateTorque(socketId, seen, '10:02'));
  const answer = await clinic
    .as('technician')
    .get(`/api/v1/orders/${orderId}/traveller.pdf`)
    .responseType('blob')
    .expect(200);
  const { words } = await readPdf(answer.body as Uint8Array);
  expect(words).toContain(
    'Mon 2 Mar 2026 10:02 (recorded on the phone; arrived Mon 2 Mar 2026 12:10)',
  );
});

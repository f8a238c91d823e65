/**
 * R4: twelve months or 5,000 uses, whichever comes first (ISO 6789-1:2017, 5.3). The uses are
 * counted by the book, one for each reading from the day of the newest calibration on. A
 * certificate that finds the tool out of tolerance is kept, and speaks against the tool.
 */
import { afterAll, beforeAll, expect, test } from 'vitest';
import { testClinic, type TestClinic } from '../support/api.ts';
import {
  acceptedCast,
  checkSocketOnTheLimb,
  goodReadings,
  id,
  ok,
  openedOrder,
  refusedWith,
  stockedShop,
  torque,
  type Shop,
} from '../support/job.ts';

let clinic: TestClinic;
let shop: Shop;
let socketId: string;
beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
  const { orderId } = await openedOrder(shop);
  await acceptedCast(shop, orderId);
  ({ socketId } = await checkSocketOnTheLimb(shop, orderId));
});
afterAll(() => clinic.close());

interface Tool {
  calibrationDueOn: string;
  calibrations: {
    calibratedOn: string;
    deviationPercent: number | null;
    inDoubt: { confirmations: number; trace: string } | null;
  }[];
  calibrationToday: {
    proves: boolean;
    because: { code: string }[];
    usesSince: number;
    usesLeft: number;
    daysLeft: number;
  };
}
const wrench = (): Promise<Tool> =>
  ok<Tool>(clinic.as('technician').get(`/api/v1/shop-tools/${shop.wrench}`));

const calibrate = (calibratedOn: string, certificate: string, more: object = {}) =>
  clinic.as('administrator').post(`/api/v1/shop-tools/${shop.wrench}/calibrations`, {
    calibratedOn,
    certificate,
    laboratory: 'Invented calibration room',
    ...more,
  });

/** Confirmations of one reading each, like the last one of the wrench but two weeks older, written by plain SQL. */
async function usedBefore(times: number): Promise<void> {
  await clinic.store.raw(
    `with one as (
       select * from torque_confirmation where clinic_id = $1 and tool_id = $2 order by id desc limit 1),
     made as (
       insert into torque_confirmation (clinic_id, id, joint_id, torque_setting_id, tool_id, calibration_id,
         threadlocker_batch_id, confirms, because, accepted_from_nm, accepted_to_nm, deviation_percent,
         covers_move_ids, recorded_at, recorded_by_id)
       select clinic_id, gen_random_uuid(), joint_id, torque_setting_id,
         tool_id, calibration_id, threadlocker_batch_id, confirms, because, accepted_from_nm, accepted_to_nm,
         deviation_percent, covers_move_ids, recorded_at - interval '14 days', recorded_by_id
       from one, generate_series(1, $3::int) n
       returning clinic_id, id)
     insert into torque_reading (clinic_id, confirmation_id, fastener, pass, value, unit, torque_nm, in_band, final)
     select clinic_id, id, 1, 1, 15, 'N.m', 15, true, true from made`,
    [clinic.clinicId, shop.wrench, times],
  );
}

test('a wrench of 5,000 uses proves nothing until it is calibrated again, and says so beforehand', async () => {
  // The socket was torqued once: three passes over four screws.
  expect(goodReadings).toHaveLength(12);
  expect((await wrench()).calibrationToday).toMatchObject({ usesSince: 12, usesLeft: 4988 });

  await usedBefore(5000 - 12 - 12);
  expect((await wrench()).calibrationToday).toMatchObject({
    proves: true,
    usesSince: 4988,
    usesLeft: 12,
  });
  const full = await ok<{ confirms: boolean }>(torque(shop, socketId));
  expect(full.confirms).toBe(true);

  const spent = await wrench();
  expect(spent.calibrationToday).toMatchObject({ proves: false, usesSince: 5000, usesLeft: 0 });
  expect(spent.calibrationToday.because.map(({ code }) => code)).toEqual(['tool-uses-exceeded']);
  // By months it would be good for the better part of a year.
  expect(spent.calibrationToday.daysLeft).toBeGreaterThan(300);
  const { body, status } = await refusedWith(torque(shop, socketId), 'tool-uses-exceeded');
  expect(status).toBe(422);
  expect(body['detail']).toContain('5000 uses since its calibration');
  await refusedWith(
    torque(shop, socketId, {
      readings: [{ fastener: 1, pass: 1, value: 15, unit: 'N.m' }],
    }),
    'tool-uses-exceeded',
  );

  // Today's readings came after the calibration of today, or before it: nobody knows.
  await ok(calibrate('2026-03-02', 'INV-CAL-AGAIN'));
  expect((await wrench()).calibrationToday).toMatchObject({ proves: true, usesSince: 24 });
  await ok(torque(shop, socketId));
  expect((await wrench()).calibrationToday).toMatchObject({ usesSince: 36, usesLeft: 4964 });
});

test('the same certificate is not entered again, nor a second one of the day', async () => {
  const again = await refusedWith(
    calibrate('2026-03-02', 'INV-CAL-AGAIN'),
    'tool-calibrated-that-day',
  );
  expect(again.status).toBe(409);
  await refusedWith(calibrate('2026-03-02', 'INV-CAL-OTHER'), 'tool-calibrated-that-day');
  await refusedWith(calibrate('2026-02-20', 'inv-cal-again'), 'certificate-already-entered');
  expect((await wrench()).calibrationToday).toMatchObject({ usesSince: 36 });
});

test('a certificate entered late forgets no use since its day, and an older one resets nothing', async () => {
  const { wrench: tool } = shop;
  const before = await wrench();
  // The newest of its own day counts, whatever is entered after it.
  await ok(calibrate('2026-02-01', 'INV-CAL-LATE'));
  const after = await wrench();
  expect(after.calibrationDueOn).toBe(before.calibrationDueOn);
  expect(after.calibrationToday).toMatchObject({ usesSince: 36 });

  // A second wrench, first calibrated in January, then used, is entered for February afterwards.
  shop = { ...shop, wrench: await secondWrench() };
  await ok(calibrate('2026-01-12', 'INV-CAL-FIRST'));
  await ok(torque(shop, socketId));
  await usedBefore(100);
  expect((await wrench()).calibrationToday).toMatchObject({ usesSince: 112 });
  await ok(calibrate('2026-02-10', 'INV-CAL-SECOND'));
  expect((await wrench()).calibrationToday).toMatchObject({ usesSince: 112 });
  shop = { ...shop, wrench: tool };
});

test('found 18 % off, the wrench proves nothing, and what it closed since the calibration before is in doubt', async () => {
  const { wrench: tool } = shop;
  shop = { ...shop, wrench: await secondWrench() };
  await ok(calibrate('2026-01-12', 'INV-CAL-GOOD', { deviationPercent: -1.5 }));
  await ok(torque(shop, socketId));
  const found = await ok<Tool>(calibrate('2026-03-02', 'INV-CAL-OFF', { deviationPercent: 18 }));
  expect(found.calibrationToday).toMatchObject({
    proves: false,
    because: [{ code: 'tool-found-out-of-tolerance' }],
  });
  expect(found.calibrations).toMatchObject([
    { deviationPercent: 18, inDoubt: { confirmations: 1 } },
    { deviationPercent: -1.5, inDoubt: null },
  ]);
  const { body, status } = await refusedWith(torque(shop, socketId), 'tool-found-out-of-tolerance');
  expect(status).toBe(422);
  expect(body['detail']).toContain('18 % off');

  const { rows } = await ok<{ rows: { kind: string }[] }>(
    clinic.as('auditor').get(found.calibrations[0]?.inDoubt?.trace ?? ''),
  );
  expect(rows.filter(({ kind }) => kind === 'torque')).toHaveLength(1);
  shop = { ...shop, wrench: tool };
});

test('adjusted by the laboratory it proves again; the joints before stay in doubt', async () => {
  const { wrench: tool } = shop;
  shop = { ...shop, wrench: await secondWrench() };
  await ok(calibrate('2026-01-12', 'INV-CAL-GOOD'));
  await ok(torque(shop, socketId));
  const adjusted = await ok<Tool>(
    calibrate('2026-03-02', 'INV-CAL-ADJUSTED', {
      deviationPercent: -9,
      deviationAfterPercent: 0.4,
    }),
  );
  expect(adjusted.calibrationToday).toMatchObject({ proves: true });
  expect(adjusted.calibrations[0]?.inDoubt).toMatchObject({ confirmations: 1 });
  await ok(torque(shop, socketId));
  expect((await wrench()).calibrations[0]?.inDoubt).toMatchObject({ confirmations: 1 });
  shop = { ...shop, wrench: tool };
});

let wrenches = 1;
/** Another wrench like the shop's, not yet calibrated. */
async function secondWrench(): Promise<string> {
  wrenches += 1;
  return id(
    clinic.as('administrator').post('/api/v1/shop-tools', {
      kind: 'torque_tool',
      name: `Wrench ${wrenches} for trying`,
      toPlaceId: shop.bin,
      toolType: 'setting',
      toolClass: 'A',
      minNm: 5,
      maxNm: 25,
    }),
  );
}

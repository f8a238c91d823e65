/**
 * R4: twelve months or 5,000 uses, whichever comes first (ISO 6789-1:2017, 5.3). The uses are
 * counted by the book, one for each reading under the newest calibration.
 */
import { afterAll, beforeAll, expect, test } from 'vitest';
import { testClinic, type TestClinic } from '../support/api.ts';
import {
  acceptedCast,
  checkSocketOnTheLimb,
  goodReadings,
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

/** Confirmations of one reading each, like the last one of the wrench, written by plain SQL. */
async function usedBefore(times: number): Promise<void> {
  await clinic.store.raw(
    `with one as (
       select * from torque_confirmation where clinic_id = $1 and tool_id = $2 order by id desc limit 1),
     made as (
       insert into torque_confirmation (clinic_id, id, joint_id, torque_setting_id, tool_id, calibration_id,
         threadlocker_batch_id, confirms, because, accepted_from_nm, accepted_to_nm, deviation_percent,
         covers_move_ids, recorded_at, recorded_by_id)
       select clinic_id, ('00000000-0000-7000-8000-' || lpad(to_hex(n), 12, '0'))::uuid, joint_id, torque_setting_id,
         tool_id, calibration_id, threadlocker_batch_id, confirms, because, accepted_from_nm, accepted_to_nm,
         deviation_percent, covers_move_ids, recorded_at, recorded_by_id
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

  await ok(
    clinic.as('administrator').post(`/api/v1/shop-tools/${shop.wrench}/calibrations`, {
      calibratedOn: '2026-03-02',
      certificate: 'INV-CAL-AGAIN',
      laboratory: 'Invented calibration room',
    }),
  );
  expect((await wrench()).calibrationToday).toMatchObject({ proves: true, usesSince: 0 });
  await ok(torque(shop, socketId));
  expect((await wrench()).calibrationToday).toMatchObject({ usesSince: 12, usesLeft: 4988 });
});

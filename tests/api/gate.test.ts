/** The delivery gate's list over HTTP: what it says where there is nothing to deliver yet, and of joints in doubt (R4, R8). */
import { afterAll, beforeAll, expect, test } from 'vitest';
import { testClinic, type TestClinic } from '../support/api.ts';
import {
  acceptedCast,
  deliver,
  deliveredLimb,
  gate,
  id,
  limbToDeliver,
  ok,
  openedOrder,
  readSocket,
  refusedWith,
  stockedShop,
  torque,
  type Shop,
} from '../support/job.ts';

let clinic: TestClinic;
let shop: Shop;
beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
});
afterAll(() => clinic.close());

const calibrate = (tool: string, calibratedOn: string, certificate: string, more: object = {}) =>
  ok(
    clinic.as('administrator').post(`/api/v1/shop-tools/${tool}/calibrations`, {
      calibratedOn,
      certificate,
      laboratory: 'Invented calibration room',
      ...more,
    }),
  );

const anotherWrench = async (name: string): Promise<string> => {
  const tool = await id(
    clinic.as('administrator').post('/api/v1/shop-tools', {
      kind: 'torque_tool',
      name,
      toPlaceId: shop.bin,
      toolType: 'setting',
      toolClass: 'A',
      minNm: 5,
      maxNm: 25,
    }),
  );
  await calibrate(tool, '2026-01-12', `${name}, January`);
  return tool;
};

test('an order without a definitive socket hears that, with all else that is missing', async () => {
  const { orderId, number } = await openedOrder(shop);
  await acceptedCast(shop, orderId);
  const { open, missing } = await gate(shop, orderId);
  expect(open).toBe(false);
  expect(missing.map(({ code }) => code)).toEqual([
    'no-definitive-socket',
    'stage-does-not-allow',
    'fit-not-accepted',
  ]);
  expect(missing[0]?.detail).toBe(`Order ${number} has no definitive socket in work.`);
});

test('a wrench found 18 % off opens the joint that it closed; torqued by another it is closed', async () => {
  const { orderId, socketId } = await limbToDeliver(shop);
  const bad = await anotherWrench('Wrench found bad');
  await ok(torque(shop, socketId, { toolId: bad }));
  expect((await gate(shop, orderId)).open).toBe(true);

  await calibrate(bad, '2026-03-02', 'INV-CAL-OFF', { deviationPercent: 18 });
  const { missing } = await gate(shop, orderId);
  expect(missing).toMatchObject([{ code: 'joint-in-doubt', joint: 'distal' }]);
  expect(missing[0]?.detail).toContain('Wrench found bad, which closed it, was found beyond');
  expect(missing[0]?.detail).toContain('certificate INV-CAL-OFF');
  const { joints } = await readSocket(shop, socketId);
  expect(joints.find(({ kind }) => kind === 'distal')).toMatchObject({ confirmed: false });
  // No signature helps: the readings prove nothing.
  await refusedWith(deliver(shop, orderId, socketId), 'joint-in-doubt');

  await ok(torque(shop, socketId));
  expect((await gate(shop, orderId)).open).toBe(true);
  await ok(deliver(shop, orderId, socketId));
});

test('within its permissible deviation a calibration opens nothing; nor does one of another tool', async () => {
  const { orderId, socketId } = await limbToDeliver(shop);
  const good = await anotherWrench('Wrench found good');
  const other = await anotherWrench('Wrench that closed nothing');
  await ok(torque(shop, socketId, { toolId: good }));
  await calibrate(good, '2026-03-02', 'INV-CAL-WITHIN', { deviationPercent: -3.9 });
  await calibrate(other, '2026-03-02', 'INV-CAL-ELSEWHERE', { deviationPercent: 18 });
  expect((await gate(shop, orderId)).open).toBe(true);
});

test('worn already: a service visit does not close on a joint in doubt', async () => {
  const { orderId, socketId } = await limbToDeliver(shop);
  const bad = await anotherWrench('Wrench found bad later');
  await ok(torque(shop, socketId, { toolId: bad }));
  await ok(deliver(shop, orderId, socketId));
  await calibrate(bad, '2026-03-02', 'INV-CAL-LATER', { deviationPercent: 7 });

  const { serviceVisitId } = await ok<{ serviceVisitId: string }>(
    clinic.as('prosthetist').post(`/api/v1/orders/${orderId}/service-visits`, {
      socketId,
      kind: 're_torque',
      note: 'Called in: the wrench was found off.',
    }),
  );
  const close = () =>
    clinic.as('prosthetist').post(`/api/v1/service-visits/${serviceVisitId}/closing`, {
      outcome: 'Torqued again.',
      signature: { password: clinic.people.prosthetist.password },
    });
  await refusedWith(close(), 'joint-in-doubt');
  await ok(torque(shop, socketId));
  await ok(close());
});

test('an order that is delivered has nothing more to deliver', async () => {
  const { orderId } = await deliveredLimb(shop);
  expect((await gate(shop, orderId)).missing.map(({ code }) => code)).toEqual([
    'no-definitive-socket',
    'stage-does-not-allow',
  ]);
});

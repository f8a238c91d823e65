import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { pick } from '../support/answers.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import {
  castToTake,
  MEASURES,
  openOrder,
  orderAtCheckFitting,
  takeCast,
} from '../support/orders.ts';

let clinic: TestClinic;
beforeAll(async () => {
  clinic = await testClinic();
});
afterAll(() => clinic.close());

const casts = (orderId: string) => `/api/v1/orders/${orderId}/casts`;

describe('casts', () => {
  test('a prosthetist records a cast with its measures; it is taken, not accepted', async () => {
    const { id } = await openOrder(clinic);
    const { status, body } = await clinic
      .as('prosthetist')
      .post(casts(id), castToTake({ method: 'scan', note: 'Liner on.' }));
    expect(status).toBe(201);
    expect(body).toMatchObject({
      orderId: id,
      number: 1,
      method: 'scan',
      state: 'taken',
      takenBy: 'Paula Fitting of KL',
      limbLengthMm: 150,
      measures: MEASURES,
    });
    const order = await clinic.as('prosthetist').get(`/api/v1/orders/${id}`);
    expect(order.body.stage).toBe('casting');
  });

  test('accepting the cast brings the order to check fitting', async () => {
    const { id } = await openOrder(clinic);
    const cast = await takeCast(clinic, id);
    const { body } = await clinic.as('prosthetist').post(`/api/v1/casts/${cast.id}/accept`);
    expect(body).toMatchObject({ state: 'accepted', decidedBy: 'Paula Fitting of KL' });
    const order = await clinic.as('technician').get(`/api/v1/orders/${id}`);
    expect(order.body).toMatchObject({
      stage: 'check_fitting',
      casts: [{ number: 1, state: 'accepted' }],
    });
  });

  test('a rejected cast leaves the order at casting, and the next one is number 2', async () => {
    const { id } = await openOrder(clinic);
    const first = await takeCast(clinic, id);
    await clinic
      .as('prosthetist')
      .post(`/api/v1/casts/${first.id}/reject`, { reason: 'Moved while setting.' })
      .expect(200);
    expect(await takeCast(clinic, id)).toMatchObject({ number: 2 });
    const { body } = await clinic.as('technician').get(casts(id)).expect(200);
    expect(pick(body.items, 'state')).toEqual(['rejected', 'taken']);
  });

  test('a cast is judged once, also when two judge it at the same moment', async () => {
    const { id } = await openOrder(clinic);
    const cast = await takeCast(clinic, id);
    const prosthetist = clinic.as('prosthetist');
    const answers = await Promise.all([
      prosthetist.post(`/api/v1/casts/${cast.id}/accept`),
      prosthetist.post(`/api/v1/casts/${cast.id}/reject`, { reason: 'Not mine.' }),
    ]);
    expect(answers.map(({ status }) => status).sort()).toEqual([200, 409]);
    const lost = answers.find(({ status }) => status === 409);
    expect(lost?.body.code).toBe('cast-already-decided');
  });

  test('a further cast during check fitting keeps the stage', async () => {
    const { id } = await orderAtCheckFitting(clinic);
    const second = await takeCast(clinic, id);
    await clinic.as('prosthetist').post(`/api/v1/casts/${second.id}/accept`).expect(200);
    const order = await clinic.as('prosthetist').get(`/api/v1/orders/${id}`);
    expect(order.body.stage).toBe('check_fitting');
  });

  test('a technician takes and judges no casts', async () => {
    const { id } = await openOrder(clinic);
    await clinic.as('technician').post(casts(id), castToTake()).expect(403);
    const cast = await takeCast(clinic, id);
    await clinic.as('technician').post(`/api/v1/casts/${cast.id}/accept`).expect(403);
  });

  test('a cancelled order takes no cast', async () => {
    const { id } = await openOrder(clinic);
    await clinic.as('front_desk').post(`/api/v1/orders/${id}/cancel`, { why: 'Mistake.' });
    await expect(takeCast(clinic, id)).rejects.toThrow('stage-does-not-allow');
  });

  test.each([
    ['a cast of tomorrow', { takenOn: '2026-03-03' }, 'day-in-future'],
    ['a limb of one metre', { limbLengthMm: 1000 }, 'limb-length-implausible'],
    ['a cast of before the patient was born', { takenOn: '1915-06-01' }, 'day-before-birth'],
    ['a cap deeper than the lowest height', { capDepthMm: 35 }, 'cap-depth-disagrees'],
    ['heights past the limb', { limbLengthMm: 50 }, 'measures-implausible'],
    [
      'centimetres for millimetres',
      { measures: MEASURES.map((m) => ({ ...m, circumferenceMm: m.circumferenceMm / 10 })) },
      'measures-implausible',
    ],
    ['heights that fall', { measures: [...MEASURES].reverse() }, 'measures-implausible'],
    ['two measures', { measures: MEASURES.slice(0, 2) }, 'request-invalid'],
  ])('%s is refused, and nothing is kept of it', async (_title, given, code) => {
    const { id } = await openOrder(clinic);
    const { status, body } = await clinic.as('prosthetist').post(casts(id), castToTake(given));
    expect(status).toBe(400);
    expect(body.code).toBe(code);
    const list = await clinic.as('prosthetist').get(casts(id));
    expect(list.body.items).toEqual([]);
  });
});

/** Measures of the limb at any visit: kept, worked out, compared, drawn (C1). */
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { pick } from '../support/answers.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import { ok, refusedWith } from '../support/job.ts';
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

const sets = (orderId: string) => `/api/v1/orders/${orderId}/measure-sets`;
const thicker = (girth: number) =>
  MEASURES.map((each) => ({ ...each, circumferenceMm: each.circumferenceMm * girth }));
const toMeasure = (given: object = {}) => ({
  occasion: 'fitting',
  takenOn: '2026-03-02',
  limbLengthMm: 150,
  measures: MEASURES,
  ...given,
});
const measure = (orderId: string, given: object = {}) =>
  clinic.as('prosthetist').post(sets(orderId), toMeasure(given));

interface Compared {
  readonly first: { readonly id: string; readonly castNumber: number | null };
  readonly second: { readonly id: string };
  readonly firstMl: number;
  readonly secondMl: number;
  readonly differenceMl: number;
  readonly percent: number;
  readonly ply: number;
  readonly limitPercent: number;
  readonly asks: { readonly code: string; readonly detail: string } | null;
}
interface Taken {
  readonly set: { readonly id: string; readonly geometry: Record<string, number | string> };
  readonly sinceCast: Compared | null;
  readonly notCompared: { readonly code: string } | null;
}
const measured = (orderId: string, given: object = {}) => ok<Taken>(measure(orderId, given));

const patientOf = async (orderId: string): Promise<string> => {
  const url = `/api/v1/orders/${orderId}`;
  const { patient } = await ok<{ patient: { id: string } }>(clinic.as('front_desk').get(url));
  return patient.id;
};

describe('measures at a fitting', () => {
  test('say what the limb is, and what became of it since its accepted cast', async () => {
    const { id } = await orderAtCheckFitting(clinic);
    const { set, sinceCast, notCompared } = await measured(id, { measures: thicker(0.97) });
    expect(set).toMatchObject({
      orderId: id,
      occasion: 'fitting',
      takenBy: 'Paula Fitting of KL',
      castId: null,
      socketNumber: null,
    });
    expect(notCompared).toBeNull();
    // Volumes go with the square of the girth: 0.97² − 1 = −5.91 %, at 1.2 % a ply five ply.
    expect(sinceCast?.percent).toBeCloseTo(-5.91, 9);
    expect(sinceCast).toMatchObject({
      ply: 5,
      limitPercent: 5,
      fromMm: 20,
      toMm: 140,
      first: { castNumber: 1 },
      asks: { code: 'limb-volume-changed' },
      decision: null,
    });
    expect(sinceCast?.differenceMl).toBeCloseTo(
      (sinceCast?.secondMl ?? 0) - (sinceCast?.firstMl ?? 0),
      9,
    );
    const within = await measured(id, { measures: thicker(0.99) });
    expect(within.sinceCast?.asks).toBeNull();
  });

  test('carry volume, area and cap; the end is the lowest height unless it was measured', async () => {
    const { id } = await openOrder(clinic);
    const { set } = await measured(id);
    const { geometry } = set;
    // The design's own formula, Σ h(C₁² + C₁C₂ + C₂²)/12π, written out.
    const cones =
      [
        [245, 282],
        [282, 310],
        [310, 332],
      ].reduce((sum, [a = 0, b = 0]) => sum + 40 * (a * a + a * b + b * b), 0) /
      (12 * Math.PI) /
      1000;
    expect(geometry['conesMl']).toBeCloseTo(cones, 9);
    expect(geometry['capMl']).toBeCloseTo(
      ((2 / 3) * Math.PI * (245 / (2 * Math.PI)) ** 2 * 20) / 1000,
      9,
    );
    expect(geometry['volumeMl']).toBe(Number(geometry['conesMl']) + Number(geometry['capMl']));
    expect(geometry).toMatchObject({
      capDepthMm: 20,
      capDepthSource: 'lowest_height',
      greatestCircumferenceMm: 332,
    });
    const given = await measured(id, { capDepthMm: 28 });
    expect(given.set.geometry).toMatchObject({ capDepthMm: 28, capDepthSource: 'given' });
    const fromZero = MEASURES.map((each) => ({ ...each, heightMm: each.heightMm - 20 }));
    const assumed = await measured(id, { measures: fromZero });
    expect(assumed.set.geometry['capDepthSource']).toBe('assumed');
    expect(assumed.set.geometry['capDepthMm']).toBeCloseTo(245 / (4 * Math.PI), 9);
  });

  test('with the cast stand in the same list, its cap depth with them', async () => {
    const { id } = await openOrder(clinic);
    const prosthetist = clinic.as('prosthetist');
    const cast = await ok<{ capDepthMm: number; measureSetId: string }>(
      prosthetist.post(`/api/v1/orders/${id}/casts`, castToTake({ capDepthMm: 25 })),
    );
    expect(cast.capDepthMm).toBe(25);
    const { body } = await clinic.as('technician').get(sets(id)).expect(200);
    expect(body.items).toMatchObject([
      {
        id: cast.measureSetId,
        occasion: 'cast',
        castNumber: 1,
        measures: MEASURES,
        geometry: { capDepthMm: 25, capDepthSource: 'given' },
      },
    ]);
    await refusedWith(
      prosthetist.post(`/api/v1/orders/${id}/casts`, castToTake({ capDepthMm: 201 })),
      'value-out-of-range',
    );
  });

  test('without an accepted cast are compared with nothing', async () => {
    const { id } = await openOrder(clinic);
    await takeCast(clinic, id);
    expect(await measured(id)).toMatchObject({ sinceCast: null, notCompared: null });
  });

  test('at other heights than the cast are kept, and it is said that nothing can be told', async () => {
    const { id } = await orderAtCheckFitting(clinic);
    const higher = [130, 140, 150].map((heightMm) => ({ heightMm, circumferenceMm: 330 }));
    expect(await measured(id, { measures: higher })).toMatchObject({
      sinceCast: null,
      notCompared: { code: 'measures-do-not-overlap' },
    });
  });

  test('are taken while the order is on hold: often that is what it waits for', async () => {
    const { id } = await orderAtCheckFitting(clinic);
    const hold = { holdReason: 'limb_volume_not_stable' };
    await clinic.as('technician').post(`/api/v1/orders/${id}/hold`, hold).expect(200);
    await measure(id).expect(201);
  });

  test('write one event that tells the table', async () => {
    const { id } = await openOrder(clinic);
    await measured(id, { note: 'Morning, after a night without the limb.' });
    const { body } = await clinic.as('auditor').get(`/api/v1/orders/${id}/history`).expect(200);
    expect(body.items[0]).toMatchObject({
      kind: 'limb.measured',
      data: { occasion: 'fitting', measures: MEASURES, capDepthMm: null },
    });
  });

  test('name a socket of the same order or none', async () => {
    const { id } = await orderAtCheckFitting(clinic);
    const other = await orderAtCheckFitting(clinic);
    const start = (orderId: string) =>
      ok<{ id: string; number: string }>(
        clinic.as('technician').post(`/api/v1/orders/${orderId}/sockets`, { kind: 'check' }),
      );
    const [own, foreign] = [await start(id), await start(other.id)];
    const { set } = await measured(id, { socketId: own.id });
    expect(set).toMatchObject({ socketId: own.id, socketNumber: own.number });
    await refusedWith(measure(id, { socketId: foreign.id }), 'socket-of-another-order');
    const nowhere = randomUUID();
    await refusedWith(measure(id, { socketId: nowhere }), 'not-found');
  });

  test('are a prosthetist’s; everybody reads them', async () => {
    const { id } = await openOrder(clinic);
    await refusedWith(clinic.as('technician').post(sets(id), toMeasure()), 'role-may-not');
    for (const role of ['front_desk', 'technician', 'auditor'] as const) {
      await clinic.as(role).get(sets(id)).expect(200);
    }
  });

  test('of a cancelled order are not taken', async () => {
    const { id } = await openOrder(clinic);
    await clinic.as('front_desk').post(`/api/v1/orders/${id}/cancel`, { why: 'Mistake.' });
    await refusedWith(measure(id), 'stage-does-not-allow');
  });

  test.each([
    ['of tomorrow', { takenOn: '2026-03-03' }, 'day-in-future'],
    ['of a limb of one metre', { limbLengthMm: 1000 }, 'limb-length-implausible'],
    ['in centimetres', { measures: thicker(0.1) }, 'measures-implausible'],
    ['with a cap of a foot', { capDepthMm: 305 }, 'value-out-of-range'],
    ['with a cap deeper than the lowest height', { capDepthMm: 32 }, 'cap-depth-disagrees'],
    ['of before the patient was born', { takenOn: '1915-06-01' }, 'day-before-birth'],
    ['higher than the limb is long', { limbLengthMm: 59 }, 'measures-implausible'],
    ['of a cast, without the cast', { occasion: 'cast' }, 'request-invalid'],
    ['at two heights', { measures: MEASURES.slice(0, 2) }, 'request-invalid'],
  ])('%s are refused, and nothing is kept of them', async (_title, given, code) => {
    const { id } = await openOrder(clinic);
    const { status } = await refusedWith(measure(id, given), code);
    expect(status).toBe(400);
    const { body } = await clinic.as('prosthetist').get(sets(id));
    expect(body.items).toEqual([]);
  });
});

describe('the sets of a limb', () => {
  test('are those of one side of the patient over all orders, the oldest first', async () => {
    const first = await openOrder(clinic);
    const patientId = await patientOf(first.id);
    const again = { patientId, anotherOpenOrderIsMeant: true };
    const second = await openOrder(clinic, again);
    const right = await openOrder(clinic, { patientId, side: 'right' });
    const newer = await measured(second.id, { takenOn: '2026-03-01', occasion: 'follow_up' });
    const older = await measured(first.id, { takenOn: '2026-02-01', occasion: 'delivery' });
    const across = await measured(right.id);
    for (const order of [first, second]) {
      const { body } = await clinic.as('prosthetist').get(sets(order.id)).expect(200);
      expect(pick(body.items, 'id')).toEqual([older.set.id, newer.set.id]);
      expect(pick(body.items, 'orderNumber')).toEqual([first.number, second.number]);
    }
    const { body } = await clinic.as('prosthetist').get(sets(right.id)).expect(200);
    expect(pick(body.items, 'id')).toEqual([across.set.id]);
  });

  test('count from the newest accepted cast, also of a later order; a cancelled order’s counts no more', async () => {
    const first = await orderAtCheckFitting(clinic);
    const second = await openOrder(clinic, {
      patientId: await patientOf(first.id),
      anotherOpenOrderIsMeant: true,
    });
    const cast = await takeCast(clinic, second.id, {
      takenOn: '2026-03-02',
      measures: thicker(0.96),
    });
    await clinic.as('prosthetist').post(`/api/v1/casts/${cast.id}/accept`).expect(200);
    const since = (await measured(first.id, { measures: thicker(0.96) })).sinceCast;
    expect(since?.percent).toBeCloseTo(0, 9);
    await clinic.as('front_desk').post(`/api/v1/orders/${second.id}/cancel`, { why: 'Mistake.' });
    const now = await clinic.as('technician').get(sets(first.id)).expect(200);
    expect(now.body.sinceCast.percent).toBeCloseTo(100 * (0.96 ** 2 - 1), 9);
  });
});

describe('two sets of measures', () => {
  const compare = (first: string, second: string) =>
    clinic.as('technician').get(`/api/v1/measure-sets/comparison?first=${first}&second=${second}`);

  test('are compared from the earlier to the later, whichever is named first', async () => {
    const { id } = await openOrder(clinic);
    const before = await measured(id, { takenOn: '2026-02-01' });
    const after = await measured(id, { measures: thicker(1.04) });
    const told = await ok<Compared>(compare(after.set.id, before.set.id));
    expect(told).toEqual(await ok(compare(before.set.id, after.set.id)));
    expect(told).toMatchObject({ first: { id: before.set.id }, second: { id: after.set.id } });
    expect(told.percent).toBeCloseTo(8.16, 9);
    expect(told.ply).toBe(-7);
    expect(told.asks?.detail).toContain('gained');
  });

  test('follow the clinic’s own ply and limit', async () => {
    const { id } = await openOrder(clinic);
    const before = await measured(id, { takenOn: '2026-02-01' });
    const after = await measured(id, { measures: thicker(0.97) });
    const admin = clinic.as('administrator');
    const set = async (settings: object): Promise<void> => {
      const { headers } = await admin.get('/api/v1/clinic');
      await admin.patch('/api/v1/clinic', settings, headers['etag'] ?? '').expect(200);
    };
    await set({ plyMeans: 'mL', perPly: 20, volumeLimitPercent: 8 });
    const told = await ok<Compared>(compare(before.set.id, after.set.id));
    expect(told.ply).toBe(Math.round(-told.differenceMl / 20));
    expect(told).toMatchObject({ plyMeans: 'mL', perPly: 20, limitPercent: 8, asks: null });
    await set({ plyMeans: 'percent', perPly: 1.2, volumeLimitPercent: 5 });
  });

  test('of two patients, of two sides, or one with itself are refused', async () => {
    const { id } = await openOrder(clinic);
    const { set } = await measured(id);
    const right = await openOrder(clinic, { patientId: await patientOf(id), side: 'right' });
    const others = [await measured(right.id), await measured((await openOrder(clinic)).id)];
    for (const other of others) {
      const { status } = await refusedWith(
        compare(set.id, other.set.id),
        'measure-sets-of-two-limbs',
      );
      expect(status).toBe(400);
    }
    await refusedWith(compare(set.id, set.id), 'measure-set-with-itself');
  });

  test('with less than 40 mm in common tell nothing', async () => {
    const { id } = await openOrder(clinic);
    const low = await measured(id, { measures: MEASURES.slice(0, 3), takenOn: '2026-02-01' });
    const high = [80, 100, 140].map((heightMm) => ({ heightMm, circumferenceMm: 320 }));
    const upper = await measured(id, { measures: high });
    const { status } = await refusedWith(
      compare(low.set.id, upper.set.id),
      'measures-do-not-overlap',
    );
    expect(status).toBe(422);
  });

  test('of another clinic are not there', async () => {
    const { id } = await openOrder(clinic);
    const { set } = await measured(id);
    const other = await clinic.another('ZW');
    const url = `/api/v1/measure-sets/comparison?first=${set.id}&second=${set.id}`;
    await other.as('prosthetist').get(url).expect(404);
    await other.as('prosthetist').get(`/api/v1/measure-sets/${set.id}/profile.svg`).expect(404);
  });
});

describe('the drawn profile', () => {
  const profile = (id: string, query = '') =>
    clinic.as('technician').get(`/api/v1/measure-sets/${id}/profile.svg${query}`);

  test('is a picture with its heights, its girths and a bar', async () => {
    const order = await openOrder(clinic);
    const { set } = await measured(order.id);
    const { headers, body } = await profile(set.id).expect(200);
    expect(headers['content-type']).toBe('image/svg+xml; charset=utf-8');
    const svg = String(body);
    expect(svg).toContain(
      `<title>Profile of the left trans-tibial limb, order ${order.number}</title>`,
    );
    for (const each of MEASURES) {
      expect(svg).toContain(`>${each.heightMm}</text>`);
      expect(svg).toContain(`>${each.circumferenceMm}</text>`);
    }
    expect(svg).toContain('bar 50 mm');
    expect(svg).not.toContain('stroke-dasharray');
  });

  test('has another set of the limb dashed over it, and no other limb’s', async () => {
    const { id } = await orderAtCheckFitting(clinic);
    const { body } = await clinic.as('technician').get(sets(id));
    const { set } = await measured(id, { measures: thicker(0.9) });
    const svg = String((await profile(set.id, `?with=${body.items[0].id}`).expect(200)).body);
    expect(svg).toContain('stroke-dasharray');
    expect(svg).toContain('fitting, Mon 2 Mar 2026');
    expect(svg).toContain('cast 1, Sun 1 Mar 2026');
    const other = await measured((await openOrder(clinic)).id);
    await refusedWith(profile(set.id, `?with=${other.set.id}`), 'measure-sets-of-two-limbs');
  });
});

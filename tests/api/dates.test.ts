/** Days to promise, what becomes of them, and the orders to watch (C5). */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { addDays } from '../../src/domain/days.ts';
import { byStage, censusOf, finishedOrders } from '../../src/domain/orderTimeline.ts';
import {
  chanceWithin,
  forecast,
  offerDates,
  stagesToCome,
  STARTING_STAGE_DAYS,
} from '../../src/domain/promise.ts';
import { addWorkingDays } from '../../src/domain/workCalendar.ts';
import { pick } from '../support/answers.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import { steadyPast, wentThrough, type Past } from '../support/history.ts';
import { addPatient, openOrder, takeCast } from '../support/orders.ts';
import { expectRefused } from '../support/plainSql.ts';
import { CLINIC, MONDAY, went } from '../support/timelines.ts';

let clinic: TestClinic;
/** A clinic of the same service without any finished order. */
let young: TestClinic;
const PAST = steadyPast(40);

beforeAll(async () => {
  clinic = await testClinic();
  await wentThrough(clinic, PAST);
  young = await clinic.another('YG');
});
afterAll(() => clinic.close());

const on = (days: number) => addWorkingDays(CLINIC, MONDAY, days);
const offerOf = async (of: TestClinic, query = '') => {
  const { body } = await of.as('front_desk').get(`/api/v1/dates/offer${query}`).expect(200);
  return body;
};
const dateOf = async (of: TestClinic, id: string) => {
  const { body } = await of.as('front_desk').get(`/api/v1/orders/${id}/date`).expect(200);
  return body;
};
const readOrder = async (of: TestClinic, id: string) =>
  (await of.as('front_desk').get(`/api/v1/orders/${id}`).expect(200)).body;

/** Drawn straight from the domain, for an order that is opened on `MONDAY`. */
function drawnDirectly(seed: number) {
  const census = censusOf(PAST);
  const inShop = byStage((stage) => census(stage, MONDAY));
  const toCome = stagesToCome(
    { stage: 'casting', ordersAhead: inShop.casting, workingDaysSoFar: 0 },
    inShop,
  );
  const drawn = forecast({ history: finishedOrders(CLINIC, PAST), toCome, seed });
  if (!drawn.ok) throw new Error('no forecast');
  const offers = offerDates({
    calendar: CLINIC,
    today: MONDAY,
    toCome,
    usualDays: STARTING_STAGE_DAYS,
    forecast: drawn,
    wantedChance: 0.8,
  });
  return { offers, chance: (days: number) => chanceWithin(drawn.value, days) };
}

describe('a day to promise at opening', () => {
  test('a young clinic offers by its usual days, and says why there is no chance', async () => {
    const body = await offerOf(young, `?promisedOn=${on(10)}`);
    expect(body).toMatchObject({
      today: MONDAY,
      finishedOrders: 0,
      usual: { promisedOn: on(18), workingDays: 18, chance: null },
      withChance: null,
      asked: { promisedOn: on(10), workingDays: 10, chance: null },
      because: [{ code: 'history-too-short' }],
    });
  });

  test('a clinic with a history offers the first day that has the wanted chance', async () => {
    const body = await offerOf(clinic, '?seed=7');
    const { offers } = drawnDirectly(7);
    expect(body).toMatchObject({ seed: 7, finishedOrders: 40, wantedChance: 0.8, because: [] });
    expect(body.usual).toEqual(offers.usual);
    expect(body.withChance).toEqual(offers.withChance);
    // Casting 2, check fitting 5 to 9, lamination 3, delivery 2: 15 days in four of five.
    expect(body.withChance).toMatchObject({ promisedOn: on(15), workingDays: 15 });
    expect(body.withChance.chance).toBeGreaterThanOrEqual(0.8);
    expect(body.withChance.chance).toBeLessThan(0.85);
  });

  test('whoever asks the same on one day hears the same; a day that is wished for has its chance', async () => {
    const once = await offerOf(clinic, `?promisedOn=${on(13)}`);
    expect(await offerOf(clinic, `?promisedOn=${on(13)}&seed=${once.seed}`)).toEqual(once);
    expect(once.asked).toEqual({
      promisedOn: on(13),
      workingDays: 13,
      chance: drawnDirectly(once.seed).chance(13),
    });
    clinic.clock.set('2026-03-03T09:00:00Z');
    const next = await offerOf(clinic);
    clinic.clock.set('2026-03-02T09:00:00Z');
    expect(next.seed).not.toBe(once.seed);
    expect((await offerOf(young)).seed).not.toBe(once.seed);
  });

  test('a wish for yesterday, and a seed that is none, are refused', async () => {
    const past = await clinic.as('front_desk').get('/api/v1/dates/offer?promisedOn=2026-03-01');
    expect([past.status, past.body.code]).toEqual([400, 'promised-day-past']);
    const far = await clinic.as('front_desk').get('/api/v1/dates/offer?promisedOn=2062-03-02');
    expect([far.status, far.body.code]).toEqual([400, 'value-out-of-range']);
    for (const seed of ['', '-1', '1.5', '2147483648', 'x', ' 7', '0x7', '1e3']) {
      const { status } = await clinic.as('front_desk').get(`/api/v1/dates/offer?seed=${seed}`);
      expect(status, seed).toBe(400);
    }
  });

  test('orders opened more than two years ago are drawn from no more', async () => {
    const old = await clinic.another('OL');
    const start = addDays(MONDAY, -745);
    const ended: Past[] = PAST.slice(0, 25).map(({ order, changes: [, ...rest] }) => ({
      order,
      changes: [{ stage: 'casting', on: start }, ...rest],
    }));
    await wentThrough(old, ended);
    expect(await offerOf(old)).toMatchObject({
      finishedOrders: 0,
      because: [{ code: 'history-too-short' }],
    });
  });

  test('the clinic’s own settings and calendar are reckoned with', async () => {
    const own = await clinic.another('OW');
    const admin = own.as('administrator');
    const { headers } = await admin.get('/api/v1/clinic');
    await admin
      .patch('/api/v1/clinic', { usualCastingDays: 1.5 }, headers['etag'] ?? '')
      .expect(200);
    expect((await offerOf(own)).usual).toMatchObject({ promisedOn: on(17), workingDays: 17 });
    const { body: calendar } = await admin.get('/api/v1/calendar');
    const closedDays = [{ on: on(3), why: 'Inventory' }];
    await admin
      .post('/api/v1/calendar', {
        basedOnVersion: calendar.version,
        weekdays: calendar.weekdays,
        closedDays,
      })
      .expect(201);
    expect((await offerOf(own)).usual).toMatchObject({ promisedOn: on(18), workingDays: 17 });
  });
});

describe('what was promised', () => {
  const asked = async (given: object) => ({
    patientId: (await addPatient(clinic)).id,
    side: 'left',
    level: 'trans_tibial',
    suspension: 'pin_lock',
    functionalLevel: 'K3',
    ...given,
  });

  test('an order keeps the chance of its day, as the desk was told it', async () => {
    const offer = await offerOf(clinic, `?promisedOn=${on(14)}`);
    const { body } = await clinic
      .as('front_desk')
      .post('/api/v1/orders', await asked({ promisedOn: on(14), offerSeed: offer.seed }))
      .expect(201);
    expect(body).toMatchObject({
      promisedOn: on(14),
      firstPromisedOn: on(14),
      offeredChance: offer.asked.chance,
    });
    expect(await dateOf(clinic, body.id)).toMatchObject({
      firstPromisedOn: on(14),
      offeredChance: offer.asked.chance,
      offerSeed: offer.seed,
    });
  });

  test('a day that nobody asked the chance of has none; a seed without a day is refused', async () => {
    const plain = await openOrder(clinic, { promisedOn: on(14) });
    expect(await readOrder(clinic, plain.id)).toMatchObject({
      firstPromisedOn: on(14),
      offeredChance: null,
    });
    const { status, body } = await clinic
      .as('front_desk')
      .post('/api/v1/orders', await asked({ offerSeed: 7 }));
    expect([status, body.code]).toEqual([400, 'request-invalid']);
    expect(pick(body.errors, 'pointer')).toEqual(['/offerSeed']);
  });

  test('a seed that is not the day’s is refused: yesterday’s chance is not today’s, and none is picked', async () => {
    const { seed } = await offerOf(clinic);
    const open = async (offerSeed: number) =>
      clinic
        .as('front_desk')
        .post('/api/v1/orders', await asked({ promisedOn: on(14), offerSeed }));
    const picked = await open(Number(seed) ^ 1);
    expect([picked.status, picked.body.code]).toEqual([409, 'offer-of-another-day']);
    clinic.clock.set('2026-03-03T09:00:00Z');
    const nextDay = await open(seed);
    clinic.clock.set('2026-03-02T09:00:00Z');
    expect(nextDay.body).toMatchObject({
      code: 'offer-of-another-day',
      wayOut: expect.stringContaining('today’s days to promise'),
    });
  });

  test('a young clinic’s promise keeps the seed, without a chance', async () => {
    const { seed } = await offerOf(young);
    const { id } = await openOrder(young, { promisedOn: on(18), offerSeed: seed });
    expect(await dateOf(young, id)).toMatchObject({ offeredChance: null, offerSeed: seed });
  });

  test('the day promised first stays, whatever is agreed later (R10)', async () => {
    const { id } = await openOrder(clinic);
    const desk = clinic.as('front_desk');
    const promise = async (promisedOn: string | null, version: number) =>
      (await desk.patch(`/api/v1/orders/${id}`, { promisedOn }, `"${version}"`).expect(200)).body;
    expect(await readOrder(clinic, id)).toMatchObject({ firstPromisedOn: null });
    expect(await promise(on(12), 1)).toMatchObject({ promisedOn: on(12), firstPromisedOn: on(12) });
    expect(await promise(on(20), 2)).toMatchObject({ promisedOn: on(20), firstPromisedOn: on(12) });
    expect(await promise(null, 3)).toMatchObject({ promisedOn: null, firstPromisedOn: on(12) });
    await expectRefused(
      clinic.store,
      () =>
        clinic.store.raw(`update fabrication_order set first_promised_on = $1 where id = $2`, [
          on(20),
          id,
        ]),
      { state: 'R1002', code: 'record-is-final' },
    );
  });

  test('a promise for a remake is not the first promise of the limb', async () => {
    const remade = went('remade', on(-40), ['delivery', 9], ['delivered', 2], ['casting', 20]);
    const id = (await wentThrough(clinic, [remade])).get('remade')!;
    const { body } = await clinic
      .as('front_desk')
      .patch(`/api/v1/orders/${id}`, { promisedOn: on(30) }, '"1"')
      .expect(200);
    expect(body).toMatchObject({ promisedOn: on(30), firstPromisedOn: null });
    expect((await dateOf(clinic, id)).standing).toMatchObject({
      stage: 'casting',
      workingDaysSoFar: 9,
    });
  });
});

test('a delivered order that is remade is promised anew: it is not late at once', async () => {
  const own = await clinic.another('RM');
  const past = {
    ...went('made', on(-40), ['delivery', 9], ['delivered', 2]),
    promisedOn: on(-25),
  };
  const id = (await wentThrough(own, [past])).get('made')!;
  const why = { why: 'The limb shrank.', newCast: true };
  await own.as('prosthetist').post(`/api/v1/orders/${id}/remake`, why).expect(201);
  expect(await readOrder(own, id)).toMatchObject({
    stage: 'casting',
    promisedOn: null,
    firstPromisedOn: on(-25),
    late: false,
  });
  const { body } = await own.as('auditor').get(`/api/v1/orders/${id}/history`).expect(200);
  const acts = (body.items as { kind: string }[]).filter(({ kind }) => kind !== 'patient.read');
  expect(acts[0]).toMatchObject({
    kind: 'order.stage_changed',
    data: { step: 'remake_wanted', promisedOn: { before: on(-25), after: null } },
  });
  expect((await own.as('front_desk').get('/api/v1/dates/watch')).body.items).toEqual([]);
});

describe('orders under way', () => {
  let busy: TestClinic;
  let ids: ReadonlyMap<string, string>;
  /** Each at check fitting for so many working days. */
  const fitting = (order: string, daysAgo: number, promisedOn: Past['promisedOn']): Past => ({
    ...went(order, on(-daysAgo - 2), ['check_fitting', 2]),
    ...(promisedOn === undefined ? {} : { promisedOn }),
  });
  beforeAll(async () => {
    busy = await clinic.another('BY');
    await wentThrough(busy, PAST);
    ids = await wentThrough(busy, [
      fitting('on course', 2, on(12)),
      fitting('late by two days', 2, on(-2)),
      fitting('late by a week', 2, on(-5)),
      // Of 5 to 9 days 2 are over, and 5 come after: 8 to 12 in all.
      fitting('tight', 2, on(8)),
      fitting('fair', 2, on(10)),
      fitting('hopeless', 2, on(1)),
      fitting('without a day', 2, undefined),
      fitting('held', 2, on(31)),
      fitting('long', 10, on(30)),
      { ...went('delivered', on(-60), ['delivery', 9], ['delivered', 2]), promisedOn: on(-50) },
      { ...went('cancelled', on(-9), ['cancelled', 2]), promisedOn: on(-5) },
    ]);
    await busy
      .as('front_desk')
      .post(`/api/v1/orders/${ids.get('held')}/hold`, { holdReason: 'parts_awaited' })
      .expect(200);
  });
  const standing = async (order: string) => dateOf(busy, ids.get(order)!);
  const watch = async (query = '') =>
    (await busy.as('front_desk').get(`/api/v1/dates/watch${query}`).expect(200)).body;
  const namesOf = (body: { items: { order: { number: string } }[] }) =>
    body.items.map(({ order }) => order.number);

  test('each is told how it stands, and what could be promised from here', async () => {
    const { standing: good, offer } = await standing('on course');
    expect(good).toMatchObject({
      state: 'on_course',
      because: [],
      stage: 'check_fitting',
      workingDaysSoFar: 2,
      ordersAhead: 1,
    });
    expect(good.chance).toBeGreaterThan(0.9);
    // Usually 8 + 4 + 3, of which 2 are over.
    expect(offer.usual).toMatchObject({ promisedOn: on(13), workingDays: 13 });
    expect(offer.withChance.chance).toBeGreaterThanOrEqual(0.8);
    expect((await standing('hopeless')).standing).toMatchObject({
      state: 'at_risk',
      chance: 0,
      because: [
        {
          code: 'date-unlikely',
          detail: expect.stringContaining('0 %; 50 % are wanted'),
          wayOut: expect.any(String),
        },
      ],
    });
    expect((await standing('late by two days')).standing).toMatchObject({
      state: 'late',
      chance: 0,
      because: [{ code: 'date-is-past' }],
    });
    expect((await standing('without a day')).standing).toMatchObject({ state: 'no_date' });
  });

  test('on hold nobody can say when; longer than all before it, neither can the history', async () => {
    const held = await standing('held');
    expect(held.standing).toMatchObject({ state: 'at_risk', chance: null });
    expect(pick(held.standing.because, 'code')).toEqual(['no-chance-on-hold']);
    expect(held.offer).toMatchObject({
      withChance: null,
      because: [{ code: 'no-chance-on-hold' }],
    });
    const long = await standing('long');
    expect(long.standing).toMatchObject({ state: 'at_risk', chance: null });
    expect(pick(long.standing.because, 'code')).toContain('stage-takes-long');
  });

  test('of what is delivered or cancelled nothing is asked any more', async () => {
    for (const order of ['delivered', 'cancelled']) {
      expect(await standing(order)).toMatchObject({ standing: null, offer: null });
    }
  });

  test('to watch are the late ones first, then the unlikeliest, then those without a chance', async () => {
    const body = await watch();
    expect(namesOf(body)).toEqual([
      'late by a week',
      'late by two days',
      'hopeless',
      'tight',
      'long',
      'held',
    ]);
    expect(body).toMatchObject({ late: 2, atRisk: 4, next: null });
    const [first, , hopeless] = body.items;
    expect(first).toMatchObject({
      state: 'late',
      workingDaysLeft: -5,
      order: { late: true, promisedOn: on(-5) },
      because: [{ code: 'date-is-past', title: 'The promised day is past' }],
    });
    expect(hopeless).toMatchObject({ state: 'at_risk', workingDaysLeft: 1 });
    for (const { order, chance } of body.items) {
      expect(chance).toBe((await dateOf(busy, order.id)).standing.chance);
    }
  });

  test('what is due today and has no chance comes before all that have days left', async () => {
    const own = await clinic.another('DT');
    await wentThrough(own, PAST);
    const made = await wentThrough(own, [
      fitting('tight', 2, on(8)),
      fitting('hopeless', 2, on(1)),
      fitting('held for today', 2, MONDAY),
      fitting('late', 2, on(-1)),
    ]);
    const hold = { holdReason: 'parts_awaited' };
    const desk = own.as('front_desk');
    await desk.post(`/api/v1/orders/${made.get('held for today')}/hold`, hold).expect(200);
    const { body } = await desk.get('/api/v1/dates/watch').expect(200);
    expect(namesOf(body)).toEqual(['late', 'held for today', 'hopeless', 'tight']);
    expect(body.items[1]).toMatchObject({ chance: null, workingDaysLeft: 0 });
  });

  test('page by page each comes once, and by state', async () => {
    const seen: string[] = [];
    let after = '';
    do {
      const page = await watch(`?limit=2${after}`);
      expect(page).toMatchObject({ late: 2, atRisk: 4 });
      seen.push(...namesOf(page));
      after = page.next === null ? '' : `&after=${page.next}`;
    } while (after !== '');
    expect(seen).toEqual(namesOf(await watch()));
    expect(namesOf(await watch('?state=late'))).toEqual(['late by a week', 'late by two days']);
    expect(namesOf(await watch('?state=at_risk&limit=1'))).toEqual(['hopeless']);
    const { body } = await busy.as('front_desk').get('/api/v1/orders?limit=1');
    const wrong = await busy.as('front_desk').get(`/api/v1/dates/watch?after=${body.next}`);
    expect([wrong.status, wrong.body.code]).toEqual([400, 'request-invalid']);
  });

  test('the desk gets the number to call, the bench and the auditor get none', async () => {
    const phone = '+43 1 555 0177';
    const patient = await addPatient(busy, { phone });
    const order = await openOrder(busy, { patientId: patient.id, promisedOn: MONDAY });
    const lineFor = async (role: 'front_desk' | 'prosthetist' | 'technician' | 'auditor') => {
      const { body } = await busy.as(role).get('/api/v1/dates/watch').expect(200);
      const lines = body.items as { order: { id: string } }[];
      return lines.find((line) => line.order.id === order.id);
    };
    expect(await lineFor('front_desk')).toMatchObject({ phone });
    expect(await lineFor('prosthetist')).toMatchObject({ phone });
    expect(await lineFor('technician')).not.toHaveProperty('phone');
    expect(await lineFor('auditor')).not.toHaveProperty('phone');
    const cancelled = { why: 'It was opened for this test only.' };
    await busy.as('front_desk').post(`/api/v1/orders/${order.id}/cancel`, cancelled).expect(200);
  });

  test('the bench sees them without names', async () => {
    const { text } = await busy.as('technician').get('/api/v1/dates/watch').expect(200);
    expect(text).toContain('initials');
    expect(text).not.toContain('familyName');
  });

  test('where a clinic bears less risk, more is to watch', async () => {
    const bearing = async (atRiskBelow: number) => {
      const admin = busy.as('administrator');
      const { headers } = await admin.get('/api/v1/clinic');
      await admin.patch('/api/v1/clinic', { atRiskBelow }, headers['etag'] ?? '').expect(200);
      return watch();
    };
    expect(namesOf(await watch())).not.toContain('fair');
    const less = await bearing(0.95);
    expect(namesOf(less).slice(2, 5)).toEqual(['hopeless', 'tight', 'fair']);
    expect(less.items[4].because[0].detail).toContain('95 % are wanted');
    expect(namesOf(await bearing(0.5))).not.toContain('fair');
  });

  test('an order that is cast today is asked from where it then stands', async () => {
    const order = await openOrder(busy, { promisedOn: on(20) });
    const cast = await takeCast(busy, order.id);
    await busy.as('prosthetist').post(`/api/v1/casts/${cast.id}/accept`).expect(200);
    expect((await dateOf(busy, order.id)).standing).toMatchObject({
      stage: 'check_fitting',
      workingDaysSoFar: 0,
    });
  });
});

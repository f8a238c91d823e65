/** The fittings book over the API: booking, moving, what became of it, and free times. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { testClinic, type TestClinic } from '../support/api.ts';
import { steadyPast, wentThrough } from '../support/history.ts';
import { addPatient, openOrder, orderAtCheckFitting } from '../support/orders.ts';

let clinic: TestClinic;
/** Without any finished order. */
let young: TestClinic;

beforeAll(async () => {
  clinic = await testClinic();
  await wentThrough(clinic, steadyPast(40));
  young = await clinic.another('YG');
});
afterAll(() => clinic.close());

const URL = '/api/v1/appointments';
let next = 0;
/** Each on a working day of its own, far enough ahead for anything to be ready. */
const dayAhead = (): string => {
  next += 1;
  const on = new Date(Date.UTC(2026, 8, 7 + 7 * Math.floor(next / 5) + (next % 5)));
  return on.toISOString().slice(0, 10);
};
const asked = (given: object = {}) => ({
  prosthetistId: clinic.people.prosthetist.id,
  purpose: 'check_fitting',
  startsAt: `${dayAhead()}T09:00:00Z`,
  ...given,
});
const book = (given: object = {}, of = clinic) => of.as('front_desk').post(URL, asked(given));
const mark = (id: string, body: object) => clinic.as('front_desk').post(`${URL}/${id}/mark`, body);
const move = (id: string, body: object) => clinic.as('front_desk').post(`${URL}/${id}/move`, body);
const codesOf = (body: { warnings: { code: string }[] }) => body.warnings.map(({ code }) => code);
const eventsOf = (id: string) =>
  clinic.store.raw<{ kind: string; data: Record<string, unknown> }>(
    `select kind, data from event where subject_id = $1 order by seq`,
    [id],
  );

describe('booking', () => {
  test('an order’s patient is booked with its prosthetist, for the usual minutes', async () => {
    const patient = await addPatient(clinic, { phone: '+43 1 555 0101' });
    const order = await openOrder(clinic, {
      patientId: patient.id,
      prosthetistId: clinic.people.prosthetist.id,
    });
    const startsAt = `${dayAhead()}T09:00:00.000Z`;
    const { body } = await book({ orderId: order.id, prosthetistId: undefined, startsAt }).expect(
      201,
    );
    expect(body).toMatchObject({
      appointment: {
        patient: { id: patient.id },
        phone: '+43 1 555 0101',
        order: { id: order.id, number: order.number, stage: 'casting', side: 'left' },
        prosthetist: { id: clinic.people.prosthetist.id },
        purpose: 'check_fitting',
        startsAt,
        endsAt: startsAt.replace('09:00', '10:00'),
        on: startsAt.slice(0, 10),
        state: 'booked',
        replaces: null,
        settledAt: null,
      },
      readyChance: 1,
      warnings: [],
    });
    const [event] = await eventsOf(body.appointment.id);
    expect(event).toMatchObject({
      kind: 'appointment.booked',
      data: { order: order.number, purpose: 'check_fitting', startsAt, warnings: [] },
    });
  });

  test('a patient comes without an order, and an instant may name its offset', async () => {
    const { id: patientId } = await addPatient(clinic);
    const on = dayAhead();
    const { body } = await book({
      patientId,
      purpose: 'casting',
      minutes: 45,
      startsAt: `${on}T11:00:00+02:00`,
      room: 'casting room',
    }).expect(201);
    expect(body.appointment).toMatchObject({
      order: null,
      startsAt: `${on}T09:00:00.000Z`,
      endsAt: `${on}T09:45:00.000Z`,
      room: 'casting room',
    });
    expect(body.readyChance).toBeNull();
  });

  test('nobody is at two places at once, and nothing half is written', async () => {
    const [first, second] = [await openOrder(clinic), await openOrder(clinic)];
    const on = dayAhead();
    await book({ orderId: first.id, startsAt: `${on}T09:00:00Z` }).expect(201);
    const { body } = await book({ orderId: second.id, startsAt: `${on}T09:30:00Z` }).expect(409);
    expect(body).toMatchObject({ code: 'prosthetist-elsewhere' });
    expect(body.detail).toMatch(/from \d+ Sep 2026, 11:00 to 12:00/);
    expect(body.errors).toMatchObject([{ pointer: '/startsAt' }]);
    const same = await book({ orderId: first.id, startsAt: `${on}T09:30:00Z` }).expect(409);
    expect((same.body.errors as { code: string }[]).map(({ code }) => code)).toEqual([
      'prosthetist-elsewhere',
      'patient-elsewhere',
    ]);
    const kept = await clinic.as('front_desk').get(`${URL}?from=${on}`).expect(200);
    expect(kept.body.items).toHaveLength(1);
  });

  test('of two who book one time at once, one is told', async () => {
    const orders = [await openOrder(clinic), await openOrder(clinic)];
    const startsAt = `${dayAhead()}T09:00:00Z`;
    const answers = await Promise.all(
      orders.map(async ({ id }) => (await book({ orderId: id, startsAt })).status),
    );
    expect(answers.toSorted()).toEqual([201, 409]);
  });

  test('nothing is booked into the past, on a closed day, or with who is no prosthetist', async () => {
    const { id: orderId } = await openOrder(clinic);
    const refusedFor = async (given: object, status: number) =>
      (await book({ orderId, ...given }).expect(status)).body;
    expect(await refusedFor({ startsAt: '2026-03-02T08:59:00Z' }, 400)).toMatchObject({
      code: 'appointment-in-past',
      detail: '2 Mar 2026, 09:59 is past: it is 2 Mar 2026, 10:00.',
    });
    expect((await refusedFor({ startsAt: '2026-09-05T09:00:00Z' }, 422)).code).toBe(
      'clinic-closed-then',
    );
    expect((await refusedFor({ prosthetistId: clinic.people.technician.id }, 400)).code).toBe(
      'not-a-prosthetist',
    );
    expect(await refusedFor({ prosthetistId: undefined }, 400)).toMatchObject({
      code: 'no-prosthetist-named',
      errors: [{ pointer: '/prosthetistId' }],
    });
    const { id: patientId } = await addPatient(clinic);
    expect((await refusedFor({ patientId }, 400)).code).toBe('order-of-another-patient');
    for (const given of [
      { startsAt: '2026-09-07T09:00:30Z' },
      { startsAt: 'tomorrow' },
      { startsAt: '2026-09-07T09:00:00' },
      { minutes: 481 },
      { minutes: 4 },
      { purpose: 'tea' },
      { room: ' ' },
    ]) {
      expect((await refusedFor(given, 400)).code, JSON.stringify(given)).toBe('request-invalid');
    }
    await book({ prosthetistId: clinic.people.prosthetist.id }).expect(400);
  });

  test('a fitting before the socket can be ready is booked with its chance told', async () => {
    const order = await orderAtCheckFitting(clinic);
    const { body } = await book({ orderId: order.id, startsAt: '2026-03-03T09:00:00Z' }).expect(
      201,
    );
    expect(codesOf(body)).toEqual(['probably-not-ready']);
    expect(body.readyChance).toBeLessThan(0.5);
    expect(body.warnings[0].detail).toMatch(/ready for check fitting on 3 Mar 2026 is \d+ %/);
    // A young clinic has no chance to tell, but its usual times.
    const theirs = await openOrder(young);
    const early = await young
      .as('front_desk')
      .post(URL, {
        orderId: theirs.id,
        prosthetistId: young.people.prosthetist.id,
        purpose: 'check_fitting',
        startsAt: '2026-03-03T05:00:00Z',
      })
      .expect(201);
    expect(codesOf(early.body)).toEqual(['outside-opening-hours', 'usually-not-ready']);
    expect(early.body.readyChance).toBeNull();
  });

  test('an order on hold, or at another stage, is warned of', async () => {
    const order = await orderAtCheckFitting(clinic);
    const held = { holdReason: 'parts_awaited' };
    await clinic.as('front_desk').post(`/api/v1/orders/${order.id}/hold`, held).expect(200);
    const { body } = await book({ orderId: order.id, purpose: 'casting' }).expect(201);
    expect(codesOf(body)).toEqual(['purpose-not-at-stage', 'appointment-while-on-hold']);
    const cancelled = await openOrder(clinic);
    const why = { why: 'not wanted' };
    await clinic.as('front_desk').post(`/api/v1/orders/${cancelled.id}/cancel`, why).expect(200);
    const refusal = await book({ orderId: cancelled.id }).expect(409);
    expect(refusal.body.code).toBe('order-is-closed');
  });
});

describe('moving', () => {
  test('keeps the old one, which the new one names; the time is free again', async () => {
    const order = await openOrder(clinic);
    const before = (await book({ orderId: order.id, note: 'brings a shoe' }).expect(201)).body
      .appointment;
    const startsAt = `${dayAhead()}T13:00:00.000Z`;
    const { body } = await move(before.id, { startsAt, why: 'the bus does not run' }).expect(201);
    const after = body.appointment;
    expect(after).toMatchObject({
      startsAt,
      state: 'booked',
      note: 'brings a shoe',
      purpose: 'check_fitting',
      replaces: { id: before.id, startsAt: before.startsAt },
    });
    const listed = await clinic.as('front_desk').get(`${URL}?orderId=${order.id}`).expect(200);
    expect(listed.body.items).toMatchObject([
      {
        id: before.id,
        state: 'moved',
        why: 'the bus does not run',
        replacedBy: { id: after.id, startsAt },
      },
      { id: after.id, state: 'booked' },
    ]);
    expect((await eventsOf(before.id)).map(({ kind }) => kind)).toEqual([
      'appointment.booked',
      'appointment.moved',
    ]);
    expect((await move(before.id, { startsAt, why: 'again' }).expect(409)).body.code).toBe(
      'appointment-is-settled',
    );
    // Only a little later: the old time does not stand in the way of the new one.
    const bitLater = startsAt.replace('13:00', '13:15');
    await move(after.id, { startsAt: bitLater, why: 'traffic' }).expect(201);
  });

  test('refused, it leaves the old one as it was', async () => {
    const [one, two] = [await openOrder(clinic), await openOrder(clinic)];
    const mine = (await book({ orderId: one.id }).expect(201)).body.appointment;
    const theirs = (await book({ orderId: two.id }).expect(201)).body.appointment;
    const taken = { startsAt: theirs.startsAt, why: 'asked for' };
    expect((await move(mine.id, taken).expect(409)).body.code).toBe('prosthetist-elsewhere');
    const kept = await clinic.as('front_desk').get(`${URL}?orderId=${one.id}`).expect(200);
    expect(kept.body.items).toMatchObject([{ id: mine.id, state: 'booked' }]);
    await move(mine.id, { startsAt: theirs.startsAt }).expect(400);
  });
});

describe('what became of it', () => {
  test('called off with its reason, before its time', async () => {
    const order = await openOrder(clinic);
    const { id, startsAt } = (await book({ orderId: order.id }).expect(201)).body.appointment;
    const missing = await mark(id, { state: 'called_off' }).expect(400);
    expect(missing.body.errors).toMatchObject([{ pointer: '/why' }]);
    const { body } = await mark(id, { state: 'called_off', why: 'a cold' }).expect(200);
    expect(body).toMatchObject({ state: 'called_off', why: 'a cold', settledBy: /./ });
    await mark(id, { state: 'came' }).expect(409);
    // The time is free for somebody else.
    await book({ orderId: (await openOrder(clinic)).id, startsAt }).expect(201);
  });

  test('came, or did not come, which can be corrected with a reason', async () => {
    const late = await clinic.another('LT');
    const order = await openOrder(late);
    const desk = late.as('front_desk');
    const { body } = await desk
      .post(URL, {
        orderId: order.id,
        prosthetistId: late.people.prosthetist.id,
        purpose: 'casting',
        startsAt: '2026-03-02T10:00:00Z',
      })
      .expect(201);
    const url = `${URL}/${body.appointment.id}/mark`;
    expect((await desk.post(url, { state: 'did_not_come' }).expect(422)).body.code).toBe(
      'appointment-still-to-come',
    );
    late.clock.set('2026-03-02T10:05:00Z');
    expect((await desk.post(url, { state: 'called_off', why: 'late' }).expect(422)).body.code).toBe(
      'appointment-has-begun',
    );
    await desk.post(url, { state: 'did_not_come' }).expect(200);
    expect((await desk.post(url, { state: 'came' }).expect(400)).body).toMatchObject({
      code: 'correction-needs-why',
      errors: [{ pointer: '/why' }],
    });
    const came = await desk.post(url, { state: 'came', why: 'sat in the other room' }).expect(200);
    expect(came.body).toMatchObject({ state: 'came', why: 'sat in the other room' });
    const [last] = await late.store.raw<{ data: object }>(
      `select data from event where kind = 'appointment.came'`,
    );
    expect(last?.data).toMatchObject({ before: 'did_not_come', after: 'came' });
    late.clock.set('2026-03-02T09:00:00Z');
  });
});

describe('the book', () => {
  test('is read by the clinic’s days: what begins before midnight there is of that day', async () => {
    const order = await openOrder(clinic);
    // 23:30 UTC on the day before is half past midnight in Vienna in winter.
    const { body } = await book({
      orderId: order.id,
      startsAt: '2026-11-29T23:30:00Z',
      minutes: 30,
    }).expect(201);
    expect(body.appointment.on).toBe('2026-11-30');
    const read = async (from: string) =>
      (await clinic.as('front_desk').get(`${URL}?from=${from}`).expect(200)).body.items;
    expect(await read('2026-11-29')).toEqual([]);
    expect(await read('2026-11-30')).toMatchObject([{ id: body.appointment.id }]);
    const nobodys = `${URL}?from=2026-11-30&prosthetistId=${clinic.people.technician.id}`;
    expect((await clinic.as('front_desk').get(nobodys).expect(200)).body.items).toEqual([]);
    for (const query of [
      '?to=2026-11-30',
      '?from=2026-11-30&to=2026-11-29',
      '?from=2026-01-01&to=2026-11-29',
    ]) {
      await clinic.as('front_desk').get(`${URL}${query}`).expect(400);
    }
  });

  test('the bench sees chart number and initials, and no phone number', async () => {
    const { id: patientId } = await addPatient(clinic, { phone: '+43 1 555 0102' });
    const order = await openOrder(clinic, { patientId });
    await book({ orderId: order.id }).expect(201);
    const { body, text } = await clinic
      .as('technician')
      .get(`${URL}?orderId=${order.id}`)
      .expect(200);
    expect(Object.keys(body.items[0].patient).toSorted()).toEqual([
      'chartNumber',
      'id',
      'initials',
    ]);
    expect(text).not.toContain('555 0102');
    await clinic
      .as('technician')
      .post(URL, asked({ orderId: order.id }))
      .expect(403);
  });
});

describe('what was said to the desk', () => {
  const NOTE = 'Comes with a daughter';
  const WHY = 'The wife is ill';
  let order: { readonly id: string };
  let appointmentId: string;

  beforeAll(async () => {
    order = await openOrder(clinic, {});
    const { body } = await book({ orderId: order.id, note: NOTE }).expect(201);
    appointmentId = body.appointment.id;
    await clinic
      .as('front_desk')
      .post(`${URL}/${appointmentId}/mark`, { state: 'called_off', why: WHY })
      .expect(200);
  });

  test.each([
    ['front_desk', true],
    ['prosthetist', true],
    ['auditor', true],
    ['technician', false],
    ['administrator', false],
  ] as const)('in the book and in every history, as %s: %s', async (role, sees) => {
    const told: Record<string, string> = {};
    for (const url of [
      `${URL}?orderId=${order.id}`,
      ...[`appointment/${appointmentId}`, `order/${order.id}`].flatMap((of) =>
        ['', '/file.csv', '/file.json'].map((file) => `/api/v1/history/${of}${file}`),
      ),
    ]) {
      told[url] = (await clinic.as(role).get(url).buffer(true).expect(200)).text;
    }
    for (const [url, text] of Object.entries(told)) {
      expect(text.includes(NOTE), url).toBe(sees);
      expect(text.includes(WHY), url).toBe(sees);
    }
    const { items } = JSON.parse(told[`/api/v1/history/appointment/${appointmentId}`] ?? '') as {
      items: { withheld: string[] }[];
    };
    expect(items.map(({ withheld }) => withheld)).toEqual(sees ? [[], []] : [['why'], ['note']]);
    const { text } = await clinic.as(role).get(`/api/v1/orders/${order.id}/history`).expect(200);
    expect(text).toContain('appointment.called_off');
    expect(text).not.toMatch(/daughter|wife|sealedSha256/);
  });

  test('stands under a seal in the chain, opened for who may read it', async () => {
    for (const [role, sees] of [
      ['auditor', true],
      ['administrator', false],
    ] as const) {
      const { text } = await clinic
        .as(role)
        .get('/api/v1/record/events?after=0&limit=1000')
        .expect(200);
      expect([text.includes(NOTE), text.includes(WHY)]).toEqual([sees, sees]);
      expect(text).toContain('appointment.called_off');
    }
  });
});

describe('free times', () => {
  const free = async (query: string, of = clinic) =>
    (await of.as('front_desk').get(`${URL}/free?${query}`).expect(200)).body;

  test('begin on the day by which the socket will probably be ready', async () => {
    const order = await openOrder(clinic, { prosthetistId: clinic.people.prosthetist.id });
    const body = await free(`purpose=check_fitting&orderId=${order.id}`);
    expect(body.items).toHaveLength(6);
    expect(body.minutes).toBe(60);
    expect(body.items[0].on).toBe(body.from);
    expect(body.items[0].readyChance).toBeGreaterThanOrEqual(0.8);
    expect(body.items[0].warnings).toEqual([]);
    expect(body.from > '2026-03-04').toBe(true);
    // A morning and an afternoon of each day, at 8:00 and 13:00 in Vienna.
    expect(body.items[0].startsAt).toMatch(/T07:00:00.000Z$/);
    expect(body.items[1].startsAt).toMatch(/T12:00:00.000Z$/);
    // Asked for sooner, it says what that means.
    const sooner = await free(`purpose=check_fitting&orderId=${order.id}&from=2026-03-03&most=1`);
    expect(sooner.items[0].warnings[0].code).toBe('probably-not-ready');
  });

  test('go round what is booked, and can be booked as they are offered', async () => {
    const order = await openOrder(young, { prosthetistId: young.people.prosthetist.id });
    const query = `purpose=casting&orderId=${order.id}&most=2&perStretch=2`;
    // It is 10:00 in Vienna: nothing is offered before.
    const [first, second] = (await free(query, young)).items;
    expect(first.startsAt).toBe('2026-03-02T09:00:00.000Z');
    expect(second.startsAt).toBe('2026-03-02T09:15:00.000Z');
    const desk = young.as('front_desk');
    const { startsAt } = first;
    await desk.post(URL, { orderId: order.id, purpose: 'casting', startsAt }).expect(201);
    const after = (await free(query, young)).items;
    expect(after[0].startsAt).toBe('2026-03-02T10:00:00.000Z');
  });

  test('need somebody to be with', async () => {
    const order = await openOrder(clinic);
    const ask = (query: string) => clinic.as('front_desk').get(`${URL}/free?${query}`);
    expect((await ask(`purpose=casting&orderId=${order.id}`).expect(400)).body.code).toBe(
      'no-prosthetist-named',
    );
    await ask('purpose=casting').expect(400);
    await ask('purpose=tea&orderId=x').expect(400);
  });
});

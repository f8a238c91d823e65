import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { pick } from '../support/answers.ts';
import { PASSWORD, testClinic, type TestClinic } from '../support/api.ts';
import { addPatient, openOrder, orderAtCheckFitting, takeCast } from '../support/orders.ts';

let clinic: TestClinic;
beforeAll(async () => {
  clinic = await testClinic();
});
afterAll(() => clinic.close());

const order = (id: string) => `/api/v1/orders/${id}`;
const numbers = (body: { items: { number: string }[] }) => body.items.map(({ number }) => number);

describe('opening an order', () => {
  test('the desk opens it, and it gets its number and stands at casting', async () => {
    const patient = await addPatient(clinic, { givenName: 'Ruth', familyName: 'Ziegelmeier' });
    const { status, body } = await clinic.as('front_desk').post('/api/v1/orders', {
      patientId: patient.id,
      side: 'right',
      level: 'trans_tibial',
      suspension: 'pin_lock',
      functionalLevel: 'K3',
      promisedOn: '2026-04-20',
      liner: 'cushion, medium',
      note: 'Works as a gardener.',
      prosthetistId: clinic.people.prosthetist.id,
    });
    expect(status).toBe(201);
    expect(body.number).toMatch(/^KL-26-\d{5}-[0-9A-Z]$/);
    expect(body).toMatchObject({
      stage: 'casting',
      late: false,
      patient: { chartNumber: patient.chartNumber, initials: 'R.Z.', familyName: 'Ziegelmeier' },
      prosthetist: { printedName: 'Paula Fitting of KL' },
      openedBy: 'Fanni Desk of KL',
      bodyMassKg: 82,
      casts: [],
      sockets: [],
      version: 1,
    });
  });

  test('the bench sees the order without the name of the patient', async () => {
    const { id } = await openOrder(clinic);
    const { body, text } = await clinic.as('technician').get(order(id)).expect(200);
    expect(body.patient).toMatchObject({ initials: expect.stringMatching(/^P\..\.$/) });
    expect(text).not.toContain('familyName');
    expect(text).not.toContain('birthDate');
  });

  test('numbers run on without a gap, also when ten are opened at once', async () => {
    const patients = await Promise.all(Array.from({ length: 10 }, () => addPatient(clinic)));
    const opened = await Promise.all(
      patients.map(({ id }) => openOrder(clinic, { patientId: id })),
    );
    const running = opened.map(({ number }) => Number(number.slice(6, 11))).sort((a, b) => a - b);
    const [least] = running;
    expect(running).toEqual(running.map((_, index) => (least ?? 0) + index));
  });

  test('a second open order for the same limb is refused unless it is meant', async () => {
    const first = await openOrder(clinic, { side: 'left' });
    const { body } = await clinic.as('front_desk').get(order(first.id));
    const again = {
      patientId: body.patient.id,
      side: 'left',
      level: 'trans_tibial',
      suspension: 'pin_lock',
      functionalLevel: 'K3',
    };
    const refused = await clinic.as('front_desk').post('/api/v1/orders', again);
    expect(refused.status).toBe(409);
    expect(refused.body.code).toBe('order-already-open');
    expect(refused.body.facts.orders).toEqual([first.number]);
    await openOrder(clinic, { ...again, side: 'right' });
    await openOrder(clinic, { ...again, anotherOpenOrderIsMeant: true });
  });

  test('two desks opening for the same limb at once open one order', async () => {
    const { id: patientId } = await addPatient(clinic);
    const asked = {
      patientId,
      side: 'left',
      level: 'trans_tibial',
      suspension: 'suction',
      functionalLevel: 'K2',
    };
    const answers = await Promise.all(
      Array.from({ length: 5 }, () => clinic.as('front_desk').post('/api/v1/orders', asked)),
    );
    expect(answers.map(({ status }) => status).sort()).toEqual([201, 409, 409, 409, 409]);
  });

  test.each([
    ['a promise for yesterday', { promisedOn: '2026-03-01' }, 400, 'promised-day-past'],
    ['a promise for 2062', { promisedOn: '2062-04-20' }, 400, 'value-out-of-range'],
    ['a promise for 9999', { promisedOn: '9999-12-31' }, 400, 'request-invalid'],
    ['a prosthetist nobody knows', { prosthetistId: randomUUID() }, 400, 'not-a-prosthetist'],
    ['a patient nobody knows', { patientId: randomUUID() }, 404, 'not-found'],
    ['an arm', { level: 'trans_radial' }, 400, 'request-invalid'],
    ['a field that is not there', { colour: 'blue' }, 400, 'request-invalid'],
  ])('%s is refused', async (_title, given, expected, code) => {
    const { id } = await addPatient(clinic);
    const { status, body } = await clinic.as('front_desk').post('/api/v1/orders', {
      patientId: id,
      side: 'left',
      level: 'trans_tibial',
      suspension: 'pin_lock',
      functionalLevel: 'K3',
      ...given,
    });
    expect(status).toBe(expected);
    expect(body.code).toBe(code);
  });

  test('a technician is no prosthetist, and opens no orders', async () => {
    const { id: patientId } = await addPatient(clinic);
    const asked = {
      patientId,
      side: 'left',
      level: 'trans_tibial',
      suspension: 'pin_lock',
      functionalLevel: 'K3',
    };
    await clinic.as('technician').post('/api/v1/orders', asked).expect(403);
    const { body } = await clinic
      .as('front_desk')
      .post('/api/v1/orders', { ...asked, prosthetistId: clinic.people.technician.id });
    expect(body.code).toBe('not-a-prosthetist');
    const known = await clinic.as('front_desk').get('/api/v1/prosthetists').expect(200);
    expect(known.body.items).toEqual([
      { id: clinic.people.prosthetist.id, printedName: 'Paula Fitting of KL' },
    ]);
  });

  test('the same request sent twice opens one order', async () => {
    const { id: patientId } = await addPatient(clinic);
    const key = randomUUID();
    const asked = {
      patientId,
      side: 'left',
      level: 'knee_disarticulation',
      suspension: 'sleeve',
      functionalLevel: 'K1',
    };
    const desk = clinic.as('front_desk');
    const first = await desk.post('/api/v1/orders', asked, { key }).expect(201);
    const second = await desk.post('/api/v1/orders', asked, { key }).expect(201);
    expect(second.body.number).toBe(first.body.number);
    const list = await desk.get(`/api/v1/orders?patientId=${patientId}`);
    expect(list.body.items).toHaveLength(1);
  });
});

describe('finding orders', () => {
  let other: TestClinic;
  const opened: { id: string; number: string }[] = [];
  beforeAll(async () => {
    other = await clinic.another('FX');
    for (const promisedOn of ['2026-03-05', undefined, '2026-03-03', '2026-03-05', undefined]) {
      opened.push(await openOrder(other, promisedOn === undefined ? {} : { promisedOn }));
    }
  });
  const numberOf = (index: number) => opened[index]?.number;
  const pageThrough = async (query: string) => {
    const seen: string[] = [];
    let after = '';
    for (;;) {
      const { body } = await other.as('front_desk').get(`/api/v1/orders?limit=2${query}${after}`);
      seen.push(...numbers(body));
      if (body.next === null) return seen;
      after = `&after=${body.next}`;
    }
  };

  test('by promised day, those without one last, each once over all pages', async () => {
    expect(await pageThrough('')).toEqual([2, 0, 3, 1, 4].map(numberOf));
  });

  test('newest first', async () => {
    expect(await pageThrough('&sort=opened')).toEqual([4, 3, 2, 1, 0].map(numberOf));
  });

  test('a cursor of the other sorting is refused', async () => {
    const { body } = await other.as('front_desk').get('/api/v1/orders?limit=2');
    const wrong = await other.as('front_desk').get(`/api/v1/orders?sort=opened&after=${body.next}`);
    expect(wrong.status).toBe(400);
    expect(wrong.body.code).toBe('request-invalid');
  });

  test('by its number however it is typed, and a mistyped one is refused', async () => {
    const number = String(numberOf(1));
    const typed = number.toLowerCase().replaceAll('-', ' ');
    const found = await other.as('technician').get(`/api/v1/orders?q=${encodeURIComponent(typed)}`);
    expect(numbers(found.body)).toEqual([number]);
    const wrong = number.replace(/\d(?=-.$)/, (digit) => String((Number(digit) + 1) % 10));
    const refused = await other.as('technician').get(`/api/v1/orders?q=${wrong}`);
    expect(refused.status).toBe(400);
    expect(refused.body.code).toBe('order-number-mistyped');
    const scanned = await other.as('technician').get(`/api/v1/orders/by-number/${number}`);
    expect(scanned.body.number).toBe(number);
    await other.as('technician').get(`/api/v1/orders/by-number/${wrong}`).expect(400);
    // What looks like a time of no clock is told back as it was typed.
    const time = await other.as('technician').get('/api/v1/orders/by-number/2026-03-02T09:00:60Z');
    expect(time.body).toMatchObject({ status: 400, code: 'order-number-mistyped' });
    expect(time.body.detail).toContain('2026-03-02T09:00:60Z');
  });

  test('by chart number', async () => {
    const { body } = await other.as('front_desk').get(order(String(opened[3]?.id)));
    const { chartNumber } = body.patient;
    const found = await other
      .as('technician')
      .get(`/api/v1/orders?q=${String(chartNumber).toLowerCase()}`);
    expect(numbers(found.body)).toEqual([numberOf(3)]);
  });

  test('another clinic’s orders are not there', async () => {
    const { body } = await clinic.as('front_desk').get(`/api/v1/orders?q=${numberOf(0)}`);
    expect(body.items).toEqual([]);
    await clinic
      .as('front_desk')
      .get(order(String(opened[0]?.id)))
      .expect(404);
  });

  test('what is late is late by the clinic’s own day', async () => {
    other.clock.set('2026-03-03T22:30:00Z');
    const before = await other.as('front_desk').get('/api/v1/orders?late=true');
    other.clock.set('2026-03-03T23:30:00Z');
    const after = await other.as('front_desk').get('/api/v1/orders?late=true');
    const rest = await other.as('front_desk').get('/api/v1/orders?late=false');
    other.clock.set('2026-03-02T09:00:00Z');
    expect(numbers(before.body)).toEqual([]);
    expect(numbers(after.body)).toEqual([numberOf(2)]);
    expect(after.body.items[0].late).toBe(true);
    expect(rest.body.items).toHaveLength(4);
  });

  test('by stage and by hold', async () => {
    const [held] = opened;
    await other
      .as('front_desk')
      .post(`${order(String(held?.id))}/hold`, { holdReason: 'parts_awaited' })
      .expect(200);
    const found = await other.as('front_desk').get('/api/v1/orders?held=true&stage=casting');
    expect(numbers(found.body)).toEqual([numberOf(0)]);
    const none = await other.as('front_desk').get('/api/v1/orders?held=true&stage=lamination');
    expect(none.body.items).toEqual([]);
  });
});

describe('changing an order', () => {
  test('from the version that was read; a stale one is told so', async () => {
    const { id } = await openOrder(clinic, { promisedOn: '2026-04-01' });
    const desk = clinic.as('front_desk');
    const { headers } = await desk.get(order(id));
    const etag = headers['etag'] ?? '';
    const change = { promisedOn: null, functionalLevel: 'K4', note: 'Wants to hike.' };
    const { status, body } = await desk.patch(order(id), change, etag);
    expect(status).toBe(200);
    expect(body).toMatchObject({ ...change, version: 2 });
    const stale = await desk.patch(order(id), { note: null }, etag);
    expect(stale.status).toBe(412);
    expect(stale.body.code).toBe('version-is-stale');
    await desk.patch(order(id), { note: null }, null).expect(428);
    const past = await desk.patch(order(id), { promisedOn: '2026-01-01' }, '"2"');
    expect(past.body.code).toBe('promised-day-past');
    const far = await desk.patch(order(id), { promisedOn: '2028-03-03' }, '"2"');
    expect(far.body).toMatchObject({
      code: 'value-out-of-range',
      detail: expect.stringContaining('Usual: 2 to 12 weeks'),
    });
  });

  test('the side of an order cannot be changed', async () => {
    const { id } = await openOrder(clinic);
    const { status, body } = await clinic
      .as('front_desk')
      .patch(order(id), { side: 'right' }, '"1"');
    expect(status).toBe(400);
    expect(body.errors[0].code).toBe('field-unknown');
  });
});

describe('hold, resume and cancel', () => {
  test('on hold nothing goes on, and off hold it does', async () => {
    const { id } = await openOrder(clinic);
    const desk = clinic.as('front_desk');
    const held = await desk.post(`${order(id)}/hold`, { holdReason: 'authorization_awaited' });
    expect(held.body).toMatchObject({ stage: 'casting', holdReason: 'authorization_awaited' });
    const twice = await desk.post(`${order(id)}/hold`, { holdReason: 'parts_awaited' });
    expect(twice.body.code).toBe('order-already-on-hold');
    await expect(takeCast(clinic, id)).rejects.toThrow('order-on-hold');
    const resumed = await desk.post(`${order(id)}/resume`).expect(200);
    expect(resumed.body).toMatchObject({ holdReason: null, heldAt: null });
    const again = await desk.post(`${order(id)}/resume`);
    expect(again.body.code).toBe('order-not-on-hold');
    expect(await takeCast(clinic, id)).toMatchObject({ number: 1 });
  });

  test('a cancelled order stays, says why, and takes nothing more', async () => {
    const { id } = await openOrder(clinic);
    const desk = clinic.as('front_desk');
    const { body } = await desk.post(`${order(id)}/cancel`, { why: 'Patient moved away.' });
    expect(body.stage).toBe('cancelled');
    const ids = async (stage: string): Promise<string[]> => {
      const { body: page } = await desk.get(`/api/v1/orders?stage=${stage}&limit=200`).expect(200);
      return pick(page.items, 'id') as string[];
    };
    expect(await ids('under_way')).not.toContain(id);
    expect(await ids('cancelled')).toContain(id);
    expect((await ids('under_way')).length).toBeGreaterThan(0);
    const codes = await Promise.all([
      desk.post(`${order(id)}/cancel`, { why: 'Again.' }),
      desk.post(`${order(id)}/hold`, { holdReason: 'parts_awaited' }),
      desk.patch(order(id), { note: 'No.' }, `"${body.version}"`),
    ]);
    expect(pick(pick(codes, 'body'), 'code')).toEqual([
      'stage-does-not-allow',
      'order-is-closed',
      'order-is-closed',
    ]);
    const history = await desk.get(`${order(id)}/history`).expect(200);
    expect(history.body.items[0]).toMatchObject({
      kind: 'order.stage_changed',
      by: 'Fanni Desk of KL',
      data: { before: 'casting', after: 'cancelled', why: 'Patient moved away.' },
    });
    expect(pick(history.body.items, 'kind').at(-1)).toBe('order.opened');
  });

  test('an order tells each stage that it came to, with the instant', async () => {
    const before = clinic.clock.now().toISOString();
    const { id } = await openOrder(clinic);
    clinic.clock.pass(60);
    const cast = await takeCast(clinic, id);
    await clinic.as('prosthetist').post(`/api/v1/casts/${cast.id}/accept`).expect(200);
    const { body } = await clinic.as('technician').get(order(id)).expect(200);
    expect(body.stages).toEqual([
      { stage: 'casting', since: before },
      { stage: 'check_fitting', since: clinic.clock.now().toISOString() },
    ]);
    clinic.clock.set(before);
  });

  test('history comes page by page, the newest first', async () => {
    const { id } = await orderAtCheckFitting(clinic);
    const first = await clinic
      .as('auditor')
      .get(`${order(id)}/history?limit=2`)
      .expect(200);
    const rest = await clinic
      .as('auditor')
      .get(`${order(id)}/history?limit=50&after=${first.body.next}`);
    const kinds = [...pick(first.body.items, 'kind'), ...pick(rest.body.items, 'kind')];
    expect(kinds).toEqual(['order.stage_changed', 'cast.accepted', 'cast.taken', 'order.opened']);
    expect(rest.body.next).toBeNull();
  });
});

describe('skipping check fitting', () => {
  const skip = (password: string) => ({
    reason: 'Replica of the delivered socket; limb unchanged for two years.',
    signature: { password },
  });

  test('a prosthetist signs it with the reason', async () => {
    const { id, number } = await orderAtCheckFitting(clinic);
    const { status, body } = await clinic
      .as('prosthetist')
      .post(`${order(id)}/skip-check-fitting`, skip(PASSWORD));
    expect(status).toBe(200);
    expect(body.stage).toBe('lamination');
    const [signed] = await clinic.store.raw<{ meaning: string; content: { order: string } }>(
      `select s.meaning, s.content from stage_change c
       join signature s on s.clinic_id = c.clinic_id and s.id = c.signature_id
       where c.order_id = $1`,
      [id],
    );
    expect(signed).toMatchObject({ meaning: 'check_fitting_skipped', content: { order: number } });
  });

  test('with a wrong password nothing is signed and the order stays', async () => {
    const { id } = await orderAtCheckFitting(clinic);
    const { status, body } = await clinic
      .as('prosthetist')
      .post(`${order(id)}/skip-check-fitting`, skip('not my password'));
    expect(status).toBe(403);
    expect(body.code).toBe('signature-not-verified');
    const { body: after } = await clinic.as('prosthetist').get(order(id));
    expect(after.stage).toBe('check_fitting');
  });

  test('a technician cannot, and nobody can before a cast is accepted', async () => {
    const { id } = await openOrder(clinic);
    await clinic
      .as('technician')
      .post(`${order(id)}/skip-check-fitting`, skip(PASSWORD))
      .expect(403);
    const { status, body } = await clinic
      .as('prosthetist')
      .post(`${order(id)}/skip-check-fitting`, skip(PASSWORD));
    expect(status).toBe(422);
    expect(body.code).toBe('stage-does-not-allow');
  });
});

/** The load of the benches: what waits, against who is there to do it (C5). */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { addDays } from '../../src/domain/days.ts';
import { addWorkingDays } from '../../src/domain/workCalendar.ts';
import { pick } from '../support/answers.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import { doOperation, stockedShop, type Shop } from '../support/job.ts';
import { openOrder, takeCast } from '../support/orders.ts';
import { CLINIC, MONDAY } from '../support/timelines.ts';

let clinic: TestClinic;
let shop: Shop;
beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
});
afterAll(() => clinic.close());

const on = (days: number) => addWorkingDays(CLINIC, MONDAY, days);

interface BenchDay {
  bench: string;
  day: string;
  plannedMinutes: number;
  mannedMinutes: number;
  overloaded: boolean;
  orders: string[];
}
const loadOf = async (of: TestClinic, query = '') => {
  const { body } = await of.as('technician').get(`/api/v1/bench-load${query}`).expect(200);
  return body as {
    from: string;
    to: string;
    items: BenchDay[];
    leftOut: { onHold: string[]; notPlanned: { order: string; operation: string }[] };
  };
};
/** Planned minutes of an order at each bench, over the whole window. */
async function minutesOf(of: TestClinic, order: string) {
  const { items } = await loadOf(of, `?to=${addDays(MONDAY, 61)}`);
  const minutes: Record<string, number> = {};
  for (const { bench, plannedMinutes, orders } of items) {
    if (orders.includes(order)) minutes[bench] = (minutes[bench] ?? 0) + plannedMinutes;
  }
  return minutes;
}
/** An order at check fitting with a check socket, of which nothing is done. */
async function checkSocketToMake(of: TestClinic, given: object = {}) {
  const order = await openOrder(of, given);
  const cast = await takeCast(of, order.id);
  await of.as('prosthetist').post(`/api/v1/casts/${cast.id}/accept`).expect(200);
  const { body } = await of
    .as('technician')
    .post(`/api/v1/orders/${order.id}/sockets`, { kind: 'check', sheetThicknessMm: 12 })
    .expect(201);
  return { ...order, socketId: body.id as string };
}

interface Route {
  version: number;
  name: string;
  socketKind: string;
  suspension: string;
  operations: { seq: number; bench: string | null }[];
}
const checkRouteOf = async (of: TestClinic): Promise<Route> => {
  const { body } = await of.as('technician').get('/api/v1/routes').expect(200);
  return (body.items as Route[]).find(
    ({ socketKind, suspension }) => socketKind === 'check' && suspension === 'pin_lock',
  )!;
};

describe('the load of the benches', () => {
  test('an idle shop is manned for two weeks, and nothing is planned', async () => {
    const idle = await clinic.another('ID');
    const { items, from, to, leftOut } = await loadOf(idle);
    expect([from, to]).toEqual([MONDAY, addDays(MONDAY, 13)]);
    expect(leftOut).toEqual({ onHold: [], notPlanned: [] });
    // Ten working days, five benches.
    expect(items).toHaveLength(50);
    expect(items[0]).toEqual({
      bench: 'Plaster room',
      day: MONDAY,
      plannedMinutes: 0,
      mannedMinutes: 480,
      overloaded: false,
      orders: [],
    });
    expect(items[4]).toMatchObject({ bench: 'Assembly', mannedMinutes: 960 });
  });

  test('work of a stage is spread until the stages after it must begin; what is done is gone', async () => {
    const own = { ...shop, clinic };
    // 4 days of lamination and 3 of delivery come after check fitting: it ends on day 5.
    const { number, socketId } = await checkSocketToMake(clinic, { promisedOn: on(12) });
    const { items } = await loadOf(clinic);
    const oven = items.filter(({ bench, orders }) => bench === 'Oven' && orders.includes(number));
    expect(pick(oven, 'day')).toEqual([0, 1, 2, 3, 4, 5].map(on));
    expect(pick(oven, 'plannedMinutes')).toEqual(Array(6).fill(7.5));
    expect(await minutesOf(clinic, number)).toEqual({
      'Plaster room': 90,
      Oven: 45,
      Grinding: 45,
      Assembly: 60,
    });
    await doOperation(own, socketId, 'prepare_model');
    await doOperation(own, socketId, 'thermoform');
    expect(await minutesOf(clinic, number)).toEqual({ Grinding: 45, Assembly: 60 });
  });

  test('late work is for today, and says which orders overload a bench', async () => {
    const late = await clinic.another('LT');
    const orders = [];
    for (let n = 0; n < 6; n += 1) {
      orders.push(await checkSocketToMake(late, { promisedOn: on(1) }));
    }
    const { items } = await loadOf(late);
    // Six models of 90 minutes against one person's 480.
    expect(items[0]).toEqual({
      bench: 'Plaster room',
      day: MONDAY,
      plannedMinutes: 540,
      mannedMinutes: 480,
      overloaded: true,
      orders: orders.map(({ number }) => number).sort(),
    });
    expect(items.filter(({ overloaded }) => overloaded)).toHaveLength(1);
    const [plaster] = (await late.as('technician').get('/api/v1/benches')).body.items;
    const admin = late.as('administrator');
    await admin.patch(`/api/v1/benches/${plaster.id}`, { people: 2 }, '"1"').expect(200);
    expect((await loadOf(late)).items[0]).toMatchObject({ mannedMinutes: 960, overloaded: false });
  });

  test('without a promise the stage ends as is usual', async () => {
    const own = await clinic.another('US');
    const { number } = await checkSocketToMake(own);
    const { items } = await loadOf(own);
    const days = items
      .filter(({ bench, orders }) => bench === 'Oven' && orders.includes(number))
      .map(({ day }) => day);
    expect([days[0], days.at(-1)]).toEqual([MONDAY, on(8)]);
  });

  test('on a closed day nobody is there, and nothing is planned', async () => {
    const own = await clinic.another('CL');
    await checkSocketToMake(own, { promisedOn: on(1) });
    const admin = own.as('administrator');
    const { body } = await admin.get('/api/v1/calendar');
    const closedDays = [{ on: MONDAY, why: 'Inventory' }];
    await admin
      .post('/api/v1/calendar', {
        basedOnVersion: body.version,
        weekdays: body.weekdays,
        closedDays,
      })
      .expect(201);
    const { items } = await loadOf(own);
    expect(items[0]).toMatchObject({ day: on(1), bench: 'Plaster room', plannedMinutes: 90 });
  });

  test('what is on hold, and what has no bench, is named and in no figure', async () => {
    const own = await clinic.another('HD');
    const held = await checkSocketToMake(own);
    await own
      .as('front_desk')
      .post(`/api/v1/orders/${held.id}/hold`, { holdReason: 'patient_not_ready' })
      .expect(200);
    const admin = own.as('administrator');
    const { name, socketKind, suspension, version, operations } = await checkRouteOf(own);
    await admin
      .post('/api/v1/routes', {
        basedOnVersion: version,
        name,
        socketKind,
        suspension,
        operations: operations.map(({ seq, ...operation }) => ({
          ...operation,
          bench: seq === 1 ? null : operation.bench,
        })),
      })
      .expect(201);
    const other = await checkSocketToMake(own);
    const { items, leftOut } = await loadOf(own);
    expect(leftOut).toEqual({
      onHold: [held.number],
      notPlanned: [{ order: other.number, operation: 'Prepare the model' }],
    });
    expect(new Set(items.flatMap(({ orders }) => orders))).toEqual(new Set([other.number]));
  });

  test('work that waits at a bench given up is an overload: nobody is there', async () => {
    const own = await clinic.another('GU');
    const { number } = await checkSocketToMake(own);
    const { body } = await own.as('technician').get('/api/v1/benches');
    const admin = own.as('administrator');
    for (const { id, name } of body.items as { id: string; name: string }[]) {
      if (name !== 'Oven' && name !== 'Lamination') continue;
      await admin.patch(`/api/v1/benches/${id}`, { active: false }, '"1"').expect(200);
    }
    const { items } = await loadOf(own, `?to=${MONDAY}`);
    expect(pick(items, 'bench')).toEqual(['Plaster room', 'Oven', 'Grinding', 'Assembly']);
    expect(items[1]).toMatchObject({ mannedMinutes: 0, overloaded: true, orders: [number] });
  });

  test.each([
    ['a past day', '?from=2026-03-01', 'day-order-wrong'],
    ['an end before the beginning', '?from=2026-03-10&to=2026-03-09', 'day-order-wrong'],
    ['63 days', `?to=${addDays(MONDAY, 62)}`, 'value-out-of-range'],
    ['no day', '?to=soon', 'request-invalid'],
    ['the last day of all years', '?from=9999-12-31&to=9999-12-31', 'request-invalid'],
    ['a day of the next century but one', '?from=2200-01-01', 'request-invalid'],
  ])('%s is refused', async (_title, query, code) => {
    for (const drawn of ['', '.svg']) {
      const answer = await clinic.as('technician').get(`/api/v1/bench-load${drawn}${query}`);
      expect([answer.status, answer.body.code]).toEqual([400, code]);
    }
  });

  test('a far promise that is in the book does not hold it up, and a far window is answered', async () => {
    const own = await clinic.another('FA');
    const { id, number } = await checkSocketToMake(own);
    // As the book took it before days had their bounds.
    await own.store.raw(`update fabrication_order set promised_on = '9999-12-31' where id = $1`, [
      id,
    ]);
    // Spread over two million working days, less than a tenth of a minute is for each.
    expect(Object.values(await minutesOf(own, number))).toEqual([0, 0, 0, 0]);
    const { items, to } = await loadOf(own, '?from=2199-12-31');
    expect(to).toBe('2200-01-13');
    expect(items[0]).toMatchObject({ bench: 'Plaster room', day: '2199-12-31' });
    const read = await own.as('front_desk').get(`/api/v1/orders/${id}`).expect(200);
    expect(read.body.promisedOn).toBe('9999-12-31');
    const date = await own.as('front_desk').get(`/api/v1/orders/${id}/date`).expect(200);
    expect(date.body.standing.state).toBe('on_course');
  });

  test('it is drawn, with the same words for who hears it', async () => {
    const own = await clinic.another('DR');
    const order = await checkSocketToMake(own, { promisedOn: on(1) });
    const [plaster] = (await own.as('technician').get('/api/v1/benches')).body.items;
    await own
      .as('administrator')
      .patch(`/api/v1/benches/${plaster.id}`, { active: false, name: 'Plaster <&> "old"' }, '"1"')
      .expect(200);
    const { body, headers } = await own
      .as('technician')
      .get('/api/v1/bench-load.svg?to=2026-03-06')
      .buffer(true)
      .expect(200);
    const svg = String(body);
    expect(headers['content-type']).toBe('image/svg+xml; charset=utf-8');
    expect(svg).toContain('<title>Load of the benches, Mon 2 Mar 2026 to Fri 6 Mar 2026</title>');
    expect(svg).toContain(
      `<desc>Minutes of waiting operations against the minutes that each bench is manned: 5 benches, 5 working days. Overloaded: Plaster &lt;&amp;&gt; &quot;old&quot; on Mon 2 Mar 2026: 90 minutes planned, 0 manned, for ${order.number}.</desc>`,
    );
    expect(svg).toContain('>nobody</text>');
    expect(svg).toContain('>6 Mar</text>');
  });
});

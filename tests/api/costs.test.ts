/** C7: what a socket and an order cost, line by line; what has no price is named. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { testClinic, type TestClinic } from '../support/api.ts';
import {
  acceptedCast,
  checkSocketOnTheLimb,
  deliver,
  finishDefinitive,
  inBin,
  inPosition,
  laminatedAfterFit,
  move,
  ok,
  onBench,
  openedOrder,
  refusedWith,
  stockedShop,
  transferTo,
  type Shop,
} from '../support/job.ts';

let clinic: TestClinic;
let shop: Shop;
let orderId: string;
let checkId: string;
let socketId: string;

interface Line {
  kind: string;
  what: string;
  costMinor: number | null;
}
interface Cost {
  currency: string | null;
  lines: Line[];
  materialMinor: number;
  hardwareMinor: number;
  labourMinor: number;
  totalMinor: number;
  notCosted: string[];
}

beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
  await price();
  ({ orderId } = await openedOrder(shop));
  const made = await laminatedAfterFit(shop, orderId);
  ({ checkId, socketId } = made);
  await transferTo(shop, checkId, socketId, made.check.hardware);
  await finishDefinitive(shop, socketId);
  await ok(deliver(shop, orderId, socketId));
});
afterAll(() => clinic.close());

/** Labour at 60.00 an hour; resin 129.50 for 5 kg, hardener 48.00 for 2 kg. */
async function price(): Promise<void> {
  const admin = clinic.as('administrator');
  const { headers } = await admin.get('/api/v1/clinic');
  const money = { currency: 'EUR', labourRatePerHourMinor: 6000 };
  await ok(admin.patch('/api/v1/clinic', money, String(headers['etag'])));
  for (const [batch, priceMinor] of [
    ['resin', 12950],
    ['hardener', 4800],
  ] as const) {
    const url = `/api/v1/batches/${shop.batches[batch] ?? ''}`;
    const read = await admin.get(url);
    await ok(admin.patch(url, { priceMinor }, String(read.headers['etag'])));
  }
}

const socketCost = (id: string) =>
  ok<Cost>(clinic.as('prosthetist').get(`/api/v1/sockets/${id}/cost`));
const sum = (lines: Line[], kind: string): number =>
  lines.reduce((total, line) => total + (line.kind === kind ? (line.costMinor ?? 0) : 0), 0);

describe('the account of a definitive socket', () => {
  test('takes the share of each priced batch that was used, to the cent', async () => {
    const cost = await socketCost(socketId);
    expect(cost.currency).toBe('EUR');
    const uses = await clinic.store.raw<{
      name: string;
      lot: string;
      amount: number;
      quantity: number;
      price: number;
    }>(
      `select b.name, b.lot, u.amount, b.quantity, b.price_minor as price from batch_use u
       join batch b on b.id = u.batch_id where u.socket_id = $1 and b.price_minor is not null`,
      [socketId],
    );
    expect(uses.length).toBeGreaterThanOrEqual(2);
    for (const { name, lot, amount, quantity, price: minor } of uses) {
      expect(cost.lines).toContainEqual({
        kind: 'material',
        what: `${name}, lot ${lot}`,
        costMinor: Math.round((minor * amount) / quantity),
      });
    }
  });

  test('adds up: each sum is that of its lines', async () => {
    const cost = await socketCost(socketId);
    expect(cost.materialMinor).toBe(sum(cost.lines, 'material'));
    expect(cost.materialMinor).toBeGreaterThan(0);
    expect(cost.hardwareMinor).toBe(sum(cost.lines, 'hardware'));
    expect(cost.totalMinor).toBe(cost.materialMinor + cost.hardwareMinor + cost.labourMinor);
  });

  test('names what has no price and which minutes nobody recorded', async () => {
    const cost = await socketCost(socketId);
    const unknown = cost.lines.filter(({ costMinor }) => costMinor === null);
    expect(cost.notCosted).toEqual(unknown.map(({ what }) => what));
    expect(cost.notCosted).toContain('Finish and clean');
    expect(cost.notCosted.some((what) => what.startsWith('Shuttle lock'))).toBe(true);
  });
});

describe('recorded minutes', () => {
  test('cost their share of the hour: 25 minutes at 60.00 are 25.00', async () => {
    const other = await openedOrder(shop);
    const { checkId: check } = await checkWithMinutes(other.orderId, 25);
    const { lines } = await socketCost(check);
    expect(lines).toContainEqual({ kind: 'labour', what: 'Prepare the model', costMinor: 2500 });
  });
});

describe('hardware that came back', () => {
  interface Piece {
    item: { id: string; placeKind: string; priceMinor: number | null; version: number };
  }
  /** A priced pin in a check socket, which then goes from place to place. */
  async function pinThat(...roads: { to: object; reason: string }[]): Promise<Line[]> {
    const { orderId: order } = await openedOrder(shop);
    await acceptedCast(shop, order);
    const check = await checkSocketOnTheLimb(shop, order);
    const itemId = check.hardware.pin;
    const url = `/api/v1/items/${itemId}`;
    await ok(clinic.as('administrator').patch(url, { priceMinor: 3900 }, '"1"'));
    let from: object = inPosition(check.socketId, 'pin');
    for (const { to, reason } of roads) {
      await ok(move(shop, { itemId }, from, to, reason));
      from = to;
    }
    const { lines } = await socketCost(check.socketId);
    return lines.filter(({ costMinor, kind }) => kind === 'hardware' && costMinor === 3900);
  }
  const quarantine = { to: { kind: 'quarantine' }, reason: 'quarantined' };
  const bench = { to: onBench, reason: 'taken_out_for_trimming' };
  const bin = () => ({ to: inBin(shop), reason: 'returned_to_bin' });

  test('to a bin, by whatever road, is not used up', async () => {
    expect(await pinThat()).toHaveLength(1);
    expect(await pinThat(bin())).toEqual([]);
    expect(await pinThat(bench, bin())).toEqual([]);
    expect(await pinThat(quarantine, { ...bin(), reason: 'released_from_quarantine' })).toEqual([]);
  });

  test('to the bench or to quarantine, or went to scrap from there, is', async () => {
    expect(await pinThat(bench)).toHaveLength(1);
    expect(await pinThat(quarantine)).toHaveLength(1);
    const scrap = { to: { kind: 'scrap' }, reason: 'scrapped' };
    expect(await pinThat(quarantine, scrap)).toHaveLength(1);
  });

  test('its price is entered later by the administrator, with what it was before in the trail', async () => {
    const [itemId = ''] = await shop.receive('pin', 1);
    const url = `/api/v1/items/${itemId}`;
    const admin = clinic.as('administrator');
    await clinic.as('technician').patch(url, { priceMinor: 1 }, '"1"').expect(403);
    const priced = await ok<Piece['item']>(admin.patch(url, { priceMinor: 3900 }, '"1"'));
    expect(priced).toMatchObject({ id: itemId, priceMinor: 3900, version: 2 });
    await refusedWith(admin.patch(url, { priceMinor: 4000 }, '"1"'), 'version-is-stale');
    await ok(admin.patch(url, { priceMinor: null }, '"2"'));
    const events = await clinic.store.raw<{ data: object }>(
      `select data from event where kind = 'item.changed' and subject_id = $1 order by seq`,
      [itemId],
    );
    expect(events.map(({ data }) => data)).toMatchObject([
      { before: { priceMinor: null }, after: { priceMinor: 3900 } },
      { before: { priceMinor: 3900 }, after: { priceMinor: null } },
    ]);
    const { status } = await admin.patch(url, { lot: 'another' }, '"3"');
    expect(status).toBe(400);
    const nobody = '/api/v1/items/0190a000-0000-7000-8000-00000000dead';
    await refusedWith(admin.patch(nobody, { priceMinor: 1 }, '"1"'), 'thing-unknown');
  });

  test('without a currency neither a piece nor its price comes in', async () => {
    const own = await clinic.another('NC');
    const poor = await stockedShop(own);
    const piece = { partId: poor.parts.pin, serials: ['P 1'], toPlaceId: poor.bin };
    const priced = own.as('technician').post('/api/v1/items', { ...piece, priceMinor: 3900 });
    await refusedWith(priced, 'prices-without-currency');
    const [itemId = ''] = await poor.receive('pin', 1);
    const admin = own.as('administrator');
    const later = admin.patch(`/api/v1/items/${itemId}`, { priceMinor: 3900 }, '"1"');
    await refusedWith(later, 'prices-without-currency');
  });

  test('prices of batches and pieces are not for the bench to see', async () => {
    const [itemId = ''] = await shop.receive('pin', 1);
    const url = `/api/v1/items/${itemId}`;
    await ok(clinic.as('administrator').patch(url, { priceMinor: 3900 }, '"1"'));
    const seen = async (role: 'technician' | 'auditor') => {
      const read = clinic.as(role);
      const { item } = await ok<Piece>(read.get(url));
      const batches = await ok<{ items: { id: string; priceMinor: number | null }[] }>(
        read.get('/api/v1/batches'),
      );
      const resin = batches.items.find(({ id }) => id === shop.batches['resin']);
      const alone = await ok<{ priceMinor: number | null }>(
        read.get(`/api/v1/batches/${shop.batches['resin'] ?? ''}`),
      );
      return [item.priceMinor, resin?.priceMinor, alone.priceMinor];
    };
    expect(await seen('technician')).toEqual([null, null, null]);
    expect(await seen('auditor')).toEqual([3900, 12950, 12950]);
  });
});

async function checkWithMinutes(of: string, minutes: number): Promise<{ checkId: string }> {
  const prosthetist = clinic.as('prosthetist');
  const cast = await ok<{ id: string }>(
    prosthetist.post(`/api/v1/orders/${of}/casts`, {
      method: 'plaster',
      takenOn: '2026-03-02',
      limbLengthMm: 165,
      measures: [
        { heightMm: 0, circumferenceMm: 240 },
        { heightMm: 60, circumferenceMm: 280 },
        { heightMm: 120, circumferenceMm: 310 },
      ],
    }),
  );
  await ok(prosthetist.post(`/api/v1/casts/${cast.id}/accept`));
  const socket = await ok<{ id: string; operations: { id: string; kind: string }[] }>(
    clinic.as('technician').post(`/api/v1/orders/${of}/sockets`, { kind: 'check' }),
  );
  const [first] = socket.operations;
  await ok(
    clinic.as('technician').post(`/api/v1/operations/${first?.id ?? ''}/records`, {
      answers: { number_on_model: true, measures_agree: true },
      minutes,
    }),
  );
  return { checkId: socket.id };
}

describe('the account of an order', () => {
  test('counts the lock that went over once, where it serves', async () => {
    const order = await ok<{ sockets: (Cost & { socket: string })[] } & Cost>(
      clinic.as('front_desk').get(`/api/v1/orders/${orderId}/cost`),
    );
    const locks = order.sockets.map(({ lines }) =>
      lines.filter(({ what }) => what.startsWith('Shuttle lock')),
    );
    expect(locks.map(({ length }) => length)).toEqual([0, 1]);
    // By itself the check socket had the lock as well.
    const check = await socketCost(checkId);
    expect(check.lines.filter(({ what }) => what.startsWith('Shuttle lock'))).toHaveLength(1);
    expect(order.totalMinor).toBe(
      order.sockets.reduce((total, { totalMinor }) => total + totalMinor, 0),
    );
  });

  test('stands under the month of its delivery; without a remake none is counted', async () => {
    const { totalMinor } = await ok<Cost>(
      clinic.as('auditor').get(`/api/v1/orders/${orderId}/cost`),
    );
    const costs = await ok(clinic.as('auditor').get('/api/v1/costs?from=2026-03-01&to=2026-03-31'));
    expect(costs).toMatchObject({
      currency: 'EUR',
      months: [{ key: '2026-03', count: 1, totalMinor }],
      remakes: [],
    });
    expect(
      await ok(clinic.as('auditor').get('/api/v1/costs?from=2026-01-01&to=2026-02-28')),
    ).toMatchObject({ months: [] });
  });

  test('a window of years, one upside down, and an order of nobody are refused', async () => {
    const costs = (query: string) => clinic.as('auditor').get(`/api/v1/costs?${query}`);
    await refusedWith(costs('from=2020-01-01&to=2026-03-31'), 'value-out-of-range');
    await refusedWith(costs('from=2026-03-31&to=2026-03-01'), 'day-order-wrong');
    const nobody = '0190a000-0000-7000-8000-00000000dead';
    await refusedWith(clinic.as('auditor').get(`/api/v1/orders/${nobody}/cost`), 'not-found');
    await refusedWith(clinic.as('auditor').get(`/api/v1/sockets/${nobody}/cost`), 'not-found');
  });

  test('is not for the bench to see', async () => {
    const { status } = await clinic.as('technician').get(`/api/v1/orders/${orderId}/cost`);
    expect(status).toBe(403);
  });
});

/** How long the shelves last, what expires unused, and what is to be reordered (C3). */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { testClinic, type TestClinic } from '../support/api.ts';
import {
  id,
  laidUpWithoutLock,
  limbToDeliver,
  makeRecipe,
  ok,
  RESIN_PRODUCT,
  stockedShop,
  weighCup,
  type MadeLimb,
  type ResinBody,
  type Shop,
} from '../support/job.ts';

let clinic: TestClinic;
let shop: Shop;
let limb: MadeLimb;
beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
  limb = await limbToDeliver(shop);
});
afterAll(() => clinic.close());

interface Material {
  kind: string;
  name: string;
  unit: string;
  resinProductId: string | null;
  left: number;
  used: number;
  usesNotMeasured: number;
  pace: string;
  inWords: string;
  usedPerDay: number;
  usable: number;
  expiresUnused: number;
  lastsDays: number | null;
  emptyOn: string | null;
  reorder: boolean;
  orderAmount: number;
  batches: { batchId: string; left: number; quarantined: boolean }[];
}
interface Outlook {
  today: string;
  windowDays: number;
  paceDays: number;
  leadDays: number;
  coverDays: number;
  materials: Material[];
}
const outlookOf = (of: TestClinic = clinic) =>
  ok<Outlook>(of.as('technician').get('/api/v1/stock/outlook'));
const of = ({ materials }: Outlook, kind: string, name?: string): Material => {
  const found = materials.filter(
    (each) => each.kind === kind && (name === undefined || each.name === name),
  );
  expect(found, `${kind} ${name ?? ''}`).toHaveLength(1);
  return found[0]!;
};
const setClinic = async (at: TestClinic, change: object) => {
  const { headers } = await at.as('administrator').get('/api/v1/clinic');
  await at.as('administrator').patch('/api/v1/clinic', change, String(headers['etag'])).expect(200);
};
let lots = 0;
const receive = (at: TestClinic, batch: object) =>
  id(
    at.as('technician').post('/api/v1/batches', {
      kind: 'pigment',
      name: 'Ochre',
      lot: `ST-${(lots += 1)}`,
      receivedOn: '2026-01-05',
      quantity: 100,
      unit: 'g',
      ...batch,
    }),
  );

describe('the outlook', () => {
  test('goes by product, resin and hardener apart, and by what the cups drew', async () => {
    const outlook = await outlookOf();
    expect(outlook).toMatchObject({
      today: '2026-03-02',
      windowDays: 90,
      // The clinic began today.
      paceDays: 7,
      leadDays: 14,
      coverDays: 60,
    });
    const [cups] = await clinic.store.raw<{ resin: number; hardener: number }>(
      'select sum(resin_g) as resin, sum(hardener_g) as hardener from resin_weighing where socket_id = $1',
      [limb.socketId],
    );
    for (const [kind, used, came] of [
      ['resin', cups!.resin, 25_000],
      ['hardener', cups!.hardener, 8000],
    ] as const) {
      const material = of(outlook, kind);
      expect(material).toMatchObject({
        name: RESIN_PRODUCT.name,
        resinProductId: shop.resinProduct,
        unit: 'g',
        used,
        usesNotMeasured: 0,
        left: came - used,
      });
      expect(material.usedPerDay).toBeCloseTo(used / 7, 9);
    }
    // At this pace the batch of December is not used up by then, and the expired one never.
    const resin = of(outlook, 'resin');
    expect(resin.usable).toBeCloseTo((cups!.resin / 7) * 305, 6);
    expect(resin.expiresUnused).toBeCloseTo(resin.left - resin.usable, 6);
    expect(resin).toMatchObject({
      lastsDays: 305,
      emptyOn: '2027-01-01',
      reorder: false,
      orderAmount: 0,
    });
  });

  test('says where amounts were not recorded, and counts nothing for them', async () => {
    expect(of(await outlookOf(), 'threadlocker')).toMatchObject({
      used: 0,
      usesNotMeasured: 2,
      pace: 'not_known',
      // Two of its batch are not expired; nothing says that they will be left over.
      usable: 50,
      expiresUnused: 50,
      inWords: 'Pace not known: 2 uses in 7 days, none of them with an amount.',
      lastsDays: null,
      emptyOn: null,
      reorder: false,
    });
  });

  test('past ten years no day is named: a pinch of pigment of a drum that never expires', async () => {
    const other = await clinic.another('FA');
    const theirs = await stockedShop(other);
    const pigmentBatchId = await receive(other, { quantity: 100_000 });
    const socketId = await laidUpWithoutLock(theirs);
    const { pours } = await ok<ResinBody['recipe']>(makeRecipe(theirs, socketId));
    const { totalG: _sum, ...cup } = pours[0]!;
    await ok(weighCup(theirs, socketId, { ...cup, pigmentG: 0.1, pigmentBatchId }));
    const pigment = () => outlookOf(other).then((outlook) => of(outlook, 'pigment'));
    expect(await pigment()).toMatchObject({
      pace: 'measured',
      used: 0.1,
      lastsDays: null,
      emptyOn: null,
      inWords: 'At this pace it lasts more than ten years.',
      reorder: false,
    });
    // A month later the pace is that of the month, not of the ninety days of the window.
    other.clock.pass(30 * 24 * 60);
    expect((await outlookOf(other)).paceDays).toBe(31);
    expect((await pigment()).usedPerDay).toBeCloseTo(0.1 / 31, 12);
    other.clock.pass(-30 * 24 * 60);
  });

  test('what is used up within the delivery time is to be reordered, for delivery and cover', async () => {
    const other = await clinic.another('RE');
    const theirs = await stockedShop(other);
    const few = await receive(other, {
      kind: 'resin',
      name: 'Clear',
      quantity: 900,
      resinProductId: theirs.resinProduct,
    });
    const made = await limbToDeliver({
      ...theirs,
      batches: { ...theirs.batches, resin: few },
    });
    const [cups] = await other.store.raw<{ resin: number }>(
      'select sum(resin_g) as resin from resin_weighing where socket_id = $1',
      [made.socketId],
    );
    const used = cups!.resin;
    for (const lot of ['resin', 'expiredResin'] as const) {
      await ok(
        other
          .as('technician')
          .post(`/api/v1/batches/${theirs.batches[lot] ?? ''}/quarantine`, { reason: 'Lumps.' }),
      );
    }
    await setClinic(other, { reorderWindowDays: 7, reorderLeadDays: 60, reorderCoverDays: 20 });
    const resin = of(await outlookOf(other), 'resin');
    const perDay = used / 7;
    expect(resin).toMatchObject({
      used,
      left: 25_900 - used,
      lastsDays: Math.floor((900 - used) / perDay),
      reorder: true,
    });
    expect(resin.usable).toBeCloseTo(900 - used, 6);
    expect(resin.expiresUnused).toBeCloseTo(25_000, 6);
    expect(resin.orderAmount).toBeCloseTo(perDay * 80 - (900 - used), 6);
    expect(resin.batches.filter(({ quarantined }) => quarantined)).toHaveLength(2);
    // Eight days later nothing of it was used in the window.
    other.clock.pass(8 * 24 * 60);
    expect(of(await outlookOf(other), 'resin')).toMatchObject({ used: 0, reorder: false });
    other.clock.pass(-8 * 24 * 60);
  });

  test('other material goes by kind and name, and grams are never added to millilitres', async () => {
    const other = await clinic.another('NA');
    await receive(other, {});
    await receive(other, { quantity: 50 });
    await receive(other, { name: 'Umber' });
    await receive(other, { unit: 'mL' });
    const { materials } = await outlookOf(other);
    expect(materials.map(({ kind, name, unit, left }) => [kind, name, unit, left])).toEqual([
      ['pigment', 'Ochre', 'g', 150],
      ['pigment', 'Ochre', 'mL', 100],
      ['pigment', 'Umber', 'g', 100],
    ]);
    // Without use nothing says when it will be empty; what does not expire is all usable.
    expect(materials[0]).toMatchObject({ usable: 150, expiresUnused: 0, lastsDays: null });
    expect((await outlookOf()).materials.map(({ name }) => name)).not.toContain('Umber');
  });
});

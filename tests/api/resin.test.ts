/** From the approved layup to the cups: the recipe, and a cup on the scale (C3). */
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { cupBench, type RecipeBody, type WeighedBody } from '../support/cupBench.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import {
  approvedLayup,
  doOperations,
  id,
  makeRecipe,
  ok,
  refusedWith,
  RESIN_PRODUCT,
  sealedWithoutLock,
  stockedShop,
  weighCup,
  weighedResin,
  type Shop,
} from '../support/job.ts';

const START = '2026-03-02T09:00:00Z';

let clinic: TestClinic;
let shop: Shop;
beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
});
beforeEach(() => {
  clinic.clock.set(START);
});
afterAll(() => clinic.close());

const { laidUpSocket, recipeFor, cupOf, firstCup, weigh, readResin, leftOf, laminateOf, laminate } =
  cupBench(() => shop);

describe('the recipe', () => {
  test('is worked out from the approved layup, and from nothing else', async () => {
    const socketId = await sealedWithoutLock(shop);
    await refusedWith(makeRecipe(shop, socketId), 'resin-needs-layup');
    expect(await readResin(socketId)).toMatchObject({
      recipe: null,
      lacking: 'no resin recipe is on record',
    });
    const { lines } = await ok<{ lines: object[] }>(
      clinic.as('technician').get(`/api/v1/sockets/${socketId}/layup/proposal`),
    );
    await ok(clinic.as('technician').post(`/api/v1/sockets/${socketId}/layups`, { lines }));
    await refusedWith(makeRecipe(shop, socketId), 'resin-needs-layup');
    await clinic.as('front_desk').post(`/api/v1/sockets/${socketId}/resin-recipes`, {}).expect(403);
  });

  test('has grams for each cup, the work time and where it is from, cautions, formulas and sources', async () => {
    const socketId = await sealedWithoutLock(shop);
    await approvedLayup(shop, socketId);
    const layup = await ok<{ id: string; figures: { fabricMassG: number } }>(
      clinic.as('technician').get(`/api/v1/sockets/${socketId}/layup`),
    );
    const { fabricMassG } = layup.figures;
    const made = await ok<RecipeBody & Record<string, unknown>>(
      makeRecipe(shop, socketId, { shopTemperatureC: 32, pigmentPercent: 2 }),
    );
    // Half of fibre by mass: as much resin as fabric; the clinic loses 60 g.
    expect(made['neededG']).toBeCloseTo(fabricMassG + 60, 6);
    const mixG = Number(made['resinG']) + Number(made['hardenerG']);
    expect(mixG).toBeGreaterThanOrEqual(1.1 * (fabricMassG + 60));
    expect(mixG).toBeLessThan(1.25 * (fabricMassG + 60));
    for (const cup of made.pours) {
      expect(cup.totalG).toBeLessThanOrEqual(RESIN_PRODUCT.cupLimitG);
      for (const grams of [cup.resinG, cup.hardenerG, cup.pigmentG]) {
        expect(Number.isInteger(grams)).toBe(true);
      }
      expect(cup.hardenerG / cup.resinG).toBeCloseTo(0.38, 2);
    }
    expect(made).toMatchObject({
      running: 1,
      layupId: layup.id,
      ofLayup: true,
      product: { name: RESIN_PRODUCT.name, document: 'Invented sheet 3', revision: 'A' },
      asked: {
        fabricMassG,
        fibreMassFraction: 0.5,
        bagLossG: 60,
        marginPercent: 10,
        scaleResolutionG: 1,
        shopTemperatureC: 32,
      },
      // 30 min at 22 °C; ten degrees warmer halve it.
      workTime: { minutes: 15, from: 'halved_each_10_degrees' },
      formulas: { workTime: { source: expect.stringContaining('rule of thumb') } },
      madeBy: 'Tamás Bench of KL',
    });
    const cautions = made['cautions'] as string[];
    expect(cautions[0]).toMatch(/maker's instructions.*Invented sheet 3/);
    expect(cautions.join(' ')).toMatch(/gloves.*heats by itself/);
    expect(await readResin(socketId)).toMatchObject({
      recipe: made,
      stillToWeigh: made.pours.map(({ pour }) => pour),
      lacking: expect.stringContaining('cup 1 is not weighed'),
      laminatedAt: null,
      curedNotBefore: null,
    });
  });

  test('figures out of their ranges, a product withdrawn or not there: refused in words', async () => {
    const socketId = await sealedWithoutLock(shop);
    await approvedLayup(shop, socketId);
    const slips = { shopTemperatureC: 72, marginPercent: 500 };
    const { body } = await refusedWith(makeRecipe(shop, socketId, slips), 'value-out-of-range');
    expect(JSON.stringify(body)).toContain('72 °F is 22 °C');
    // The share of fibre is signed with the layup; a recipe has no other.
    await refusedWith(makeRecipe(shop, socketId, { fibreMassFraction: 0.8 }), 'request-invalid');
    await refusedWith(makeRecipe(shop, socketId, { productId: randomUUID() }), 'not-found');
    const admin = clinic.as('administrator');
    const productId = await id(
      admin.post('/api/v1/resin-products', { ...RESIN_PRODUCT, name: 'Withdrawn epoxy' }),
    );
    await admin.patch(`/api/v1/resin-products/${productId}`, { active: false }, '"1"').expect(200);
    await refusedWith(makeRecipe(shop, socketId, { productId }), 'resin-product-withdrawn');
    await refusedWith(
      makeRecipe(shop, socketId, { scaleResolutionG: 10, pigmentPercent: 1 }),
      'scale-too-coarse',
    );
    expect((await readResin(socketId)).recipe).toBeNull();
  });

  test('is superseded by another one until a cup of it is weighed; the product is kept as it was', async () => {
    const socketId = await laidUpSocket();
    const first = await recipeFor(socketId);
    const second = await recipeFor(socketId, { marginPercent: 15 });
    expect([first.running, second.running]).toEqual([1, 2]);
    await weigh(socketId, cupOf(firstCup(second)));
    const { body } = await refusedWith(makeRecipe(shop, socketId), 'recipe-in-use');
    expect(JSON.stringify(body)).toContain('cup 1 (good)');
    const rows = await clinic.store.raw<{ running: number; current: boolean; ratio: number }>(
      `select running, superseded_at is null as current, (product->>'partsHardener')::int as ratio
       from resin_recipe where socket_id = $1 order by running`,
      [socketId],
    );
    expect(rows).toEqual([
      { running: 1, current: false, ratio: 38 },
      { running: 2, current: true, ratio: 38 },
    ]);
  });
});

describe('a cup on the scale', () => {
  test('is weighed when the lamination is next, by a recipe, and is drawn from its batches', async () => {
    const socketId = await sealedWithoutLock(shop);
    await approvedLayup(shop, socketId);
    const first = { pour: 1, resinG: 200, hardenerG: 76 };
    await refusedWith(weighCup(shop, socketId, first), 'resin-recipe-missing');
    const recipe = await recipeFor(socketId);
    const cup = cupOf(firstCup(recipe));
    await refusedWith(weighCup(shop, socketId, cup), 'earlier-operation-open');
    await doOperations(shop, socketId, ['lay_up']);
    await refusedWith(laminate(await laminateOf(socketId)), 'facts-do-not-bear-it-out');
    const [resinBefore, hardenerBefore] = [
      await leftOf(shop.batches['resin']),
      await leftOf(shop.batches['hardener']),
    ];
    const key = randomUUID();
    const send = () =>
      clinic.as('technician').post(
        `/api/v1/sockets/${socketId}/resin-weighings`,
        {
          ...cup,
          resinBatchId: shop.batches['resin'],
          hardenerBatchId: shop.batches['hardener'],
        },
        { key },
      );
    const weighed = await ok<WeighedBody>(send());
    expect((await ok<WeighedBody>(send())).weighingId).toBe(weighed.weighingId);
    expect(weighed).toMatchObject({ outcome: 'good', because: [], findingId: null });
    expect(await leftOf(shop.batches['resin'])).toBe(resinBefore - cup.resinG);
    expect(await leftOf(shop.batches['hardener'])).toBe(hardenerBefore - cup.hardenerG);
    expect(weighed.resin.cups[0]).toMatchObject({
      state: 'good',
      readings: [
        {
          attempt: 1,
          stops: [],
          recordedBy: 'Tamás Bench of KL',
          batches: [
            { kind: 'resin', amount: cup.resinG, unit: 'g' },
            { kind: 'hardener', amount: cup.hardenerG, unit: 'g' },
          ],
        },
      ],
    });
  });

  test('every cup weighed, the socket is laminated; by the sheet it is cured after its hours', async () => {
    const socketId = await laidUpSocket();
    const { resinG } = await weighedResin(shop, socketId);
    expect(resinG).toBeGreaterThan(100);
    expect(await readResin(socketId)).toMatchObject({ stillToWeigh: [], lacking: null });
    clinic.clock.pass(12);
    await ok(laminate(await laminateOf(socketId)));
    expect(await readResin(socketId)).toMatchObject({
      laminatedAt: '2026-03-02T09:12:00.000Z',
      curedNotBefore: '2026-03-02T21:12:00.000Z',
      lacking: null,
      cups: expect.arrayContaining([expect.objectContaining({ state: 'spent', clock: null })]),
    });
    await refusedWith(
      weighCup(shop, socketId, { pour: 1, resinG: 200, hardenerG: 76 }),
      'operation-already-done',
    );
    await refusedWith(makeRecipe(shop, socketId), 'operation-already-done');
  });

  test('its clock counts down from the moment of mixing, at the temperature of the shop', async () => {
    const socketId = await laidUpSocket();
    const cup = cupOf(firstCup(await recipeFor(socketId)));
    for (const [mixedAt, code] of [
      ['2026-03-02T09:01:00Z', 'mixed-in-future'],
      ['2026-03-01T20:00:00Z', 'mixed-long-ago'],
    ] as const) {
      await refusedWith(weighCup(shop, socketId, { ...cup, mixedAt }), code);
    }
    await refusedWith(
      weighCup(shop, socketId, { ...cup, shopTemperatureC: 90 }),
      'value-out-of-range',
    );
    await weigh(socketId, { ...cup, mixedAt: '2026-03-02T09:57:00+01:00', shopTemperatureC: 32 });
    const clockAfter = async (minutes: number) => {
      clinic.clock.set(START);
      clinic.clock.pass(minutes);
      return (await readResin(socketId)).cups[0]?.clock;
    };
    expect(await clockAfter(0)).toEqual({
      mixedAt: '2026-03-02T08:57:00.000Z',
      setsAt: '2026-03-02T09:12:00.000Z',
      minutesLeft: 12,
      minutesOver: 0,
    });
    expect(await clockAfter(7)).toMatchObject({ minutesLeft: 5, minutesOver: 0 });
    expect(await clockAfter(20)).toMatchObject({ minutesLeft: 0, minutesOver: 8 });
  });

  test('that set before it was poured is weighed afresh with the reason, and drawn again', async () => {
    const socketId = await laidUpSocket();
    const recipe = await recipeFor(socketId);
    const cup = cupOf(firstCup(recipe));
    await weigh(socketId, cup);
    await refusedWith(weighCup(shop, socketId, cup), 'cup-already-weighed');
    const before = await leftOf(shop.batches['resin']);
    const again = await weigh(socketId, {
      ...cup,
      freshBecause: 'It set while the pump was mended.',
    });
    expect(again.resin.cups[0]?.readings).toHaveLength(2);
    expect(await leftOf(shop.batches['resin'])).toBe(before - cup.resinG);
    await refusedWith(
      weighCup(shop, socketId, { ...cup, pour: recipe.pours.length + 1 }),
      'cup-unknown',
    );
  });

  test('readings that are none are refused, with nothing kept and nothing drawn', async () => {
    const socketId = await laidUpSocket();
    const cup = cupOf(firstCup(await recipeFor(socketId)));
    const before = await leftOf(shop.batches['resin']);
    await refusedWith(weighCup(shop, socketId, { ...cup, resinG: 0 }), 'value-out-of-range');
    await refusedWith(weighCup(shop, socketId, { ...cup, hardenerG: -3 }), 'value-out-of-range');
    await refusedWith(weighCup(shop, socketId, { ...cup, putsRight: true }), 'cup-not-weighed');
    await refusedWith(
      weighCup(shop, socketId, { ...cup, putsRight: true, mixedAt: START }),
      'request-invalid',
    );
    expect(await leftOf(shop.batches['resin'])).toBe(before);
    expect((await readResin(socketId)).cups[0]).toMatchObject({ state: 'to_weigh', readings: [] });
  });
});

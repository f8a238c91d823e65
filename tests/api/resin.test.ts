/** From the approved layup to the cups: recipe, weighings, clocks, findings, batches (C3). */
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { inClinic } from '../../src/store/act.ts';
import { workersOf } from '../../src/store/socketFacts.ts';
import { PASSWORD, testClinic, type TestClinic } from '../support/api.ts';
import {
  approvedLayup,
  doOperations,
  goodAnswers,
  id,
  laidUpWithoutLock,
  makeRecipe,
  ok,
  readSocket,
  refusedWith,
  RESIN_PRODUCT,
  sealedWithoutLock,
  stockedShop,
  weighCup,
  weighedResin,
  type ResinBody,
  type Shop,
  type SocketBody,
} from '../support/job.ts';

const signature = { password: PASSWORD };
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

const laidUpSocket = () => laidUpWithoutLock(shop);

type Recipe = ResinBody['recipe'];
type Cup = Recipe['pours'][number];
const recipeFor = (socketId: string, body: object = {}) =>
  ok<Recipe>(makeRecipe(shop, socketId, body));
const cupOf = ({ totalG: _sum, ...cup }: Cup) => cup;
const firstCup = ({ pours }: Recipe): Cup => {
  const [cup] = pours;
  if (cup === undefined) throw new Error('a recipe without a cup');
  return cup;
};

interface Weighed {
  weighingId: string;
  outcome: string;
  because: { code: string }[];
  findingId: string | null;
  resin: ResinBody;
}
const weigh = (socketId: string, cup: object) => ok<Weighed>(weighCup(shop, socketId, cup));
const readResin = (socketId: string) =>
  ok<ResinBody & Record<string, unknown>>(
    clinic.as('auditor').get(`/api/v1/sockets/${socketId}/resin`),
  );
const leftOf = async (batchId: string | undefined): Promise<number> =>
  (await ok<{ left: number }>(clinic.as('technician').get(`/api/v1/batches/${batchId ?? ''}`)))
    .left;
const rework = (findingId: string | null) =>
  ok(
    clinic.as('technician').post(`/api/v1/findings/${findingId ?? ''}/disposition`, {
      disposition: 'rework',
      why: 'Not stirred yet.',
    }),
  );
const laminateOf = async (socketId: string) => {
  const { operations } = await readSocket(shop, socketId);
  const laminate = operations.find(({ kind }) => kind === 'laminate');
  if (laminate === undefined) throw new Error('no lamination');
  return laminate;
};
const laminate = (operation: SocketBody['operations'][number], answers: object = {}) =>
  clinic.as('technician').post(`/api/v1/operations/${operation.id}/records`, {
    answers: { ...goodAnswers(shop, operation), ...answers },
  });
let lots = 0;
const batchOf = (kind: string, over: object = {}) =>
  id(
    clinic.as('technician').post('/api/v1/batches', {
      kind,
      name: `Invented ${kind}`,
      lot: `CUP-${(lots += 1)}`,
      receivedOn: '2026-01-05',
      quantity: 900,
      unit: 'g',
      ...(kind === 'pigment' ? {} : { resinProductId: shop.resinProduct }),
      ...over,
    }),
  );

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
    const made = await ok<Recipe & Record<string, unknown>>(
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
    const weighed = await ok<Weighed>(send());
    expect((await ok<Weighed>(send())).weighingId).toBe(weighed.weighingId);
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

describe('the batches of a cup', () => {
  let socketId: string;
  let cup: ReturnType<typeof cupOf>;
  beforeAll(async () => {
    clinic.clock.set(START);
    socketId = await laidUpSocket();
    cup = cupOf(firstCup(await recipeFor(socketId, { pigmentPercent: 2 })));
  });

  test('are of their kind, in date, not in quarantine, enough, and of the recipe’s product', async () => {
    const resin = (resinBatchId: string | undefined) =>
      weighCup(shop, socketId, { ...cup, resinBatchId });
    await refusedWith(resin(shop.batches['expiredResin']), 'batch-expired');
    await refusedWith(resin(shop.batches['hardener']), 'batch-wrong-kind');
    await refusedWith(resin(randomUUID()), 'not-found');
    await refusedWith(resin(await batchOf('resin', { quantity: cup.resinG - 1 })), 'batch-empty');
    const bad = await batchOf('resin');
    await ok(
      clinic.as('technician').post(`/api/v1/batches/${bad}/quarantine`, { reason: 'Lumps.' }),
    );
    await refusedWith(resin(bad), 'batch-quarantined');
    const other = await id(
      clinic
        .as('administrator')
        .post('/api/v1/resin-products', { ...RESIN_PRODUCT, name: 'Another epoxy' }),
    );
    const { body } = await refusedWith(
      resin(await batchOf('resin', { resinProductId: other })),
      'batch-of-another-product',
    );
    expect(JSON.stringify(body)).toContain('Another epoxy');
    // Everything is told at once, with the field to blame.
    const { codes } = await refusedWith(
      weighCup(shop, socketId, {
        ...cup,
        hardenerG: 6000,
        resinBatchId: shop.batches['expiredResin'],
        hardenerBatchId: shop.batches['resin'],
      }),
      'batch-expired',
    );
    expect(codes).toEqual(expect.arrayContaining(['value-out-of-range', 'batch-wrong-kind']));
  });

  test('with pigment it is drawn too; a batch kept by volume is traced and not drawn down', async () => {
    const pigmentBatchId = await batchOf('pigment', { quantity: 50 });
    const byVolume = await batchOf('hardener', { unit: 'mL', resinProductId: undefined });
    const none = { ...cup, pigmentG: 0, pigmentBatchId };
    await refusedWith(weighCup(shop, socketId, none), 'request-invalid');
    await refusedWith(weighCup(shop, socketId, cup), 'pigment-batch-missing');
    const withBoth = { ...cup, pigmentBatchId, hardenerBatchId: byVolume };
    // What nobody has said to be of the recipe's product is not mixed; its label says what it is.
    const { body } = await refusedWith(weighCup(shop, socketId, withBoth), 'batch-without-product');
    expect(JSON.stringify(body)).toContain('PATCH /api/v1/batches');
    await clinic
      .as('technician')
      .patch(`/api/v1/batches/${byVolume}`, { resinProductId: shop.resinProduct }, '"1"')
      .expect(200);
    await weigh(socketId, withBoth);
    expect(cup.pigmentG).toBeGreaterThan(0);
    expect(await leftOf(pigmentBatchId)).toBe(50 - cup.pigmentG);
    expect(await leftOf(byVolume)).toBe(900);
    const { uses } = await ok<{ uses: object[] }>(
      clinic.as('auditor').get(`/api/v1/batches/${byVolume}`),
    );
    expect(uses).toMatchObject([{ socketId, amount: null, usedFor: 'weighing' }]);
  });

  test('two cups at once never both have the last of a batch', async () => {
    const sockets = [await laidUpSocket(), await laidUpSocket()];
    const cups: ReturnType<typeof cupOf>[] = [];
    for (const each of sockets) cups.push(cupOf(firstCup(await recipeFor(each))));
    const most = Math.max(...cups.map(({ resinG }) => resinG));
    const resinBatchId = await batchOf('resin', { quantity: most * 1.5 });
    const answers = await Promise.all(
      sockets.map((each, at) => weighCup(shop, each, { ...cups[at], resinBatchId })),
    );
    expect(answers.map(({ status }) => status).toSorted()).toEqual([201, 422]);
    expect(answers.find(({ status }) => status === 422)?.body.code).toBe('batch-empty');
    expect(await leftOf(resinBatchId)).toBeGreaterThan(0);
  });

  test('of a socket are found by the trace, with the cup that they went into', async () => {
    const { rows } = await ok<{ rows: { kind: string; what: string; socketId: string }[] }>(
      clinic.as('technician').get(`/api/v1/trace?batch=${shop.batches['resin'] ?? ''}&limit=1000`),
    );
    const own = rows.filter((row) => row.socketId === socketId);
    expect(own.map(({ kind }) => kind).toSorted()).toEqual(['batch_use', 'weighing']);
    expect(own.find(({ kind }) => kind === 'batch_use')?.what).toMatch(/ for cup 1$/);
    expect(own.find(({ kind }) => kind === 'weighing')?.what).toContain(
      `cup 1 of recipe 1 weighed, ${cup.resinG} g of resin`,
    );
  });
});

describe('a cup that stops the work', () => {
  const shortOf = (cup: ReturnType<typeof cupOf>) => ({
    ...cup,
    hardenerG: Math.round(cup.hardenerG * 0.8),
  });

  test('off ratio is kept, stops the lamination with a finding, and is put right after its rework', async () => {
    const socketId = await laidUpSocket();
    const recipe = await recipeFor(socketId);
    const cup = cupOf(firstCup(recipe));
    const off = shortOf(cup);
    const stopped = await weigh(socketId, off);
    expect(stopped).toMatchObject({ outcome: 'stopped', because: [{ code: 'resin-off-ratio' }] });
    expect(stopped.resin.cups[0]).toMatchObject({ state: 'stopped', clock: { minutesLeft: 30 } });
    const socket = await readSocket(shop, socketId);
    expect(socket.openFindings).toMatchObject([{ id: stopped.findingId, kind: 'off_ratio' }]);
    expect((await laminateOf(socketId)).state).toBe('stopped');
    await refusedWith(weighCup(shop, socketId, cup), 'operation-stopped');
    await refusedWith(makeRecipe(shop, socketId), 'operation-stopped');

    clinic.clock.pass(6);
    await rework(stopped.findingId);
    expect((await readResin(socketId)).cups[0]).toMatchObject({ state: 'rejected', clock: null });
    await refusedWith(
      weighCup(shop, socketId, { ...cup, resinG: cup.resinG - 1, putsRight: true }),
      'cup-reading-decreases',
    );
    const before = {
      resin: await leftOf(shop.batches['resin']),
      hardener: await leftOf(shop.batches['hardener']),
    };
    const right = await weigh(socketId, { ...cup, putsRight: true });
    expect(right).toMatchObject({ outcome: 'good', findingId: null });
    expect(await leftOf(shop.batches['resin'])).toBe(before.resin);
    expect(await leftOf(shop.batches['hardener'])).toBe(
      before.hardener - (cup.hardenerG - off.hardenerG),
    );
    // It has been setting since resin and hardener first met.
    expect(right.resin.cups[0]).toMatchObject({
      state: 'good',
      clock: { minutesLeft: 24 },
      readings: [{ attempt: 1 }, { attempt: 2, putsRightId: stopped.weighingId }],
    });
    for (const each of recipe.pours.slice(1)) await weigh(socketId, cupOf(each));
    await ok(laminate(await laminateOf(socketId)));
  });

  test('off ratio and thrown away, it is weighed afresh, or by another recipe', async () => {
    const socketId = await laidUpSocket();
    const cup = cupOf(firstCup(await recipeFor(socketId)));
    const stopped = await weigh(socketId, shortOf(cup));
    await rework(stopped.findingId);
    const another = await recipeFor(socketId, { marginPercent: 12 });
    expect(another.running).toBe(2);
    const fresh = await weigh(socketId, cupOf(firstCup(another)));
    expect(fresh).toMatchObject({
      outcome: 'good',
      resin: { cups: [{ readings: [{ attempt: 1 }] }] },
    });
  });

  test('accepted as it is, by signature, it may be poured; the lamination is still to be done', async () => {
    const socketId = await laidUpSocket();
    const recipe = await recipeFor(socketId);
    const { findingId } = await weigh(socketId, shortOf(cupOf(firstCup(recipe))));
    await ok(
      clinic.as('prosthetist').post(`/api/v1/findings/${findingId ?? ''}/acceptance`, {
        why: 'The maker was asked; it cures.',
        signature,
      }),
    );
    expect((await laminateOf(socketId)).state).toBe('waiting');
    expect((await readResin(socketId)).cups[0]).toMatchObject({ state: 'accepted' });
    for (const each of recipe.pours.slice(1)) await weigh(socketId, cupOf(each));
    await ok(laminate(await laminateOf(socketId)));
    expect((await laminateOf(socketId)).state).toBe('done');
  });

  test('too little for the fabric stops it as out of limits', async () => {
    const socketId = await laidUpSocket();
    const cup = cupOf(firstCup(await recipeFor(socketId)));
    const little = {
      ...cup,
      resinG: Math.round(cup.resinG / 2),
      hardenerG: Math.round(cup.resinG * 0.19),
    };
    const stopped = await weigh(socketId, little);
    expect(stopped.because.map(({ code }) => code)).toEqual(['resin-too-little']);
    expect((await readSocket(shop, socketId)).openFindings).toMatchObject([
      { kind: 'out_of_limits' },
    ]);
    const { body } = await refusedWith(laminate(await laminateOf(socketId)), 'operation-stopped');
    expect(body['status']).toBe(422);
  });

  test('more than the cup limit stops it', async () => {
    const socketId = await laidUpSocket();
    await recipeFor(socketId);
    const { because } = await weigh(socketId, { pour: 1, resinG: 300, hardenerG: 114 });
    expect(because.map(({ code }) => code)).toEqual(['cup-over-limit']);
  });
});

describe('recipe and layup', () => {
  test('when another layup is approved, cups are weighed by a new recipe only', async () => {
    const socketId = await laidUpSocket();
    const recipe = await recipeFor(socketId);
    await weigh(socketId, cupOf(firstCup(recipe)));
    const { lines } = await ok<{ lines: object[] }>(
      clinic.as('technician').get(`/api/v1/sockets/${socketId}/layup/proposal`),
    );
    const layupId = await id(
      clinic.as('technician').post(`/api/v1/sockets/${socketId}/layups`, {
        lines,
        fibreMassFraction: 0.55,
        why: 'The pump draws better than the rules think.',
      }),
    );
    await refusedWith(weighCup(shop, socketId, cupOf(firstCup(recipe))), 'recipe-of-older-layup');
    await refusedWith(makeRecipe(shop, socketId), 'resin-needs-layup');
    await ok(clinic.as('prosthetist').post(`/api/v1/layups/${layupId}/approval`, { signature }));
    const { lacking } = await readResin(socketId);
    expect(lacking).toBe('recipe 1 is not for the layup that stands');
    const again = await ok<Recipe & { asked: object }>(makeRecipe(shop, socketId));
    expect(again).toMatchObject({ running: 2, asked: { fibreMassFraction: 0.55 } });
    // Its fabric is laid anew first.
    await doOperations(shop, socketId, ['lay_up']);
    await weigh(socketId, cupOf(firstCup(again)));
  });
});

describe('beside the recipe', () => {
  test('a route that asks for the batches at the lamination draws them once', async () => {
    const admin = clinic.as('administrator');
    const { items } = await ok<{ items: Record<string, unknown>[] }>(admin.get('/api/v1/routes'));
    const route = items.find(
      ({ socketKind, suspension }) => socketKind === 'definitive' && suspension === 'suction',
    );
    const operations = (route?.['operations'] as Record<string, unknown>[]).map(
      ({ seq: _seq, bench: _bench, ...operation }) =>
        operation['kind'] === 'laminate'
          ? {
              ...operation,
              checks: [
                ...(operation['checks'] as object[]),
                {
                  kind: 'batch',
                  key: 'resin',
                  ask: 'Which?',
                  batchKind: 'resin',
                  amountAsked: true,
                },
              ],
            }
          : operation,
    );
    await ok(
      admin.post('/api/v1/routes', {
        name: 'With batches',
        socketKind: 'definitive',
        suspension: 'suction',
        operations,
      }),
    );
    const socketId = await laidUpSocket();
    const before = await leftOf(shop.batches['resin']);
    const { resinG } = await weighedResin(shop, socketId);
    const other = await batchOf('resin');
    await refusedWith(
      laminate(await laminateOf(socketId), { resin: { batchId: other, amount: 9000 } }),
      'batch-empty',
    );
    await ok(
      laminate(await laminateOf(socketId), {
        resin: { batchId: shop.batches['resin'], amount: resinG },
      }),
    );
    expect(await leftOf(shop.batches['resin'])).toBe(before - resinG);
  });

  test('who weighs a cup has worked on the socket (R8)', async () => {
    const socketId = await laidUpSocket();
    const cup = cupOf(firstCup(await recipeFor(socketId)));
    const workers = () =>
      inClinic(clinic.store, clinic.clinicId, (tx) => workersOf(tx, clinic.clinicId, socketId));
    const { id: prosthetist } = clinic.people.prosthetist;
    expect(await workers()).not.toContain(prosthetist);
    await ok(
      clinic.as('prosthetist').post(`/api/v1/sockets/${socketId}/resin-weighings`, {
        ...cup,
        resinBatchId: shop.batches['resin'],
        hardenerBatchId: shop.batches['hardener'],
      }),
    );
    expect(await workers()).toContain(prosthetist);
  });
});

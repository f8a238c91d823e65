/** What is over at the lamination: cups that set or are spent, sheets that changed, hours that are too few (C2, C3). */
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { cupBench, type RecipeBody } from '../support/cupBench.ts';
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
  type Shop,
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

const { recipeFor, cupOf, firstCup: whole, weigh, readResin, rework } = cupBench(() => shop);
const cupsOf = ({ pours }: RecipeBody) => pours.map(cupOf);
const firstCup = (recipe: RecipeBody) => cupOf(whole(recipe));

const operationOf = async (socketId: string, kind: string) => {
  const { operations } = await readSocket(shop, socketId);
  const operation = operations.find((each) => each.kind === kind);
  if (operation === undefined) throw new Error(`no ${kind}`);
  return operation;
};
const record = async (socketId: string, kind: string, answers: object = {}, body: object = {}) => {
  const operation = await operationOf(socketId, kind);
  return clinic.as('technician').post(`/api/v1/operations/${operation.id}/records`, {
    answers: { ...goodAnswers(shop, operation), ...answers },
    ...body,
  });
};
interface Recorded {
  outcome: string;
  because: { code: string; detail: string; wayOut: string }[];
  findingId: string | null;
}
const recorded = async (...step: Parameters<typeof record>): Promise<Recorded> => {
  const { status, body } = await record(...step);
  expect(status, JSON.stringify(body)).toBe(201);
  return body as Recorded;
};
const refused = async (code: string, ...step: Parameters<typeof record>): Promise<string> => {
  const { status, body } = await record(...step);
  expect([status, body.code], JSON.stringify(body)).toEqual([422, code]);
  return String(body.detail);
};
let lots = 0;
const batchOf = (kind: string, over: object = {}) =>
  id(
    clinic.as('technician').post('/api/v1/batches', {
      kind,
      name: `Invented ${kind}`,
      lot: `OV-${(lots += 1)}`,
      receivedOn: '2026-01-05',
      quantity: 900,
      unit: 'g',
      ...over,
    }),
  );
const productOf = (over: object) =>
  id(clinic.as('administrator').post('/api/v1/resin-products', { ...RESIN_PRODUCT, ...over }));

describe('a cup that set', () => {
  test('is not poured: the lamination lacks it, and it is weighed afresh without more words', async () => {
    const socketId = await laidUpWithoutLock(shop);
    const recipe = await recipeFor(socketId);
    for (const cup of cupsOf(recipe)) {
      await weigh(socketId, { ...cup, mixedAt: '2026-03-01T22:00:00Z' });
    }
    const { cups, lacking, stillToWeigh } = await readResin(socketId);
    expect(cups.map(({ state }) => state)).toEqual(recipe.pours.map(() => 'set'));
    expect(stillToWeigh).toEqual(recipe.pours.map(({ pour }) => pour));
    expect(lacking).toContain('cup 1 is set, its work time is over');
    // However long it is said to have taken: eleven hours nobody pours.
    for (const minutes of [0, 1_440]) {
      expect(
        await refused('facts-do-not-bear-it-out', socketId, 'laminate', {}, { minutes }),
      ).toContain('cup 1 is set');
    }
    await refusedWith(
      weighCup(shop, socketId, { ...firstCup(recipe), putsRight: true }),
      'cup-no-longer-flows',
    );
    for (const cup of cupsOf(recipe)) {
      expect((await weigh(socketId, cup)).resin.cups[cup.pour - 1]).toMatchObject({
        state: 'good',
        readings: [{ attempt: 1 }, { attempt: 2 }],
      });
    }
    expect((await recorded(socketId, 'laminate')).outcome).toBe('done');
  });

  test('after it was poured in time holds nothing up: the lamination is recorded with its minutes', async () => {
    const socketId = await laidUpWithoutLock(shop);
    await weighedResin(shop, socketId);
    clinic.clock.pass(40);
    expect((await readResin(socketId)).cups[0]).toMatchObject({ state: 'set' });
    const told = await refused('facts-do-not-bear-it-out', socketId, 'laminate');
    expect(told).toContain('record the lamination with the minutes that it took');
    expect((await recorded(socketId, 'laminate', {}, { minutes: 35 })).outcome).toBe('done');
  });

  test('another recipe may take the place of one whose cups all set', async () => {
    const socketId = await laidUpWithoutLock(shop);
    await weighedResin(shop, socketId);
    await refusedWith(makeRecipe(shop, socketId), 'recipe-in-use');
    clinic.clock.pass(31);
    expect((await recipeFor(socketId)).running).toBe(2);
  });

  test('where nothing says how long it can be worked it stays good, with the caution', async () => {
    const socketId = await laidUpWithoutLock(shop);
    const productId = await productOf({
      name: 'Invented acrylic',
      chemistry: 'acrylic',
      partsHardener: 2,
      ratioTolerancePercent: 10,
    });
    const resinProductId = productId;
    const batches = {
      resinBatchId: await batchOf('resin', { resinProductId }),
      hardenerBatchId: await batchOf('hardener', { resinProductId }),
    };
    const recipe = await recipeFor(socketId, { productId, shopTemperatureC: 30 });
    for (const cup of cupsOf(recipe)) await weigh(socketId, { ...cup, ...batches });
    clinic.clock.pass(60);
    expect((await readResin(socketId)).cups[0]).toMatchObject({
      state: 'good',
      clock: null,
      caution: expect.stringContaining('make sure that it still flows'),
    });
    expect((await recorded(socketId, 'laminate')).outcome).toBe('done');
  });

  test('put right it keeps the temperature and the clock of its first reading', async () => {
    const socketId = await laidUpWithoutLock(shop);
    const cup = firstCup(await recipeFor(socketId));
    const short = { ...cup, hardenerG: Math.round(cup.hardenerG * 0.8), shopTemperatureC: 32 };
    const first = await weigh(socketId, short);
    const setsAt = '2026-03-02T09:15:00.000Z';
    expect(first.resin.cups[0]?.clock).toMatchObject({ setsAt });
    await rework(first.findingId);
    clinic.clock.pass(5);
    const colder = await weigh(socketId, { ...cup, putsRight: true, shopTemperatureC: 20 });
    expect(colder.resin.cups[0]?.clock).toMatchObject({ setsAt, minutesLeft: 10 });
    const more = { ...cup, resinG: cup.resinG + 1, putsRight: true };
    expect((await weigh(socketId, more)).resin.cups[0]).toMatchObject({
      clock: { setsAt },
      readings: [
        { shopTemperatureC: 32, workMinutes: 15 },
        { shopTemperatureC: 20, workMinutes: 15 },
        { shopTemperatureC: 20, workMinutes: 15 },
      ],
    });
  });
});

describe('resin that was drawn through', () => {
  test('is not drawn again: after a rework of the lamination every cup is weighed afresh', async () => {
    const socketId = await laidUpWithoutLock(shop);
    await weighedResin(shop, socketId);
    const stopped = await recorded(socketId, 'laminate', { wetted_through: false });
    expect(stopped.outcome).toBe('stopped');
    await rework(stopped.findingId);
    const { cups, recipe } = await readResin(socketId);
    expect(new Set(cups.map(({ state }) => state))).toEqual(new Set(['spent']));
    expect(cups[0]).toMatchObject({ clock: null, readings: [{ spent: true }] });
    expect(await refused('facts-do-not-bear-it-out', socketId, 'laminate')).toContain(
      'cup 1 is spent on an earlier attempt',
    );
    const [first, ...others] = cupsOf(recipe);
    await refusedWith(
      weighCup(shop, socketId, { ...first, putsRight: true }),
      'cup-no-longer-flows',
    );
    expect((await weigh(socketId, first!)).resin.cups[0]?.state).toBe('good');
    for (const cup of others) await weigh(socketId, cup);
    expect((await recorded(socketId, 'laminate')).outcome).toBe('done');
    expect(await readResin(socketId)).toMatchObject({ stillToWeigh: [], lacking: null });
  });
});

describe('the recipe', () => {
  test('has less loss or margin than the clinic takes only with the reason, which is kept and shown', async () => {
    const socketId = await sealedWithoutLock(shop);
    await approvedLayup(shop, socketId);
    const less = { bagLossG: 20, marginPercent: 0, scaleResolutionG: 0.1 };
    const { body } = await refusedWith(makeRecipe(shop, socketId, less), 'recipe-why-missing');
    expect(JSON.stringify(body)).toContain('20 g of loss, the clinic has 60 g');
    expect(JSON.stringify(body)).toContain('0 % of margin, the clinic has 10 %');
    const why = 'A short tube, and the last of the can.';
    const made = await recipeFor(socketId, { ...less, why });
    expect(made).toMatchObject({ why, asked: { ...less, fibreMassFraction: 0.5 } });
    expect((await readResin(socketId)).recipe).toMatchObject({ why });
    const [event] = await clinic.store.raw<{ why: string }>(
      `select data->>'why' as why from event where subject_id = $1 and kind = 'resin_recipe.made'`,
      [made.id],
    );
    expect(event).toEqual({ why });
    // As much as the clinic takes, or more, asks for none.
    expect(await recipeFor(socketId, { bagLossG: 60, marginPercent: 12 })).toMatchObject({
      why: null,
    });
  });

  test('takes no further cup once its product was withdrawn or its sheet changed; one that is begun goes on', async () => {
    const admin = clinic.as('administrator');
    const change = (productId: string, at: number, to: object) =>
      admin.patch(`/api/v1/resin-products/${productId}`, to, `"${at}"`).expect(200);
    const resinProductId = await productOf({ name: 'Sheet that changes', cupLimitG: 150 });
    const batches = {
      resinBatchId: await batchOf('resin', { resinProductId, quantity: 5_000 }),
      hardenerBatchId: await batchOf('hardener', { resinProductId, quantity: 5_000 }),
    };
    const [untouched, begun] = [await laidUpWithoutLock(shop), await laidUpWithoutLock(shop)];
    const recipes = [
      await recipeFor(untouched, { productId: resinProductId }),
      await recipeFor(begun, { productId: resinProductId }),
    ] as const;
    const waiting = { ...firstCup(recipes[0]), ...batches };
    const [first, second] = cupsOf(recipes[1]);
    await weigh(begun, { ...first, ...batches });
    await change(resinProductId, 1, { partsHardener: 40, revision: 'B' });
    const { body } = await refusedWith(weighCup(shop, untouched, waiting), 'recipe-of-older-sheet');
    expect(JSON.stringify(body)).toContain('partsHardener, revision');
    expect((await weigh(begun, { ...second, ...batches })).outcome).toBe('good');
    const again = await recipeFor(untouched, { productId: resinProductId });
    expect(again.running).toBe(2);
    await change(resinProductId, 2, { active: false });
    const now = { ...firstCup(again), ...batches };
    await refusedWith(weighCup(shop, untouched, now), 'resin-product-withdrawn');
    expect((await recipeFor(untouched)).running).toBe(3);
  });
});

describe('what goes into a cup', () => {
  test('pigment past the recipe’s share stops the work', async () => {
    const socketId = await laidUpWithoutLock(shop);
    const cup = firstCup(await recipeFor(socketId));
    const pigmentBatchId = await batchOf('pigment', { name: 'Sand' });
    const stopped = await weigh(socketId, { ...cup, pigmentG: 60, pigmentBatchId });
    expect(stopped.outcome).toBe('stopped');
    expect(stopped.because.map(({ code }) => code)).toContain('pigment-over-share');
    expect((await readSocket(shop, socketId)).openFindings).toMatchObject([
      { kind: 'out_of_limits' },
    ]);
  });

  test('a batch says once which product it is, by a technician or an administrator', async () => {
    const name = (batchId: string, to: object, as: 'technician' | 'prosthetist', at = 1) =>
      clinic.as(as).patch(`/api/v1/batches/${batchId}`, to, `"${at}"`);
    const resinProductId = shop.resinProduct;
    const nameless = await batchOf('resin');
    await name(nameless, { resinProductId }, 'prosthetist').expect(403);
    const named = await name(nameless, { resinProductId }, 'technician').expect(200);
    expect(named.body).toMatchObject({ resinProductId, resinProduct: RESIN_PRODUCT.name });
    const [event] = await clinic.store.raw<{ data: object }>(
      `select data from event where subject_id = $1 and kind = 'batch.changed'`,
      [nameless],
    );
    expect(event?.data).toEqual({ before: { resinProductId: null }, after: { resinProductId } });
    const other = await productOf({ name: 'Not this one' });
    const otherwise = await name(nameless, { resinProductId: other }, 'technician', 2);
    expect([otherwise.status, otherwise.body.code]).toEqual([409, 'batch-product-stands']);
    const cloth = await name(await batchOf('fabric'), { resinProductId }, 'technician');
    expect(cloth.body.code).toBe('batch-wrong-kind');
    await expect(
      clinic.store.raw('update batch set resin_product_id = $2 where id = $1', [nameless, other]),
    ).rejects.toThrow(/record-is-final/);
  });

  test('what is laid up is a roll of a fabric of the layup', async () => {
    const socketId = await sealedWithoutLock(shop);
    await approvedLayup(shop, socketId);
    const { figures } = await ok<{ figures: { cutList: { fabricId: string }[] } }>(
      clinic.as('technician').get(`/api/v1/sockets/${socketId}/layup`),
    );
    const foreign = await id(
      clinic.as('administrator').post('/api/v1/fabrics', {
        name: 'Other cloth',
        material: 'other_cloth',
        form: 'flat',
        arealDensityGm2: 100,
        widthMm: 1_000,
        fibreDensityGcm3: 2.5,
        stretchPercent: 0,
      }),
    );
    const roll = (fabricId: string | undefined) => batchOf('fabric', { unit: 'm', fabricId });
    const told = await refused('fabric-not-in-layup', socketId, 'lay_up', {
      fabric: { batchId: await roll(foreign) },
    });
    expect(told).toContain('Other cloth');
    const answers = { fabric: { batchId: await roll(figures.cutList[0]?.fabricId) } };
    expect((await recorded(socketId, 'lay_up', answers)).outcome).toBe('done');
  });
});

describe('curing', () => {
  test('for less than the sheet asks, by the clock and by the answer, stops with a finding', async () => {
    const socketId = await laidUpWithoutLock(shop);
    await weighedResin(shop, socketId);
    await recorded(socketId, 'laminate');
    clinic.clock.pass(180);
    const short = await recorded(socketId, 'cure', { cure_hours: 2, cure_temperature_c: 60 });
    expect(short).toMatchObject({ outcome: 'stopped', because: [{ code: 'cured-too-short' }] });
    expect(short.because[0]?.detail).toContain('Laminated 3 h ago, cured for 2 h as answered');
    const { openFindings } = await readSocket(shop, socketId);
    expect(openFindings).toMatchObject([{ id: short.findingId, kind: 'out_of_limits' }]);
    await ok(
      clinic.as('prosthetist').post(`/api/v1/findings/${short.findingId ?? ''}/acceptance`, {
        why: 'The maker has 2 h at 60 °C on another sheet.',
        signature,
      }),
    );
    expect((await operationOf(socketId, 'cure')).state).toBe('done');
  });

  test('when the hours of the sheet are over, or are answered, is done', async () => {
    for (const [minutes, cure_hours] of [
      [12 * 60, 2],
      [60, 12],
    ] as const) {
      clinic.clock.set(START);
      const socketId = await laidUpWithoutLock(shop);
      await weighedResin(shop, socketId);
      await recorded(socketId, 'laminate');
      clinic.clock.pass(minutes);
      expect((await recorded(socketId, 'cure', { cure_hours })).outcome).toBe('done');
      await doOperations(shop, socketId, ['grind_flush']);
    }
  });
});

/** The batches of a cup, cups that stop the work, and what stands beside the recipe (C3). */
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { inClinic } from '../../src/store/act.ts';
import { workersOf } from '../../src/store/socketFacts.ts';
import { cupBench, type RecipeBody } from '../support/cupBench.ts';
import { PASSWORD, testClinic, type TestClinic } from '../support/api.ts';
import {
  doOperations,
  id,
  makeRecipe,
  ok,
  readSocket,
  refusedWith,
  RESIN_PRODUCT,
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

const {
  laidUpSocket,
  recipeFor,
  cupOf,
  firstCup,
  weigh,
  readResin,
  leftOf,
  rework,
  laminateOf,
  laminate,
  batchOf,
} = cupBench(() => shop);

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
    expect(JSON.stringify(body)).toContain(
      'Read its label; a technician or administrator enters which product it is',
    );
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
    const again = await ok<RecipeBody & { asked: object }>(makeRecipe(shop, socketId));
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
        basedOnVersion: 1,
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

/** The layup of a definitive socket: proposed, and drafted (C2). */
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { pick } from '../support/answers.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import { needsManyConnections } from '../support/database.ts';
import {
  acceptedCast,
  makeSocket,
  ok,
  openedOrder,
  readSocket,
  refusedWith,
  stockedShop,
  type Shop,
} from '../support/job.ts';
import { layupBench, type DraftedLine, type LayupBody } from '../support/layupBench.ts';

let clinic: TestClinic;
let shop: Shop;
beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
});
afterAll(() => clinic.close());

const {
  tech,
  prosthetist,
  socketUrl,
  propose,
  proposed,
  draft,
  approve,
  newestOf,
  newest,
  definitive,
  drafted,
  weigh,
  withBraid,
} = layupBench(() => shop);

describe('what the rules propose', () => {
  test('82 kg, K3: two layers of braid and two strips, in the tubes that fit this limb', async () => {
    const { socketId } = await definitive();
    const told = await proposed(socketId);
    expect(told).toMatchObject({ socketId, row: { version: 1, name: 'Nearly everybody' } });
    expect(told.inWords).toEqual([
      'Sheer nylon stockinette 150 mm: 1 layer, along',
      'Carbon strip 50 mm: 1 layer, medial-lateral',
      'Carbon strip 50 mm: 1 layer, anterior-posterior',
      'Carbon braid 150 mm: 2 layers, bias, reflected over the distal end',
      'Sheer nylon stockinette 150 mm: 1 layer, along',
      'tooling plate',
      'Finishing stockinette 150 mm: 1 layer, along',
    ]);
    expect(told.basis).toMatchObject({
      patient: { bodyMassKg: 82, bodyMassOn: '2026-03-01', functionalLevel: 'K3' },
      limb: { castNumber: 1, takenOn: '2026-03-02', cap: { source: 'assumed' } },
      resin: {
        productId: shop.resinProduct,
        densityGcm3: 1.15,
        source: 'Invented sheet 3, revision A',
      },
    });
  });

  test('its figures are those of a hand calculation', async () => {
    // Circumferences 232, 268, 297, 321, 338 mm every 40 mm; by the formulas of C1 (truncated cones;
    // the cap half as deep as its radius, 18.462 mm, its arc and area integrated numerically in
    // 200,000 steps): wall 160.947 mm, arc 44.717 mm, 53014.9 mm², mean circumference 292.664 mm,
    // below the 300 mm of a 150 mm tube, so no take-up. Cut: (wall + arc) + 60 + 50 = 315.66, so 320 mm;
    // braid there and back 2·(205.66 + 60) + 50 = 581.3, so 585 mm; strips 2·(205.66 + 60) = 531.3, so 535 mm.
    // V_f by the formula of the course notes (source in domain/laminate.ts), W_f 0.5, ρ_m 1.15 g/cm³.
    const { figures, formulas } = await proposed((await definitive()).socketId);
    expect(
      figures.cutList.map(({ what, lengthMm, count, massG }) => [what, lengthMm, count, massG]),
    ).toEqual([
      ['Sheer nylon stockinette 150 mm', 320, 1, 4.8],
      ['Carbon strip 50 mm', 535, 1, 8.025],
      ['Carbon strip 50 mm', 535, 1, 8.025],
      ['Carbon braid 150 mm', 585, 1, expect.closeTo(61.425, 9)],
      ['Sheer nylon stockinette 150 mm', 320, 1, 4.8],
      ['Finishing stockinette 150 mm', 320, 1, expect.closeTo(10.56, 9)],
    ]);
    expect(figures['fabricMassG']).toBeCloseTo(97.635, 6);
    expect(figures['laidFabricMassG']).toBeCloseTo(60.5834, 3);
    expect(figures['shellMassG']).toBeCloseTo(121.1668, 3);
    expect(figures['fibreVolumeFraction']).toBeCloseTo(0.408275, 5);
    expect(figures['wallThicknessMm']).toBeCloseTo(1.347623, 6);
    expect(figures['stripThicknessMm']).toBeCloseTo(1.775159, 6);
    expect(figures['distalEndThicknessMm']).toBeCloseTo(2.202695, 6);
    const reckoned = Object.keys(figures).filter((key) => typeof figures[key] === 'number');
    expect(Object.keys(formulas).toSorted()).toEqual(reckoned.toSorted());
    for (const { formula, units, source } of Object.values(formulas)) {
      expect(formula).toContain('=');
      expect(Math.min(units.length, source.length)).toBeGreaterThan(0);
    }
  });

  test('heavier or very active: one more layer of braid, drawn on alone', async () => {
    const { socketId } = await definitive({ massKg: 112 });
    const told = await proposed(socketId);
    expect(told).toMatchObject({ row: { name: 'Heavier' } });
    expect(
      told.figures.cutList.filter(({ what }) => what.startsWith('Carbon braid')),
    ).toMatchObject([
      { count: 1, lengthMm: 585 },
      { count: 1, lengthMm: 320 },
    ]);
  });

  test('the body mass of today counts, not that of the order', async () => {
    const { socketId, patientId } = await definitive({ massKg: 96 });
    await weigh(patientId, 104);
    expect(await proposed(socketId)).toMatchObject({
      row: { name: 'Heavier' },
      basis: { patient: { bodyMassKg: 104, bodyMassOn: '2026-03-02' } },
    });
  });

  test('past the top mass nothing is proposed: the prosthetist writes it, and says why', async () => {
    const { socketId } = await definitive({ massKg: 131 });
    const { status, body } = await refusedWith(propose(socketId), 'layup-past-top-mass');
    expect(status).toBe(422);
    expect(body['wayOut']).toContain('The prosthetist writes the layup');
    const { lines } = await proposed((await definitive({ massKg: 112 })).socketId);
    const missing = await refusedWith(draft(socketId, { lines }), 'layup-why-missing');
    expect(missing.body['detail']).toContain("the clinic's layup rules end at 125 kg");
    const own = { lines: withBraid(lines, 4), why: 'Past the rules: four layers of braid.' };
    const layup = await ok<LayupBody>(prosthetist().post(socketUrl(socketId, 'layups'), own));
    expect(layup).toMatchObject({ ruleRow: null, why: own.why, basis: { row: null } });
    await ok(approve(layup.id));
  });

  test('a limb that no tube of the catalogue reaches round is said to be so', async () => {
    const other = await clinic.another('LN');
    const { socketId } = await definitive({}, await stockedShop(other));
    const { body } = await other.as('technician').get('/api/v1/fabrics');
    for (const { id: fabricId, material, widthMm } of body.items) {
      if (material !== 'structural_braid' || widthMm < 150) continue;
      const url = `/api/v1/fabrics/${fabricId}`;
      await ok(other.as('administrator').patch(url, { active: false }, '"1"'));
    }
    const { body: problem } = await refusedWith(
      other.as('technician').get(socketUrl(socketId, 'layup/proposal')),
      'fabric-too-narrow',
    );
    // A braid of 100 mm flat with 60 per cent of stretch: 2·100·1.6.
    expect(problem['detail']).toContain('stretches to a girth of 320 mm; the limb has 338 mm');
  });

  test('a check socket has no layup, and there is none for a socket that is not there', async () => {
    const { orderId } = await openedOrder(shop);
    await acceptedCast(shop, orderId);
    const { id } = await makeSocket(shop, orderId, { kind: 'check' });
    await refusedWith(propose(id), 'layup-of-definitive-only');
    await refusedWith(
      draft(id, { lines: [{ kind: 'tooling_plate' }] }),
      'layup-of-definitive-only',
    );
    await refusedWith(propose(randomUUID()), 'not-found');
    await refusedWith(newestOf(randomUUID()), 'not-found');
  });

  test('for a patient whom nobody has weighed nothing is chosen', async () => {
    const { socketId, orderId } = await definitive();
    // The desk enters nobody without a body mass; a record that came from elsewhere may lack it.
    await clinic.store.raw(
      `with unweighed as (
         insert into patient (clinic_id, id, chart_number, given_name, family_name, name_key, birth_date, created_at,
           created_by_id)
         select clinic_id, gen_random_uuid(), 'CH-UNWEIGHED', 'Nullus', 'Ponderatus', 'ponderatus nullus', birth_date,
           created_at, created_by_id from patient limit 1
         returning id)
       update fabrication_order set patient_id = (select id from unweighed) where id = $1`,
      [orderId],
    );
    const { status, body } = await refusedWith(propose(socketId), 'layup-without-body-mass');
    expect(status).toBe(422);
    expect(body['detail']).toContain('CH-UNWEIGHED');
    expect(body['wayOut']).toContain('Weigh the patient');
    const own = { lines: [{ kind: 'tooling_plate' }], why: 'As always.' };
    await refusedWith(draft(socketId, own), 'layup-without-body-mass');
  });
});

describe('the resin that is reckoned with', () => {
  const product = (given: object) => ({
    name: 'Bench epoxy',
    chemistry: 'epoxy',
    partsResin: 100,
    partsHardener: 38,
    ratioTolerancePercent: 2,
    densityGcm3: 1.1,
    potLifeMinutes: 20,
    potLifeMassG: 100,
    potLifeTemperatureC: 25,
    cupLimitG: 400,
    cureHours: 12,
    cureTemperatureC: 22,
    document: 'Invented sheet 12',
    revision: 'B',
    ...given,
  });

  test('the only product in use, or the one that is named; a withdrawn one is refused', async () => {
    const other = await clinic.another('LP');
    const { socketId } = await definitive({}, await stockedShop(other));
    const ask = (query = '') =>
      other.as('technician').get(socketUrl(socketId, `layup/proposal${query}`));
    const before = await ok<{ items: { id: string; version: number }[] }>(
      other.as('technician').get('/api/v1/resin-products?active=true'),
    );
    for (const { id, version } of before.items) {
      await ok(
        other
          .as('administrator')
          .patch(`/api/v1/resin-products/${id}`, { active: false }, `"${version}"`),
      );
    }
    expect((await ok<LayupBody>(ask())).basis.resin).toEqual({
      productId: null,
      name: 'a typical laminating resin',
      densityGcm3: 1.15,
      source: 'typical value; common practice, no source',
    });

    const add = (given: object) =>
      ok<{ id: string }>(other.as('administrator').post('/api/v1/resin-products', product(given)));
    const first = await add({});
    const only = await ok<LayupBody>(ask());
    expect(only.basis.resin).toEqual({
      productId: first.id,
      name: 'Bench epoxy',
      densityGcm3: 1.1,
      source: 'Invented sheet 12, revision B',
    });
    // V_f grows with the density of the resin, for the same masses: W_f/ρ_f against (1 − W_f)/ρ_m.
    const second = await add({ name: 'Bench epoxy, dense', densityGcm3: 1.2 });
    const two = await ok<LayupBody>(ask());
    expect(two.basis.resin).toMatchObject({ productId: null, densityGcm3: 1.15 });
    const named = await ok<LayupBody>(ask(`?resinProductId=${second.id}`));
    expect(named.basis.resin).toMatchObject({ productId: second.id, densityGcm3: 1.2 });
    const fractions = [only, two, named].map(({ figures }) => figures['fibreVolumeFraction']!);
    expect(fractions).toEqual(fractions.toSorted((a, b) => a - b));
    expect(new Set(fractions).size).toBe(3);

    await ok(
      other
        .as('administrator')
        .patch(`/api/v1/resin-products/${first.id}`, { active: false }, '"1"'),
    );
    await refusedWith(ask(`?resinProductId=${first.id}`), 'resin-product-withdrawn');
    await refusedWith(ask(`?resinProductId=${randomUUID()}`), 'not-found');
  });
});

describe('the draft', () => {
  test('one layer of nylon is no wall, whatever reason is given', async () => {
    const { socketId } = await definitive({ massKg: 130 });
    const { lines } = await proposed((await definitive()).socketId);
    const thin = { lines: lines.slice(0, 1), why: 'Light as a feather.' };
    const { status, body } = await refusedWith(draft(socketId, thin), 'value-out-of-range');
    expect(status).toBe(400);
    expect(body['detail']).toContain('Expected wall thickness is 0.0873 mm');
    await refusedWith(newestOf(socketId), 'not-found');
  });

  test('as proposed, it says its row and keeps all that it was worked out from', async () => {
    const { socketId, layup } = await drafted();
    expect(layup).toMatchObject({
      running: 1,
      earlier: 0,
      ruleRow: 'Nearly everybody',
      why: null,
      draftedBy: 'Tamás Bench of KL',
      approvedAt: null,
      supersededAt: null,
      basis: {
        row: { version: 1, name: 'Nearly everybody' },
        patient: { bodyMassKg: 82, bodyMassOn: '2026-03-01' },
        allowances: { brimMm: 60, endTieMm: 50, overlapMm: 20, stepMm: 5 },
        fibreMassFraction: 0.5,
      },
    });
    const { figures, basis } = await proposed(socketId);
    expect(layup.figures).toEqual(figures);
    expect(layup.basis).toEqual(basis);
    expect(pick(layup.basis.fabrics, 'name')).toHaveLength(4);
    expect(await newest(socketId)).toEqual(layup);
    const socket = await readSocket(shop, socketId);
    expect(socket).toMatchObject({ layup: { id: layup.id, running: 1, approved: false } });
  });

  test('other layers, or another fibre fraction, are taken with the reason only', async () => {
    const { socketId, lines } = await drafted();
    const { status } = await refusedWith(
      draft(socketId, { lines: withBraid(lines, 3) }),
      'layup-why-missing',
    );
    expect(status).toBe(400);
    await refusedWith(draft(socketId, { lines, fibreMassFraction: 0.45 }), 'layup-why-missing');
    const why = 'Carries loads at work.';
    const layup = await ok<LayupBody>(draft(socketId, { lines: withBraid(lines, 3), why }));
    expect(layup).toMatchObject({ running: 2, earlier: 1, ruleRow: null, why });
    expect(await newest(socketId)).toMatchObject({ id: layup.id });
  });

  test.each<[string, (lines: DraftedLine[]) => object, string, string]>([
    [
      'nothing but the plate',
      () => ({ lines: [{ kind: 'tooling_plate' }] }),
      'layup-without-fabric',
      '/lines',
    ],
    [
      'a fabric that nobody has',
      (lines) => ({ lines: lines.map((line) => ({ ...line, fabric: randomUUID() })).slice(0, 1) }),
      'fabric-unknown',
      '/lines/0/fabric',
    ],
    [
      'braid along the strips’ way',
      (lines) => ({ lines: [{ ...lines[3]!, direction: 'medial_lateral' }] }),
      'layup-line-misfits',
      '/lines/0/direction',
    ],
    [
      'half a layer',
      (lines) => ({ lines: withBraid(lines, 2.5) }),
      'layup-line-misfits',
      '/lines/3/layers',
    ],
    [
      'a fraction in per cent',
      (lines) => ({ lines, fibreMassFraction: 50 }),
      'value-out-of-range',
      '/fibreMassFraction',
    ],
    ['no lines', () => ({ lines: [] }), 'request-invalid', '/lines'],
    [
      'a resin that nobody has',
      (lines) => ({ lines, resinProductId: randomUUID() }),
      'not-found',
      '/resinProductId',
    ],
  ])('%s: refused at its place', async (_title, body, code, pointer) => {
    const { socketId } = await definitive();
    const { lines } = await proposed(socketId);
    const refusal = await refusedWith(draft(socketId, { why: 'As I say.', ...body(lines) }), code);
    expect(pick(refusal.body['errors'], 'pointer')).toContain(pointer);
    await refusedWith(newestOf(socketId), 'not-found');
  });

  test('the same request sent twice drafts one layup', async () => {
    const { socketId } = await definitive();
    const { lines } = await proposed(socketId);
    const key = randomUUID();
    const send = () => tech().post(socketUrl(socketId, 'layups'), { lines }, { key });
    const [first, second] = [await ok<LayupBody>(send()), await ok<LayupBody>(send())];
    expect(second.id).toBe(first.id);
    expect(await newest(socketId)).toMatchObject({ running: 1 });
  });

  test('the desk drafts nothing, and on an order on hold nobody does', async () => {
    const { socketId, orderId, lines } = await drafted();
    await clinic.as('front_desk').post(socketUrl(socketId, 'layups'), { lines }).expect(403);
    await ok(
      clinic
        .as('front_desk')
        .post(`/api/v1/orders/${orderId}/hold`, { holdReason: 'parts_awaited' }),
    );
    await refusedWith(draft(socketId, { lines }), 'order-on-hold');
  });

  needsManyConnections('of two drafts at once one is the newest, and both are kept', async () => {
    const { socketId } = await definitive();
    const { lines } = await proposed(socketId);
    const both = await Promise.all([draft(socketId, { lines }), draft(socketId, { lines })]);
    expect(both.map(({ status }) => status)).toEqual([201, 201]);
    expect(both.map(({ body }) => (body as LayupBody).running).toSorted()).toEqual([1, 2]);
    expect(await newest(socketId)).toMatchObject({ running: 2, supersededAt: null });
  });
});

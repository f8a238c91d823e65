/** The layup of a definitive socket: proposed, drafted, approved by signature, laid up (C2). */
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { contentSha256, type Json } from '../../src/store/events.ts';
import { pick } from '../support/answers.ts';
import { PASSWORD, testClinic, type TestClinic } from '../support/api.ts';
import { needsManyConnections } from '../support/database.ts';
import {
  acceptedCast,
  approvedLayup,
  doOperation,
  doOperations,
  goodAnswers,
  inBin,
  inPosition,
  makeRecipe,
  makeSocket,
  move,
  ok,
  openedOrder,
  readSocket,
  refusedWith,
  stockedShop,
  weighCup,
  weighedResin,
  type ResinBody,
  type Shop,
} from '../support/job.ts';

const signature = { password: PASSWORD };
let clinic: TestClinic;
let shop: Shop;
beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
});
afterAll(() => clinic.close());

interface Line {
  kind: string;
  fabric: string;
  layers: number;
}
interface Layup {
  id: string;
  running: number;
  earlier: number;
  ruleRow: string | null;
  why: string | null;
  lines: Line[];
  inWords: string[];
  figures: Record<string, number> & {
    cutList: { what: string; lengthMm: number; count: number; massG: number }[];
    section: object[];
  };
  formulas: Record<string, { formula: string; units: string; source: string }>;
  basis: {
    patient: object;
    row: object | null;
    limb: { cap: object };
    fabrics: { id: string; name: string }[];
    resin: Record<string, unknown>;
  };
  approvedAt: string | null;
  approvedBy: string | null;
  supersededAt: string | null;
  signatureId: string | null;
}

const tech = () => clinic.as('technician');
const admin = () => clinic.as('administrator');
const prosthetist = () => clinic.as('prosthetist');
const socketUrl = (socketId: string, part: string) => `/api/v1/sockets/${socketId}/${part}`;
const propose = (socketId: string, query = '') =>
  tech().get(socketUrl(socketId, `layup/proposal${query}`));
const proposed = (socketId: string) => ok<Layup>(propose(socketId));
const draft = (socketId: string, body: object) => tech().post(socketUrl(socketId, 'layups'), body);
const approve = (layupId: string, given: object = signature) =>
  prosthetist().post(`/api/v1/layups/${layupId}/approval`, { signature: given });
const newestOf = (socketId: string) => tech().get(socketUrl(socketId, 'layup'));
const newest = (socketId: string) => ok<Layup>(newestOf(socketId));

const skipCheckFitting = (in_: Shop, orderId: string) =>
  ok(
    in_.clinic.as('prosthetist').post(`/api/v1/orders/${orderId}/skip-check-fitting`, {
      reason: 'An exact copy of the socket before.',
      signature,
    }),
  );

/** An order for a limb of its own, its check fitting skipped, and the definitive socket of it. */
async function definitive(
  order: Parameters<typeof openedOrder>[1] = {},
  in_ = shop,
): Promise<{ socketId: string; orderId: string; patientId: string }> {
  const { orderId, patientId } = await openedOrder(in_, order);
  await acceptedCast(in_, orderId);
  await skipCheckFitting(in_, orderId);
  const { id } = await makeSocket(in_, orderId, { kind: 'definitive' });
  return { socketId: id, orderId, patientId };
}

/** A draft as the rules propose it. */
async function drafted(order: Parameters<typeof definitive>[0] = {}) {
  const made = await definitive(order);
  const { lines } = await proposed(made.socketId);
  const layup = await ok<Layup>(draft(made.socketId, { lines }));
  return { ...made, layup, lines };
}

let weighings = 0;
const weigh = (patientId: string, massKg: number) =>
  ok(
    tech().post(`/api/v1/patients/${patientId}/body-masses`, {
      massKg,
      measuredOn: '2026-03-02',
      confirmed: (weighings += 1) > 0,
    }),
  );
const withBraid = (lines: readonly Line[], layers: number): Line[] =>
  lines.map((line, at) => (at === 3 ? { ...line, layers } : line));

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
    const layup = await ok<Layup>(prosthetist().post(socketUrl(socketId, 'layups'), own));
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
    expect((await ok<Layup>(ask())).basis.resin).toEqual({
      productId: null,
      name: 'a typical laminating resin',
      densityGcm3: 1.15,
      source: 'typical value; common practice, no source',
    });

    const add = (given: object) =>
      ok<{ id: string }>(other.as('administrator').post('/api/v1/resin-products', product(given)));
    const first = await add({});
    const only = await ok<Layup>(ask());
    expect(only.basis.resin).toEqual({
      productId: first.id,
      name: 'Bench epoxy',
      densityGcm3: 1.1,
      source: 'Invented sheet 12, revision B',
    });
    // V_f grows with the density of the resin, for the same masses: W_f/ρ_f against (1 − W_f)/ρ_m.
    const second = await add({ name: 'Bench epoxy, dense', densityGcm3: 1.2 });
    const two = await ok<Layup>(ask());
    expect(two.basis.resin).toMatchObject({ productId: null, densityGcm3: 1.15 });
    const named = await ok<Layup>(ask(`?resinProductId=${second.id}`));
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
    const layup = await ok<Layup>(draft(socketId, { lines: withBraid(lines, 3), why }));
    expect(layup).toMatchObject({ running: 2, earlier: 1, ruleRow: null, why });
    expect(await newest(socketId)).toMatchObject({ id: layup.id });
  });

  test.each<[string, (lines: Line[]) => object, string, string]>([
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
    const [first, second] = [await ok<Layup>(send()), await ok<Layup>(send())];
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
    expect(both.map(({ body }) => (body as Layup).running).toSorted()).toEqual([1, 2]);
    expect(await newest(socketId)).toMatchObject({ running: 2, supersededAt: null });
  });
});

describe('the approval', () => {
  test('is a signature bound to layers, figures and basis', async () => {
    const { layup, orderId } = await drafted();
    await refusedWith(approve(layup.id, { password: 'not my password' }), 'signature-not-verified');
    await clinic
      .as('technician')
      .post(`/api/v1/layups/${layup.id}/approval`, { signature })
      .expect(403);
    const approved = await ok<Layup>(approve(layup.id));
    expect(approved).toMatchObject({
      approvedAt: '2026-03-02T09:00:00.000Z',
      approvedBy: 'Paula Fitting of KL',
    });
    const [signed] = await clinic.store.raw<{ content: Json; sha: string; meaning: string }>(
      `select content, content_sha256 as sha, meaning from signature where id = $1`,
      [approved.signatureId],
    );
    const [kept] = await clinic.store.raw<{ lines: Json; basis: Json; figures: Json }>(
      `select lines, basis, figures from layup where id = $1`,
      [layup.id],
    );
    expect(signed?.meaning).toBe('layup_approved');
    expect(signed?.content).toMatchObject({ layup: 1, ruleRow: 'Nearly everybody', ...kept });
    expect(contentSha256(signed?.content ?? null)).toBe(signed?.sha);
    const history = await tech().get(`/api/v1/orders/${orderId}/history?limit=100`);
    expect(pick(history.body.items, 'kind')).toEqual(
      expect.arrayContaining(['layup.drafted', 'record.signed', 'layup.approved']),
    );
  });

  test('comes once, and on the newest layup only', async () => {
    const { socketId, layup, lines } = await drafted();
    const later = await ok<Layup>(draft(socketId, { lines }));
    const { status } = await refusedWith(approve(layup.id), 'layup-is-superseded');
    expect(status).toBe(409);
    await ok(approve(later.id));
    await refusedWith(approve(later.id), 'layup-already-approved');
    await refusedWith(approve(randomUUID()), 'not-found');
  });

  test('an approved layup is superseded with a reason only, and the new one is to be signed', async () => {
    const { socketId, layup, lines } = await drafted();
    await ok(approve(layup.id));
    await refusedWith(draft(socketId, { lines }), 'layup-approved-before');
    const why = 'Strip of another roll; cut again.';
    const later = await ok<Layup>(draft(socketId, { lines, why }));
    expect(later).toMatchObject({ running: 2, ruleRow: 'Nearly everybody', why, approvedAt: null });
    expect(await readSocket(shop, socketId)).toMatchObject({
      layup: { id: later.id, approved: false },
    });
  });

  test('is refused where another row is for the patient by now; drafted anew it goes through', async () => {
    const { socketId, patientId, layup } = await drafted({ massKg: 97 });
    await weigh(patientId, 99.5);
    await weigh(patientId, 103);
    const { status, body } = await refusedWith(approve(layup.id), 'layup-basis-changed');
    expect(status).toBe(409);
    expect(body['detail']).toMatch(/the patient has 103 kg, K3; .* “Nearly everybody”.* “Heavier”/);
    expect(body['wayOut']).toContain('Draft the layup anew');
    const { lines } = await proposed(socketId);
    const anew = await ok<Layup>(draft(socketId, { lines }));
    expect(anew.ruleRow).toBe('Heavier');
    await ok(approve(anew.id));
  });

  test('a body mass within the row holds nothing up', async () => {
    const { patientId, layup } = await drafted({ massKg: 90 });
    await weigh(patientId, 97);
    await ok(approve(layup.id));
  });

  test('is refused where a fabric of it has another sheet, or is withdrawn', async () => {
    const { layup } = await drafted();
    const strip = layup.basis.fabrics.find(({ name }) => name.startsWith('Carbon strip'))!;
    const url = `/api/v1/fabrics/${strip.id}`;
    const { body } = await admin().patch(url, { arealDensityGm2: 310 }, '"1"').expect(200);
    const { body: problem } = await refusedWith(approve(layup.id), 'layup-basis-changed');
    expect(problem['detail']).toContain('Carbon strip 50 mm has another sheet by now');
    const back = await admin()
      .patch(url, { arealDensityGm2: 300 }, `"${body.version}"`)
      .expect(200);
    const withdrawn = await admin()
      .patch(url, { active: false }, `"${back.body.version}"`)
      .expect(200);
    const { body: gone } = await refusedWith(approve(layup.id), 'layup-basis-changed');
    expect(gone['detail']).toContain('Carbon strip 50 mm is withdrawn');
    await admin().patch(url, { active: true }, `"${withdrawn.body.version}"`).expect(200);
    await ok(approve(layup.id));
  });

  test('is refused where new rules ask for other layers, not where they say the same', async () => {
    const { layup } = await drafted();
    const { body: rules } = await admin().get('/api/v1/layup-rules');
    const { topBodyMassKg, fibreMassFraction, allowances, rows } = rules;
    const same = { topBodyMassKg, fibreMassFraction, allowances, rows };
    const [first, ...rest] = rows as { lines: Line[] }[];
    const other = { ...same, rows: [{ ...first!, lines: withBraid(first!.lines, 4) }, ...rest] };
    await ok(admin().post('/api/v1/layup-rules', { basedOnVersion: 1, ...other }));
    const { body } = await refusedWith(approve(layup.id), 'layup-basis-changed');
    expect(body['detail']).toContain('row “Nearly everybody” of version 2');
    await ok(admin().post('/api/v1/layup-rules', { basedOnVersion: 2, ...same }));
    await ok(approve(layup.id));
  });

  needsManyConnections(
    'a draft and an approval at once: never an approved layup behind another',
    async () => {
      const { socketId, layup, lines } = await drafted();
      const [later, approval] = await Promise.all([draft(socketId, { lines }), approve(layup.id)]);
      const codes = [later.body.code, approval.body.code].filter((code) => code !== undefined);
      expect([['layup-approved-before'], ['layup-is-superseded']]).toContainEqual(codes);
    },
  );
});

describe('laying up', () => {
  async function sealed() {
    const made = await definitive();
    await doOperations(shop, made.socketId, ['prepare_model', 'seal_model']);
    const dummy = { shopToolId: shop.dummy };
    const place = inPosition(made.socketId, 'dummy');
    await ok(move(shop, dummy, inBin(shop), place, 'mounted_for_lamination'));
    await doOperation(shop, made.socketId, 'mount_dummy');
    const takeBack = () => ok(move(shop, dummy, place, inBin(shop), 'pulled_after_cure'));
    return { ...made, takeBack };
  }
  const layUp = async (socketId: string) => {
    const socket = await readSocket(shop, socketId);
    const operation = socket.operations.find(({ kind }) => kind === 'lay_up')!;
    return tech().post(`/api/v1/operations/${operation.id}/records`, {
      answers: goodAnswers(shop, operation),
    });
  };
  const refusal = async (socketId: string): Promise<string> => {
    const { status, body } = await layUp(socketId);
    expect({ status, code: body.code }).toEqual({ status: 422, code: 'facts-do-not-bear-it-out' });
    return body.detail as string;
  };

  test('no fabric is laid before the newest layup of the socket is approved', async () => {
    const { socketId, takeBack } = await sealed();
    expect(await refusal(socketId)).toContain('no layup is drafted');
    const { lines } = await proposed(socketId);
    const first = await ok<Layup>(draft(socketId, { lines }));
    expect(await refusal(socketId)).toContain('layup 1 is not approved');
    await ok(approve(first.id));
    await ok(draft(socketId, { lines, why: 'Cut again.' }));
    expect(await refusal(socketId)).toContain('layup 2 is not approved');
    await ok(approve((await newest(socketId)).id));
    expect((await layUp(socketId)).body).toMatchObject({ outcome: 'done' });
    await takeBack();
  });

  test('it cannot be left out', async () => {
    const { socketId, takeBack } = await sealed();
    const socket = await readSocket(shop, socketId);
    const operation = socket.operations.find(({ kind }) => kind === 'lay_up');
    await refusedWith(
      prosthetist().post(`/api/v1/operations/${operation?.id ?? ''}/leave-out`, {
        why: 'We know the layup.',
      }),
      'operation-is-needed',
    );
    await takeBack();
  });

  async function sealedWithoutDummy() {
    const made = await definitive({ suspension: 'suction' });
    await doOperations(shop, made.socketId, ['prepare_model', 'seal_model']);
    return made;
  }
  const stateOf = async (socketId: string, kind: string) =>
    (await readSocket(shop, socketId)).operations.find((each) => each.kind === kind)?.state;

  test('another layup approved after the fabric is laid: laying up is recorded anew', async () => {
    const { socketId } = await sealedWithoutDummy();
    await approvedLayup(shop, socketId);
    await doOperation(shop, socketId, 'lay_up');
    const { lines } = await newest(socketId);
    const thicker = withBraid(lines, 4);
    const second = await ok<Layup>(draft(socketId, { lines: thicker, why: 'Side loads.' }));
    // A draft changes nothing on the model yet.
    expect(await stateOf(socketId, 'lay_up')).toBe('done');
    await ok(approve(second.id));
    expect(await stateOf(socketId, 'lay_up')).toBe('waiting');
    const operation = (await readSocket(shop, socketId)).operations.find(
      ({ kind }) => kind === 'lay_up',
    )!;
    const [event] = await clinic.store.raw(
      `select data from event where kind = 'operation.to_do_again' and subject_id = $1`,
      [operation.id],
    );
    expect(event).toMatchObject({
      data: {
        before: 'done',
        why: 'Layup 2 was approved after the fabric was laid by another one.',
      },
    });
    await doOperation(shop, socketId, 'lay_up');
    await weighedResin(shop, socketId);
    await doOperation(shop, socketId, 'laminate');
  });

  test('a patient who grows out of the row, or gets more active, is laid up by a new layup', async () => {
    const { socketId, orderId, patientId } = await sealedWithoutDummy();
    await approvedLayup(shop, socketId);
    await weigh(patientId, 112);
    expect(await refusal(socketId)).toContain(
      'layup 1 no longer holds: the patient has 112 kg, K3; it was drafted by row “Nearly everybody”',
    );
    await weigh(patientId, 97);
    const { headers } = await prosthetist().get(`/api/v1/orders/${orderId}`);
    const active = { functionalLevel: 'K4' };
    await ok(prosthetist().patch(`/api/v1/orders/${orderId}`, active, String(headers['etag'])));
    expect(await refusal(socketId)).toContain('the rules now have row “Very active”');
    const { lines } = await proposed(socketId);
    await ok(approve((await ok<Layup>(draft(socketId, { lines, why: 'K4 now.' }))).id));
    expect((await layUp(socketId)).body).toMatchObject({ outcome: 'done' });
  });

  test('grown too heavy for what is laid up: a finding, which only a signature accepts', async () => {
    const { socketId, patientId } = await sealedWithoutDummy();
    await approvedLayup(shop, socketId);
    await weigh(patientId, 99);
    expect((await layUp(socketId)).body).toMatchObject({ outcome: 'done' });
    const told = await weigh(patientId, 108);
    const { number } = await readSocket(shop, socketId);
    expect(told).toMatchObject({
      warnings: [
        {
          code: 'layup-outgrown',
          detail: `Layup 1 of ${number} was made for up to 100 kg; the patient has 108 kg.`,
          socket: number,
        },
      ],
    });
    const { openFindings } = await readSocket(shop, socketId);
    expect(openFindings).toMatchObject([{ kind: 'over_rated_mass' }]);
    // A second weighing opens no second one; the acceptance leaves laying up as it was.
    await weigh(patientId, 109);
    expect((await readSocket(shop, socketId)).openFindings).toHaveLength(1);
    const accept = `/api/v1/findings/${openFindings[0]!.id}/acceptance`;
    await ok(prosthetist().post(accept, { why: 'Walks indoors only.', signature }));
    expect(await readSocket(shop, socketId)).toMatchObject({ openFindings: [] });
    expect(await stateOf(socketId, 'lay_up')).toBe('done');
  });

  test('once a lamination is on record its layup stays as it is, whatever became of it', async () => {
    const { socketId } = await sealedWithoutDummy();
    await approvedLayup(shop, socketId);
    const { lines } = await newest(socketId);
    await doOperation(shop, socketId, 'lay_up');
    await weighedResin(shop, socketId);
    const socket = await readSocket(shop, socketId);
    const laminate = socket.operations.find(({ kind }) => kind === 'laminate')!;
    const answers = { ...goodAnswers(shop, laminate), vacuum_kpa: 10 };
    const { findingId } = await ok<{ findingId: string }>(
      tech().post(`/api/v1/operations/${laminate.id}/records`, { answers }),
    );
    const late = () => draft(socketId, { lines, why: 'Too late.' });
    await refusedWith(late(), 'layup-already-laminated');
    const again = { disposition: 'rework', why: 'The bag is sealed anew.' };
    await ok(tech().post(`/api/v1/findings/${findingId}/disposition`, again));
    expect(await stateOf(socketId, 'laminate')).toBe('waiting');
    const { body } = await refusedWith(late(), 'layup-already-laminated');
    expect(body['detail']).toBe(
      `A lamination of ${socket.number} is on record; its layup stays as it is.`,
    );
  });

  test('a cup off its ratio was not poured: there is still time for another layup', async () => {
    const { socketId } = await sealedWithoutDummy();
    await approvedLayup(shop, socketId);
    const { lines } = await newest(socketId);
    await doOperation(shop, socketId, 'lay_up');
    const { pours } = await ok<ResinBody['recipe']>(makeRecipe(shop, socketId));
    const { totalG: _sum, ...cup } = pours[0]!;
    const off = { ...cup, hardenerG: Math.round(0.8 * cup.hardenerG) };
    expect(await ok(weighCup(shop, socketId, off))).toMatchObject({ outcome: 'stopped' });
    expect(await stateOf(socketId, 'laminate')).toBe('stopped');
    await ok(approve((await ok<Layup>(draft(socketId, { lines, why: 'Cut anew.' }))).id));
    expect(await stateOf(socketId, 'lay_up')).toBe('waiting');
  });

  test('once the socket is laminated its layup stays as it is', async () => {
    const { socketId, takeBack } = await sealed();
    await approvedLayup(shop, socketId);
    const { lines } = await newest(socketId);
    await doOperation(shop, socketId, 'lay_up');
    // Between laying up and resin there is still time.
    await ok(draft(socketId, { lines, why: 'One strip more; the first lies on the bench.' }));
    await ok(approve((await newest(socketId)).id));
    await doOperation(shop, socketId, 'lay_up');
    await weighedResin(shop, socketId);
    await doOperation(shop, socketId, 'laminate');
    await refusedWith(draft(socketId, { lines, why: 'Too late.' }), 'layup-already-laminated');
    await takeBack();
  });
});

describe('the section', () => {
  test('is drawn as SVG for everybody, named after its socket', async () => {
    const { socketId, layup } = await drafted();
    const { number } = await readSocket(shop, socketId);
    const answer = await clinic.as('auditor').get(`/api/v1/layups/${layup.id}/section.svg`);
    expect(answer.status).toBe(200);
    expect(answer.headers['content-type']).toContain('image/svg+xml');
    expect(answer.headers['content-disposition']).toContain(
      `layup-${number.replaceAll('/', '-')}-1.svg`,
    );
    const svg = answer.text || String(answer.body);
    expect(svg).toContain(`<title>Layup 1 of ${number}, draft, not approved</title>`);
    expect(svg).toContain('wall 1.35 mm, medial, lateral 1.78 mm');
    await ok(approve(layup.id));
    const signed = await clinic.as('auditor').get(`/api/v1/layups/${layup.id}/section.svg`);
    expect(signed.text || String(signed.body)).toContain(`Layup 1 of ${number}, approved`);
  });
});

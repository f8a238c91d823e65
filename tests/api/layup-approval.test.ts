/** The layup of a definitive socket: approved by signature, laid up, drawn (C2). */
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { contentSha256, type Json } from '../../src/store/events.ts';
import { pick } from '../support/answers.ts';
import { PASSWORD, testClinic, type TestClinic } from '../support/api.ts';
import { needsManyConnections } from '../support/database.ts';
import {
  approvedLayup,
  doOperation,
  doOperations,
  goodAnswers,
  inBin,
  inPosition,
  makeRecipe,
  move,
  ok,
  readSocket,
  refusedWith,
  stockedShop,
  weighCup,
  weighedResin,
  type ResinBody,
  type Shop,
} from '../support/job.ts';
import { layupBench, type DraftedLine, type LayupBody } from '../support/layupBench.ts';

const signature = { password: PASSWORD };
let clinic: TestClinic;
let shop: Shop;
beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
});
afterAll(() => clinic.close());

const {
  tech,
  admin,
  prosthetist,
  proposed,
  draft,
  approve,
  newest,
  definitive,
  drafted,
  weigh,
  withBraid,
} = layupBench(() => shop);

describe('the approval', () => {
  test('is a signature bound to layers, figures and basis', async () => {
    const { layup, orderId } = await drafted();
    await refusedWith(approve(layup.id, { password: 'not my password' }), 'signature-not-verified');
    await clinic
      .as('technician')
      .post(`/api/v1/layups/${layup.id}/approval`, { signature })
      .expect(403);
    const approved = await ok<LayupBody>(approve(layup.id));
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
    const later = await ok<LayupBody>(draft(socketId, { lines }));
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
    const later = await ok<LayupBody>(draft(socketId, { lines, why }));
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
    const anew = await ok<LayupBody>(draft(socketId, { lines }));
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
    const [first, ...rest] = rows as { lines: DraftedLine[] }[];
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
    const first = await ok<LayupBody>(draft(socketId, { lines }));
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
    const second = await ok<LayupBody>(draft(socketId, { lines: thicker, why: 'Side loads.' }));
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
    await ok(approve((await ok<LayupBody>(draft(socketId, { lines, why: 'K4 now.' }))).id));
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
    await ok(approve((await ok<LayupBody>(draft(socketId, { lines, why: 'Cut anew.' }))).id));
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

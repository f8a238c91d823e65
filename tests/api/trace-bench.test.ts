/** What the bench worked out for a limb, as an auditor asks the trace: measures, layups, resin (C1 to C3). */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Role } from '../../src/domain/words.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import {
  auditedLimb,
  decidedOn,
  girthTimes,
  limbBeside,
  measuredAgain,
  SHORT_G,
} from '../support/auditedLimb.ts';
import { ok, stockedShop, type ResinBody, type Shop } from '../support/job.ts';
import { readPdf } from '../support/pdf.ts';
import { readCsv } from '../support/readCsv.ts';
import { only, traced, whats, type TracedRow } from '../support/traced.ts';

let clinic: TestClinic;
let shop: Shop;
let audited: Awaited<ReturnType<typeof auditedLimb>>;
/** Laid up and weighed beside it, from the same batches. */
let bystander: Awaited<ReturnType<typeof limbBeside>>;
let fabricMassG: number;
let lots: { resin: string; hardener: string };

const trace = (query: string, role?: Role) => traced(clinic, query, role);
const nameOf = (role: Role): string => clinic.people[role].caller.printedName;
const lotOf = async (batch: string): Promise<string> =>
  (
    await ok<{ lot: string }>(
      clinic.as('technician').get(`/api/v1/batches/${shop.batches[batch] ?? ''}`),
    )
  ).lot;

beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
  lots = { resin: await lotOf('resin'), hardener: await lotOf('hardener') };
  audited = await auditedLimb(shop);
  clinic.clock.pass(60);
  bystander = await limbBeside(shop);
  const { figures } = await ok<{ figures: { fabricMassG: number } }>(
    clinic.as('auditor').get(`/api/v1/sockets/${audited.socketId}/layup`),
  );
  fabricMassG = figures.fabricMassG;
});
afterAll(() => clinic.close());

describe('which layup was it made by, and who approved it', () => {
  test('the trace of the socket tells each draft, the one approved, and by whom', async () => {
    const rows = only(await trace(`socket=${audited.number}`), 'layup');
    expect(rows).toMatchObject([
      {
        who: nameOf('technician'),
        details: {
          step: 'drafted',
          layup: 1,
          rule: null,
          why: 'Lifts at work.',
          signatureId: null,
          standsNow: false,
        },
      },
      {
        who: nameOf('technician'),
        details: {
          step: 'drafted',
          layup: 2,
          rule: { version: 1, row: 'Nearly everybody' },
          why: null,
          signatureId: null,
          standsNow: true,
        },
      },
      {
        who: nameOf('prosthetist'),
        socketNumber: audited.number,
        details: { step: 'approved', layup: 2, fabricMassG, signatureId: expect.any(String) },
      },
    ]);
    const [first, second, approval] = whats(rows);
    expect(first).toContain('layup 1 drafted not by the rules (Lifts at work.): wall ');
    expect(first).toContain('Carbon braid 150 mm: 4 layers, bias');
    expect(second).toContain('layup 2 drafted by rules version 1, “Nearly everybody”: wall ');
    expect(second).toContain(
      'inside to outside: Sheer nylon stockinette 150 mm: 1 layer, along; Carbon strip 50 mm: 1 layer, medial-lateral;',
    );
    expect(second).toContain('; tooling plate; ');
    expect(approval).toMatch(/^layup 2 approved: wall \d+(\.\d)? mm, \d+ g of fabric$/);
  });

  test('with the signature of the approval, which signs that very layup', async () => {
    const rows = await trace(`socket=${audited.number}`);
    const approval = only(rows, 'layup').at(-1);
    const signed = only(rows, 'signature').filter(
      ({ details }) => details['subjectKind'] === 'layup',
    );
    expect(signed).toMatchObject([
      {
        recordId: approval?.details['signatureId'],
        what: 'signed: layup approved (layup)',
        socketNumber: audited.number,
        who: nameOf('prosthetist'),
        details: { subjectId: approval?.recordId },
      },
    ]);
  });

  test('of each record one row, page by page as in one piece', async () => {
    const whole = await trace(`order=${audited.orderId}`);
    const told: string[] = [];
    let after = '';
    do {
      const page = await ok<{ rows: TracedRow[]; next: string | null }>(
        clinic.as('auditor').get(`/api/v1/trace?order=${audited.orderId}&limit=3${after}`),
      );
      told.push(...whats(page.rows));
      after = page.next === null ? '' : `&after=${page.next}`;
    } while (after !== '');
    expect(told).toEqual(whats(whole));
    const keys = whole.map(({ kind, recordId, details }) =>
      [kind, recordId, details['step']].join(' '),
    );
    expect(new Set(keys).size).toBe(keys.length);
  });
});

describe('how much resin of which batch went into it, and was it on ratio', () => {
  test('the recipe: for which layup, in what product by which sheet, how much in how many cups', async () => {
    const rows = only(await trace(`socket=${audited.socketId}`), 'recipe');
    const { recipe } = await ok<ResinBody>(
      clinic.as('auditor').get(`/api/v1/sockets/${audited.socketId}/resin`),
    );
    const cups = recipe.pours.length;
    const total = (of: 'resinG' | 'hardenerG') =>
      recipe.pours.reduce((sum, pour) => sum + pour[of], 0);
    expect(rows).toMatchObject([
      {
        recordId: recipe.id,
        who: nameOf('technician'),
        what: `resin recipe 1 for layup 2: Invented laminating epoxy 100:38 by Invented sheet 3 A, ${total('resinG')} g of resin, ${total('hardenerG')} g of hardener in ${cups} ${cups === 1 ? 'cup' : 'cups'}`,
        details: { recipe: 1, layup: 2, cups, pigmentG: 0, standsNow: true },
      },
    ]);
    // Half of fibre by mass: as much resin as fabric; the clinic loses 60 g.
    expect(rows[0]?.details['neededG']).toBeCloseTo(fabricMassG + 60, 6);
  });

  test('each cup: short of hardener it stopped the work, and was put right with what was missing', async () => {
    const rows = await trace(`socket=${audited.socketId}`);
    const [stopped, right] = only(rows, 'weighing').filter(({ details }) => details['cup'] === 1);
    const { resinG, hardenerG } = audited.cup;
    const from = (batchKind: 'resin' | 'hardener', amount: number) => ({
      batchId: shop.batches[batchKind],
      batchKind,
      lot: lots[batchKind],
      amount,
      unit: 'g',
    });
    expect(stopped).toMatchObject({
      who: nameOf('technician'),
      socketNumber: audited.number,
      details: {
        recipe: 1,
        attempt: 1,
        putsRight: false,
        stopped: true,
        because: [{ code: 'resin-off-ratio' }],
        ratioTolerancePercent: 2,
        batches: [from('resin', resinG), from('hardener', hardenerG - SHORT_G)],
      },
    });
    expect(stopped?.details['offRatioPercent']).toBeCloseTo(
      100 * (((hardenerG - SHORT_G) * 100) / (resinG * 38) - 1),
      6,
    );
    const finding = only(rows, 'finding').find(({ details }) => details['step'] === 'opened');
    expect(stopped?.details['findingId']).toBe(finding?.recordId);
    expect(stopped?.what).toContain(
      `cup 1 of recipe 1 weighed, ${resinG} g of resin, ${hardenerG - SHORT_G} g of hardener; drawn: resin lot ${lots.resin} ${resinG} g, hardener lot ${lots.hardener} ${hardenerG - SHORT_G} g; stopped: ${hardenerG - SHORT_G} g of hardener to ${resinG} g of resin is `,
    );
    expect(right).toMatchObject({
      details: {
        attempt: 2,
        putsRight: true,
        stopped: false,
        because: [],
        findingId: null,
        resinG,
        hardenerG,
        batches: [from('hardener', SHORT_G)],
      },
    });
    expect(right?.what).toMatch(
      new RegExp(
        `^cup 1 of recipe 1 put right, ${resinG} g of resin, ${hardenerG} g of hardener; drawn: hardener lot ${lots.hardener} ${SHORT_G} g; on ratio within 2 %( \\(hardener [\\d.]+ % too (little|much)\\))?$`,
      ),
    );
  });

  test('the amounts of the cups are what the batch was drawn down by', async () => {
    const rows = await trace(`batch=${shop.batches['resin'] ?? ''}`);
    const drawn = (kind: 'weighing' | 'batch_use', number: string): number =>
      only(rows, kind)
        .filter(({ socketNumber }) => socketNumber === number)
        .flatMap(({ details }) =>
          kind === 'batch_use'
            ? [Number(details['amount'])]
            : (details['batches'] as { batchKind: string; amount: number }[])
                .filter(({ batchKind }) => batchKind === 'resin')
                .map(({ amount }) => amount),
        )
        .reduce((sum, amount) => sum + amount, 0);
    for (const { number } of [audited, bystander]) {
      expect(drawn('weighing', number)).toBeGreaterThan(0);
      expect(drawn('weighing', number)).toBe(drawn('batch_use', number));
    }
    expect(new Set(rows.map(({ kind }) => kind))).toEqual(new Set(['batch_use', 'weighing']));
    // Nothing but hardener was put into the stopped cup: the resin's batch does not tell of that.
    expect(whats(rows).filter((what) => what.includes('put right'))).toEqual([]);
    const hardener = await trace(`batch=${lots.hardener}`);
    expect(whats(hardener).filter((what) => what.includes('put right'))).toHaveLength(1);
  });
});

describe('how had the limb changed, and what was decided', () => {
  const MEASURED =
    'limb measured on 2026-03-02 (fitting): 5 heights, 222.7 to 324.5 mm around, 165 mm long; Came without its shrinker.';
  const DECIDED =
    /^limb shrunk by 7\.8 % \([\d.]+ mL\) from cast 1 of 2026-03-02 to fitting of 2026-03-02, past 5 %, worth 7 ply on; decided: socks, Wears the old liner again\.$/;

  test('the order tells the measures and the decision; the cast’s own measures stand in the cast', async () => {
    const rows = await trace(`order=${audited.orderId}`);
    expect(only(rows, 'cast')).toHaveLength(1);
    expect(only(rows, 'measures')).toMatchObject([
      {
        what: MEASURED,
        who: nameOf('prosthetist'),
        socketNumber: audited.number,
        details: {
          occasion: 'fitting',
          takenOn: '2026-03-02',
          limbLengthMm: 165,
          capDepthMm: null,
        },
      },
    ]);
    expect(only(rows, 'measures')[0]?.details['measures']).toEqual(girthTimes(0.96));
    const [decision, ...more] = only(rows, 'volume_decision');
    expect(more).toEqual([]);
    expect(decision).toMatchObject({
      who: nameOf('prosthetist'),
      details: {
        decision: 'socks',
        limitPercent: 5,
        first: { occasion: 'cast', castNumber: 1 },
        second: { occasion: 'fitting', castNumber: null },
      },
    });
    expect(decision?.what).toMatch(DECIDED);
  });

  test('asked by the patient or by the socket on trial, the same is told', async () => {
    const limb = async (query: string) =>
      whats(only(await trace(query), 'measures', 'volume_decision'));
    const told = await limb(`order=${audited.orderId}`);
    expect(told).toHaveLength(2);
    expect(await limb(`patient=${audited.patientId}`)).toEqual(told);
    expect(await limb(`socket=${audited.number}`)).toEqual(told);
    expect(await limb(`socket=${bystander.number}`)).toEqual([]);
  });

  test('measures of a later order are told there; decided against the cast of the first, they are told of its socket too', async () => {
    const { orderId, number, patientId } = bystander;
    const later = await ok<{ id: string; number: string }>(
      clinic.as('front_desk').post('/api/v1/orders', {
        patientId,
        side: 'left',
        level: 'trans_tibial',
        suspension: 'suction',
        functionalLevel: 'K3',
        promisedOn: '2026-12-10',
        anotherOpenOrderIsMeant: true,
      }),
    );
    const { set, sinceCast } = await measuredAgain(shop, later.id, {
      occasion: 'follow_up',
      measures: girthTimes(1.05),
    });
    await decidedOn(shop, sinceCast, { decision: 'as_is' });
    const limb = async (query: string) =>
      only(await trace(query), 'measures', 'volume_decision').map(
        ({ kind, orderNumber, socketNumber }) => ({ kind, orderNumber, socketNumber }),
      );
    const of = { orderNumber: later.number, socketNumber: null };
    // A decision is of the order whose cast it is about, while that order is open.
    const [first = ''] = number.split('/');
    const decision = { kind: 'volume_decision', orderNumber: first, socketNumber: null };
    expect(await limb(`order=${later.id}`)).toEqual([{ kind: 'measures', ...of }, decision]);
    expect(await limb(`order=${orderId}`)).toEqual([decision]);
    expect(await limb(`socket=${number}`)).toEqual([decision]);
    expect(await limb(`socket=${audited.number}`)).toHaveLength(2);
    const [told] = only(await trace(`socket=${number}`), 'volume_decision');
    expect(told?.details).toMatchObject({
      first: { orderNumber: number.split('/')[0] },
      second: { measureSetId: set.id, orderNumber: later.number, occasion: 'follow_up' },
    });
    expect(told?.what).toContain(
      `to follow up of 2026-03-02 (${later.number}), past 5 %, worth 9 ply off; decided: leave it as it is`,
    );
  });
});

describe('what did this person do', () => {
  test('weigh: every cup of the technician, of every socket, and none of the prosthetist’s', async () => {
    const weighed = only(await trace(`person=${clinic.people.technician.id}`), 'weighing');
    const [row] = await clinic.store.raw<{ count: string }>(
      'select count(*) from resin_weighing where clinic_id = $1',
      [clinic.clinicId],
    );
    expect(weighed).toHaveLength(Number(row?.count));
    expect(new Set(weighed.map(({ socketNumber }) => socketNumber))).toEqual(
      new Set([audited.number, bystander.number]),
    );
    expect(new Set(weighed.map(({ who }) => who))).toEqual(new Set([nameOf('technician')]));
    const prosthetists = await trace(`person=${clinic.people.prosthetist.id}`);
    expect(only(prosthetists, 'weighing', 'recipe')).toEqual([]);
  });

  test('draft and approve: the technician drafts, the prosthetist approves, measures and decides', async () => {
    const steps = async (role: Role) =>
      only(await trace(`person=${clinic.people[role].id}`), 'layup').map(
        ({ details, socketNumber }) =>
          `${socketNumber ?? ''} ${String(details['layup'])} ${String(details['step'])}`,
      );
    expect(await steps('technician')).toEqual([
      `${audited.number} 1 drafted`,
      `${audited.number} 2 drafted`,
      `${bystander.number} 1 drafted`,
    ]);
    expect(await steps('prosthetist')).toEqual([
      `${audited.number} 2 approved`,
      `${bystander.number} 1 approved`,
    ]);
    const rows = await trace(`person=${clinic.people.prosthetist.id}`);
    expect(only(rows, 'volume_decision').map(({ details }) => details['decision'])).toContain(
      'socks',
    );
    // Two casts were taken; what was measured with them is not told again.
    expect(only(rows, 'cast')).toHaveLength(2);
    expect(only(rows, 'measures').every(({ details }) => details['occasion'] !== 'cast')).toBe(
      true,
    );
    const technicians = await trace(`person=${clinic.people.technician.id}`);
    expect(only(technicians, 'measures', 'volume_decision')).toEqual([]);
  });
});

describe('on file and paper', () => {
  const KINDS = ['measures', 'volume_decision', 'layup', 'recipe', 'weighing'];

  test('CSV: the same rows, words and details', async () => {
    const query = `order=${audited.orderId}`;
    const { text } = await clinic.as('auditor').get(`/api/v1/trace.csv?${query}`).buffer(true);
    const lines = readCsv(text).map(({ kind, what, details }) => ({
      kind,
      what,
      details: JSON.parse(details ?? '') as unknown,
    }));
    const rows = await trace(query);
    expect(lines).toEqual(rows.map(({ kind, what, details }) => ({ kind, what, details })));
    expect(new Set(only(rows, ...KINDS).map(({ kind }) => kind))).toEqual(new Set(KINDS));
  });

  test('PDF: each in words; the bench reads no name of a patient', async () => {
    const { body } = await clinic
      .as('technician')
      .get(`/api/v1/trace.pdf?socket=${audited.number}`)
      .buffer(true)
      .parse((response, done) => {
        const chunks: Buffer[] = [];
        response.on('data', (chunk: Buffer) => chunks.push(chunk));
        response.on('end', () => {
          done(null, Buffer.concat(chunks));
        });
      });
    const { words } = await readPdf(body as Buffer);
    for (const what of whats(only(await trace(`socket=${audited.number}`), ...KINDS))) {
      expect(words).toContain(what);
    }
    expect(words).not.toMatch(/Nomen|Inventum/);
  });
});

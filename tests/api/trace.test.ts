/** The trace over HTTP: forwards from things, backwards from patients, and who may ask what. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Role } from '../../src/domain/words.ts';
import { traceCsv } from '../../src/features/trace/csv.ts';
import { tracePaper } from '../../src/features/trace/papers.ts';
import type { Trace } from '../../src/features/trace/service.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import {
  deliveredLimb,
  inBin,
  inPosition,
  move,
  ok,
  stockedShop,
  type Shop,
} from '../support/job.ts';
import { readCsv } from '../support/readCsv.ts';
import { readPdf } from '../support/pdf.ts';

interface Row {
  at: string;
  kind: string;
  what: string;
  recordId: string;
  socketNumber: string | null;
  orderNumber: string | null;
  chartNumber: string | null;
  who: string | null;
  details: Record<string, never>;
}
interface Answer {
  asked: { by: string; value: string };
  subject: Record<string, never>;
  rows: Row[];
  next: string | null;
  chain: Record<string, string | null>[];
  chainCut: boolean;
}
type Limb = Awaited<ReturnType<typeof deliveredLimb>>;

let clinic: TestClinic;
let shop: Shop;
let limb: Limb;
let bystander: Limb;
let serialOfLock: string;
let lotOfFirstScrews: string;

const trace = (query: string, role: Role = 'auditor') =>
  ok<Answer>(clinic.as(role).get(`/api/v1/trace?${query}`));
const nameOf = (role: Role): string => clinic.people[role].caller.printedName;
const kinds = (rows: readonly Row[]): Record<string, number> => {
  const counts: Record<string, number> = {};
  for (const { kind } of rows) counts[kind] = (counts[kind] ?? 0) + 1;
  return counts;
};
const item = async (itemId: string): Promise<{ serial: string | null; lot: string | null }> => {
  const [row] = await clinic.store.raw<{ serial: string | null; lot: string | null }>(
    'select serial, lot from item where id = $1',
    [itemId],
  );
  if (row === undefined) throw new Error(`no item ${itemId}`);
  return row;
};

beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
  bystander = await deliveredLimb(shop);
  clinic.clock.pass(60);
  limb = await deliveredLimb(shop);
  serialOfLock = (await item(limb.hardware.lock)).serial ?? '';
  const [screws] = await clinic.store.raw<{ lot: string }>(
    `select i.lot from item i join custody c on c.thing_id = i.id join place p on p.id = c.place_id
     where p.socket_id = $1 and p.position = 'distal_screws'`,
    [limb.checkId],
  );
  lotOfFirstScrews = screws?.lot ?? '';
});
afterAll(() => clinic.close());

describe('asked by the serial of a lock', () => {
  test('the trace tells its way from the drawer through the check socket to the patient', async () => {
    const { asked, subject, chain, rows } = await trace(`serial=${serialOfLock}`);
    expect(asked).toEqual({ by: 'serial', value: serialOfLock });
    expect(subject).toMatchObject({
      kind: 'pieces',
      count: 1,
      pieces: [{ id: limb.hardware.lock, now: `${limb.number}/D1 lock` }],
    });
    expect(chain).toMatchObject([
      {
        socketNumber: `${limb.number}/C1`,
        position: 'lock',
        enteredFrom: 'Drawer 1',
        enteredWhy: 'issued',
        leftWhy: 'transferred',
        leftTo: `${limb.number}/D1 lock`,
        chartNumber: limb.chartNumber,
      },
      {
        socketNumber: `${limb.number}/D1`,
        enteredFrom: `${limb.number}/C1 lock`,
        leftAt: null,
        leftTo: null,
        chartNumber: limb.chartNumber,
      },
    ]);
    const moves = rows.filter(({ kind }) => kind === 'move');
    expect(moves.map(({ details }) => details['reason'])).toEqual([
      'received',
      'issued',
      'transferred',
    ]);
  });

  test('with the torque of each joint it was in: readings, tool, certificate, threadlocker', async () => {
    const { rows } = await trace(`serial=${serialOfLock}`);
    const torques = rows.filter(({ kind }) => kind === 'torque');
    expect(torques.map(({ socketNumber }) => socketNumber)).toEqual([
      `${limb.number}/C1`,
      `${limb.number}/D1`,
    ]);
    for (const { details, who } of torques) {
      expect(details).toMatchObject({
        joint: 'distal',
        confirms: true,
        tool: { id: shop.wrench, name: 'Torque wrench 1' },
        calibration: { certificate: 'INV-CAL-2026-01-10', calibratedOn: '2026-01-10' },
        setting: { document: 'Invented sheet 7', revision: 'C' },
        threadlocker: { batchId: shop.batches['threadlocker'] },
      });
      expect(details['readings']).toHaveLength(12);
      expect(who).toBe(nameOf('technician'));
    }
    expect(kinds(rows)).toMatchObject({ lock_check: 2, fitting: 1, delivery: 1 });
  });

  test('and nothing of the patient next door', async () => {
    const { rows } = await trace(`serial=${serialOfLock}`);
    const charts = new Set(rows.map(({ chartNumber }) => chartNumber));
    expect(charts).toEqual(new Set([null, limb.chartNumber]));
    expect(rows.every(({ orderNumber }) => orderNumber !== bystander.number)).toBe(true);
  });

  test('in the order of time', async () => {
    const { rows } = await trace(`serial=${serialOfLock}`);
    const keys = rows.map(({ at, recordId }) => `${at} ${recordId}`);
    expect(keys).toEqual([...keys].sort());
  });
});

describe('single-use screws that stayed behind', () => {
  test('are traced to the check socket and its torque, not to the limb that was delivered', async () => {
    const { rows, chain } = await trace(`lot=${lotOfFirstScrews}`);
    expect(chain.map(({ socketNumber }) => socketNumber)).toEqual([`${limb.number}/C1`]);
    expect(kinds(rows)).toMatchObject({ torque: 1, move: 2 });
    expect(kinds(rows)['delivery']).toBeUndefined();
  });
});

describe('a finding on a socket', () => {
  test('concerns the pieces that are in it then, not one that goes in later', async () => {
    clinic.clock.pass(60);
    const { findingId } = await ok<{ findingId: string }>(
      clinic
        .as('technician')
        .post(`/api/v1/sockets/${limb.checkId}/findings`, { kind: 'other', note: 'edge chipped' }),
    );
    const about = async (query: string) =>
      (await trace(query)).rows.filter(({ recordId }) => recordId === findingId);
    expect(await about(`lot=${lotOfFirstScrews}`)).toMatchObject([
      { kind: 'finding', what: 'finding other: edge chipped' },
    ]);
    expect(await about(`serial=${serialOfLock}`)).toEqual([]);
    expect(await about(`socket=${limb.checkId}`)).toHaveLength(1);
  });
});

describe('asked by a patient', () => {
  test('the trace goes back through orders, casts, sockets, hardware, batches, people and signatures', async () => {
    const answer = await trace(`patient=${limb.chartNumber}&limit=1000`);
    expect(answer.subject).toMatchObject({ kind: 'patient', orders: [{ number: limb.number }] });
    const seen = kinds(answer.rows);
    for (const kind of [
      'order',
      'cast',
      'stage',
      'socket',
      'move',
      'operation',
      'batch_use',
      'weighing',
      'torque',
      'lock_check',
      'alignment',
      'fitting',
      'delivery',
      'signature',
    ]) {
      expect(seen[kind], kind).toBeGreaterThan(0);
    }
    expect(seen['socket']).toBe(2);
    expect(answer.rows.filter(({ kind }) => kind === 'signature').map(({ what }) => what)).toEqual([
      'signed: fit accepted (fitting)',
      'signed: layup approved (layup)',
      'signed: delivery released (delivery)',
    ]);
    expect(new Set(answer.rows.map(({ chartNumber }) => chartNumber))).toEqual(
      new Set([limb.chartNumber]),
    );
    const things = new Set(answer.chain.map(({ thingId }) => thingId));
    for (const [, itemId] of Object.entries(limb.hardware)) expect(things).toContain(itemId);
  });

  test('by id, by chart number typed in lower case, and by order the rows are the same', async () => {
    const ids = async (query: string) =>
      (await trace(`${query}&limit=1000`)).rows.map(({ recordId }) => recordId);
    const byChart = await ids(`patient=${limb.chartNumber.toLowerCase()}`);
    expect(await ids(`patient=${limb.patientId}`)).toEqual(byChart);
    expect(await ids(`order=${limb.number.toLowerCase().replaceAll('-', ' ')}`)).toEqual(byChart);
    expect(await ids(`order=${limb.orderId}`)).toEqual(byChart);
  });

  test('page by page it is the same timeline, nothing twice and nothing left out', async () => {
    const whole = await trace(`patient=${limb.patientId}&limit=1000`);
    expect(whole.next).toBeNull();
    const pieces: string[] = [];
    let after = '';
    do {
      const page = await trace(`patient=${limb.patientId}&limit=7${after}`);
      expect(page.rows.length).toBeLessThanOrEqual(7);
      pieces.push(...page.rows.map(({ recordId, kind }) => `${kind} ${recordId}`));
      after = page.next === null ? '' : `&after=${page.next}`;
    } while (after !== '');
    expect(pieces).toEqual(whole.rows.map(({ recordId, kind }) => `${kind} ${recordId}`));
  });
});

describe('asked by what was used', () => {
  test('a batch of resin gives the cups, the sockets, the patients and the amounts', async () => {
    const { recipe } = await ok<{ recipe: { resinG: number; hardenerG: number } }>(
      clinic.as('auditor').get(`/api/v1/sockets/${limb.socketId}/resin`),
    );
    const { subject, rows } = await trace(`batch=${shop.batches['resin'] ?? ''}`);
    expect(subject).toMatchObject({
      batches: [{ uses: 2, usedAmount: 2 * recipe.resinG, unit: 'g' }],
    });
    const uses = rows.filter(({ kind }) => kind === 'batch_use');
    expect(uses.map(({ chartNumber }) => chartNumber)).toEqual([
      bystander.chartNumber,
      limb.chartNumber,
    ]);
    expect(uses[1]).toMatchObject({
      socketNumber: `${limb.number}/D1`,
      who: nameOf('technician'),
      details: { amount: recipe.resinG, unit: 'g', batchKind: 'resin', usedFor: 'cup 1' },
    });
    expect(kinds(rows)).toEqual({ batch_use: 2, weighing: 2 });
    expect(rows.findLast(({ kind }) => kind === 'weighing')).toMatchObject({
      socketNumber: `${limb.number}/D1`,
      who: nameOf('technician'),
      what: expect.stringContaining(
        `cup 1 of recipe 1 weighed, ${recipe.resinG} g of resin, ${recipe.hardenerG} g of hardener; drawn: `,
      ),
    });
  });

  test('a batch by its lot, and threadlocker with the joints it went into', async () => {
    const [row] = await clinic.store.raw<{ lot: string }>('select lot from batch where id = $1', [
      shop.batches['threadlocker'],
    ]);
    const { rows } = await trace(`batch=${row?.lot ?? ''}`, 'technician');
    expect(kinds(rows)).toEqual({ batch_use: 4, torque: 4 });
  });

  test('a torque wrench gives its calibrations and every joint it closed', async () => {
    const { rows } = await trace(`tool=${encodeURIComponent('Torque wrench 1')}`);
    expect(kinds(rows)).toMatchObject({ calibration: 1, torque: 4 });
    expect(new Set(rows.map(({ chartNumber }) => chartNumber))).toEqual(
      new Set([null, bystander.chartNumber, limb.chartNumber]),
    );
  });

  test('a fabrication dummy gives the sockets that it held the place in', async () => {
    const { chain } = await trace(`tool=${shop.dummy}`);
    expect(chain).toMatchObject([
      { socketNumber: `${bystander.number}/D1`, position: 'dummy', leftWhy: 'pulled_after_cure' },
      { socketNumber: `${limb.number}/D1`, position: 'dummy', leftWhy: 'pulled_after_cure' },
    ]);
  });

  test('a person gives everything that person did', async () => {
    const { rows, subject } = await trace(`person=${clinic.people.prosthetist.id}&limit=1000`);
    expect(subject).toMatchObject({ person: { printedName: nameOf('prosthetist') } });
    expect(kinds(rows)).toMatchObject({ cast: 2, fitting: 2, delivery: 2, signature: 6 });
    expect(new Set(rows.map(({ who }) => who))).toEqual(new Set([nameOf('prosthetist')]));
  });
});

describe('a question that cannot be answered', () => {
  test('a mistyped order number is refused by its check character', async () => {
    const wrong = `${limb.number.slice(0, -1)}${limb.number.endsWith('7') ? '8' : '7'}`;
    const { status, body } = await clinic.as('auditor').get(`/api/v1/trace?order=${wrong}`);
    expect({ status, code: body.code }).toEqual({ status: 400, code: 'order-number-mistyped' });
    const socket = await clinic.as('auditor').get(`/api/v1/trace?socket=${limb.number}`);
    expect(socket.body.code).toBe('socket-number-mistyped');
  });

  test.each(['', 'serial=1&lot=2'])('"%s" does not have exactly one key', async (query) => {
    const { status, body } = await clinic.as('auditor').get(`/api/v1/trace?${query}`);
    expect({ status, code: body.code }).toEqual({ status: 400, code: 'trace-needs-one-key' });
  });

  test.each([
    'patient=NOBODY',
    'socket=01890000-0000-7000-8000-000000000000',
    'serial=NOTHING',
    'lot=NOTHING',
    'batch=NOTHING',
    'tool=NOTHING',
    'person=01890000-0000-7000-8000-000000000000',
  ])('%s is not there', async (query) => {
    const { status, body } = await clinic.as('administrator').get(`/api/v1/trace?${query}`);
    expect({ status, code: body.code }).toEqual({ status: 404, code: 'not-found' });
  });

  test.each(['limit=0', 'limit=1001', 'after=nonsense', 'colour=red'])(
    '%s does not belong in a question',
    async (field) => {
      const { status, body } = await clinic
        .as('auditor')
        .get(`/api/v1/trace?serial=${serialOfLock}&${field}`);
      expect({ status, code: body.code }).toEqual({ status: 400, code: 'request-invalid' });
    },
  );

  test('another clinic finds nothing of this one', async () => {
    const theirs = await clinic.another('ZW');
    for (const query of [
      `serial=${serialOfLock}`,
      `order=${limb.number}`,
      `patient=${limb.patientId}`,
      `tool=${shop.wrench}`,
      `person=${clinic.people.technician.id}`,
    ]) {
      const { status, body } = await theirs.as('administrator').get(`/api/v1/trace?${query}`);
      expect({ status, code: body.code }, query).toEqual({ status: 404, code: 'not-found' });
    }
  });
});

describe('who may ask what, and who sees whom', () => {
  test.each([
    ['technician', ['socket', 'serial', 'lot', 'batch', 'tool']],
    ['front_desk', ['patient', 'order']],
    ['prosthetist', ['patient', 'order', 'socket', 'serial', 'lot', 'batch', 'tool', 'person']],
    ['auditor', ['patient', 'order', 'socket', 'serial', 'lot', 'batch', 'tool', 'person']],
    ['administrator', ['patient', 'order', 'socket', 'serial', 'lot', 'batch', 'tool', 'person']],
  ] as const)('%s asks by %j', async (role, allowed) => {
    const values = {
      patient: limb.patientId,
      order: limb.orderId,
      socket: limb.socketId,
      serial: serialOfLock,
      lot: lotOfFirstScrews,
      batch: shop.batches['resin'],
      tool: shop.wrench,
      person: clinic.people[role].id,
    };
    const let_in: string[] = [];
    for (const [by, value] of Object.entries(values)) {
      const { status, body } = await clinic.as(role).get(`/api/v1/trace?${by}=${value ?? ''}`);
      if (status === 200) let_in.push(by);
      else expect(body.code).toBe('trace-key-not-yours');
    }
    expect(let_in).toEqual(allowed);
  });

  test('the bench sees chart number and initials, the fitting room the name', async () => {
    const url = `/api/v1/trace?socket=${limb.socketId}`;
    const bench = await clinic.as('technician').get(url);
    expect(bench.body.subject.patient).toMatchObject({ chartNumber: limb.chartNumber });
    expect(bench.body.subject.patient.initials).toMatch(/^N\.I\.$/);
    expect(bench.text).not.toMatch(/Nomen|Inventum/);
    const room = await clinic.as('prosthetist').get(url);
    expect(room.body.subject.patient.givenName).toMatch(/^Nomen/);
  });

  test('looking is on record: who asked what, by id and never by name', async () => {
    clinic.clock.pass(5);
    await trace(`patient=${limb.chartNumber}`, 'front_desk');
    const events = await clinic.store.raw<{ person_id: string; subject_id: string; data: object }>(
      `select person_id, subject_id, data from event where kind = 'trace.read' and at = $1`,
      [clinic.clock.now()],
    );
    expect(events).toMatchObject([
      {
        person_id: clinic.people.front_desk.id,
        subject_id: limb.patientId,
        data: { by: 'patient', ids: [limb.patientId], format: 'json', continued: false },
      },
    ]);
    expect(JSON.stringify(events)).not.toMatch(/Nomen|Inventum/);
  });
});

describe('after delivery', () => {
  test('a lock replaced in a service visit: the trace of the socket shows both', async () => {
    const [fresh = ''] = await shop.receive('lock', 1);
    const { serviceVisitId } = await ok<{ serviceVisitId: string }>(
      clinic.as('prosthetist').post(`/api/v1/orders/${bystander.orderId}/service-visits`, {
        socketId: bystander.socketId,
        kind: 'part_replaced',
        note: 'button sticks',
      }),
    );
    const inVisit = { serviceVisitId };
    const lockPlace = inPosition(bystander.socketId, 'lock');
    const out = { itemId: bystander.hardware.lock };
    await ok(move(shop, out, lockPlace, { kind: 'quarantine' }, 'replaced_in_service', inVisit));
    await ok(move(shop, { itemId: fresh }, inBin(shop), lockPlace, 'replaced_in_service', inVisit));
    const { chain, rows } = await trace(`socket=${bystander.socketId}&limit=1000`);
    const locks = chain.filter(({ position }) => position === 'lock');
    expect(new Map(locks.map(({ thingId, leftWhy }) => [thingId, leftWhy]))).toEqual(
      new Map([
        [bystander.hardware.lock, 'replaced_in_service'],
        [fresh, null],
      ]),
    );
    expect(kinds(rows)['service']).toBe(1);
    const old = await trace(`serial=${(await item(bystander.hardware.lock)).serial ?? ''}`);
    expect(kinds(old.rows)).toMatchObject({ service: 1, delivery: 1 });
    expect(old.subject).toMatchObject({ pieces: [{ now: 'Quarantine' }] });
  });
});

describe('the same on file and paper', () => {
  test('CSV: every row of the JSON comes back from a foreign reader', async () => {
    const json = await trace(`serial=${serialOfLock}`);
    const { headers, text } = await clinic
      .as('auditor')
      .get(`/api/v1/trace.csv?serial=${serialOfLock}`)
      .buffer(true);
    expect(headers['content-type']).toBe('text/csv; charset=utf-8');
    const lines = readCsv(text);
    expect(
      lines.map(({ at, kind, what, recordId, details }) => ({
        at,
        kind,
        what,
        recordId,
        details: JSON.parse(details ?? '') as unknown,
      })),
    ).toEqual(
      json.rows.map(({ at, kind, what, recordId, details }) => ({
        at,
        kind,
        what,
        recordId,
        details,
      })),
    );
  });

  test('PDF: what was asked, when in the zone of the clinic, by whom, and the rows', async () => {
    clinic.clock.set('2026-03-04T08:07:00Z');
    const { headers, body } = await clinic
      .as('auditor')
      .get(`/api/v1/trace.pdf?serial=${serialOfLock}`)
      .buffer(true)
      .parse((response, done) => {
        const chunks: Buffer[] = [];
        response.on('data', (chunk: Buffer) => chunks.push(chunk));
        response.on('end', () => {
          done(null, Buffer.concat(chunks));
        });
      });
    expect(headers['content-type']).toBe('application/pdf');
    const text = (await readPdf(body as Buffer)).words;
    expect(text).toContain(`Trace by serial ${serialOfLock}`);
    expect(text).toContain(`by ${nameOf('auditor')}, Clinic KL.`);
    // 08:07 UTC, in Vienna's winter.
    expect(text).toContain('Asked Wed 4 Mar 2026 09:07 (Europe/Vienna)');
    expect(text).toContain(`${limb.number}/D1`);
    expect(text).toContain('INV-CAL-2026-01-10');
    expect(text).not.toMatch(/Nomen|Inventum/);
  });

  const cutTrace = (): Trace => ({
    asked: { by: 'tool', value: 'Torque wrench 1' },
    subject: {
      kind: 'tool',
      tool: {
        id: 'x',
        name: 'Torque wrench 1',
        toolKind: 'torque_tool',
        serial: null,
        outOfService: false,
        now: null,
      },
    },
    rows: [],
    next: 'FROM-HERE',
    chain: [],
    chainCut: true,
  });

  test('a file that was cut says so in its last row, with the way on', () => {
    const [last] = readCsv(traceCsv(cutTrace()));
    expect(last?.['kind']).toBe('cut');
    expect(last?.['what']).toContain('after=FROM-HERE');
  });

  test('a paper that was cut says so at its head and at its end', async () => {
    const clinicOnPaper = await ok<Parameters<typeof tracePaper>[0]['clinic']>(
      clinic.as('administrator').get('/api/v1/clinic'),
    );
    const bytes = await tracePaper({
      trace: cutTrace(),
      clinic: clinicOnPaper,
      at: clinic.clock.now(),
      askedBy: 'Auditor of KL',
    });
    const text = (await readPdf(bytes)).words;
    expect(text.match(/Cut after 0 records: there are more/g)).toHaveLength(2);
    expect(text).toContain('The way through sockets is cut after 0 lines');
  });

  test('the rest of a cut file follows from where it was cut', async () => {
    const first = await trace(`serial=${serialOfLock}&limit=3`);
    const { text } = await clinic
      .as('auditor')
      .get(`/api/v1/trace.csv?serial=${serialOfLock}&after=${first.next ?? ''}`)
      .buffer(true);
    const rest = readCsv(text);
    const whole = await trace(`serial=${serialOfLock}`);
    expect(rest.map(({ recordId }) => recordId)).toEqual(
      whole.rows.slice(3).map(({ recordId }) => recordId),
    );
  });
});

/** A lot is recalled: who wears it, where the rest is, whether the count closes, and taking it out of use. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Role } from '../../src/domain/words.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import { writePhone } from '../support/columnKeys.ts';
import {
  acceptedCast,
  deliveredLimb,
  inBin,
  inPosition,
  makeSocket,
  move,
  ok,
  onBench,
  openedOrder,
  refusedWith,
  stockedShop,
  type Shop,
} from '../support/job.ts';
import { readCsv } from '../support/readCsv.ts';
import { readPdf } from '../support/pdf.ts';

interface Recall {
  received: number;
  counts: Record<string, number>;
  accountedFor: number;
  reconciles: boolean | null;
  unclear: string[];
  wearers: {
    patient: Record<string, string>;
    phone: string | null;
    socketNumber: string;
    pieces: string[];
  }[];
  inWork: { socketNumber: string; chartNumber: string; pieces: string[] }[];
  elsewhere: { itemId: string; place: string }[];
  passedThrough: { socketNumber: string; thingId: string; leftAt: string | null }[];
}
interface Quarantined {
  moved: { itemId: string; from: string }[];
  findings: { socketNumber: string }[];
  alreadyFound: string[];
}

let clinic: TestClinic;
let shop: Shop;
let limb: Awaited<ReturnType<typeof deliveredLimb>>;
let inWorkNumber: string;
/** Of the recalled lot, by where the test put them. */
let pieces: { bench: string; bin: string; quarantine: string; scrap: string };
const LOT = 'P-RECALLED';

const recall = (role: Role = 'prosthetist', query = `lot=${LOT}`) =>
  ok<Recall>(clinic.as(role).get(`/api/v1/recall?${query}`));
const total = (counts: Record<string, number>): number =>
  Object.values(counts).reduce((sum, count) => sum + count, 0);

/** Five pyramids of one lot, received into the drawer. */
async function receivePyramids(lot: string, serials: readonly string[]): Promise<string[]> {
  const { itemIds } = await ok<{ itemIds: string[] }>(
    clinic.as('technician').post('/api/v1/items', {
      partId: shop.parts.pyramid,
      serials,
      lot,
      toPlaceId: shop.bin,
    }),
  );
  return itemIds;
}

beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
  limb = await deliveredLimb(shop);
  await writePhone(clinic, limb.patientId, '+43 1 0000 001');
  const [worn = '', inWork = '', bench = '', bin = '', quarantine = '', scrap = ''] =
    await receivePyramids(LOT, ['R1', 'R2', 'R3', 'R4', 'R5', 'R6']);
  pieces = { bench, bin, quarantine, scrap };
  const place = inPosition(limb.socketId, 'pyramid');
  const { serviceVisitId } = await ok<{ serviceVisitId: string }>(
    clinic.as('prosthetist').post(`/api/v1/orders/${limb.orderId}/service-visits`, {
      socketId: limb.socketId,
      kind: 'part_replaced',
      note: 'pyramid worn',
    }),
  );
  const visit = { serviceVisitId };
  const old = { itemId: limb.hardware.pyramid };
  await ok(move(shop, old, place, { kind: 'quarantine' }, 'replaced_in_service', visit));
  await ok(move(shop, { itemId: worn }, inBin(shop), place, 'replaced_in_service', visit));

  const order = await openedOrder(shop);
  await acceptedCast(shop, order.orderId);
  const socket = await makeSocket(shop, order.orderId, { kind: 'check', sheetThicknessMm: 12 });
  inWorkNumber = socket.number;
  const position = inPosition(socket.id, 'pyramid');
  await ok(move(shop, { itemId: bench }, inBin(shop), position));
  await ok(move(shop, { itemId: bench }, position, onBench, 'taken_out_for_trimming'));
  await ok(move(shop, { itemId: inWork }, inBin(shop), position));
  await ok(move(shop, { itemId: quarantine }, inBin(shop), { kind: 'quarantine' }, 'quarantined'));
  await ok(move(shop, { itemId: scrap }, inBin(shop), { kind: 'scrap' }, 'scrapped'));
  await receivePyramids('P-NOT-RECALLED', ['N1', 'N2']);
});
afterAll(() => clinic.close());

describe('the recall of a lot', () => {
  test('finds who wears it, what is in work, and where the rest is; the counts close', async () => {
    const found = await recall();
    expect(found.counts).toEqual({
      worn: 1,
      inWork: 1,
      inRetired: 0,
      bench: 1,
      bins: 1,
      receiving: 0,
      quarantine: 1,
      scrap: 1,
    });
    expect(found).toMatchObject({ received: 6, accountedFor: 6, reconciles: true, unclear: [] });
    expect(total(found.counts)).toBe(found.received);
    expect(found.wearers).toMatchObject([
      {
        patient: { chartNumber: limb.chartNumber },
        socketNumber: `${limb.number}/D1`,
        pieces: ['Pyramid, four-hole serial R1, pyramid'],
      },
    ]);
    expect(found.inWork).toMatchObject([
      { socketNumber: inWorkNumber, pieces: ['Pyramid, four-hole serial R2, pyramid'] },
    ]);
    expect(new Map(found.elsewhere.map(({ itemId, place }) => [itemId, place]))).toEqual(
      new Map([
        [pieces.bench, 'Bench'],
        [pieces.bin, 'Drawer 1'],
        [pieces.quarantine, 'Quarantine'],
        [pieces.scrap, 'Scrap'],
      ]),
    );
  });

  test('lists every socket that a piece was ever in, also the one it has left', async () => {
    const { passedThrough } = await recall();
    expect(
      passedThrough.map(({ socketNumber, leftAt }) => [socketNumber, leftAt === null]),
    ).toEqual([
      [`${limb.number}/D1`, true],
      [inWorkNumber, true],
      [inWorkNumber, false],
    ]);
  });

  test('leaves other lots and other parts alone', async () => {
    expect((await recall('prosthetist', 'lot=P-NOT-RECALLED')).received).toBe(2);
    expect((await recall('prosthetist', `lot=${LOT}&part=${shop.parts.pyramid}`)).received).toBe(6);
    await refusedWith(
      clinic.as('prosthetist').get(`/api/v1/recall?lot=${LOT}&part=${shop.parts.lock}`),
      'not-found',
    );
  });

  test.each([
    '',
    `lot=${LOT}&batch=X`,
    'batch=X&part=01890000-0000-7000-8000-000000000000',
    'part=01890000-0000-7000-8000-000000000000',
  ])('asked by "%s" it is refused', async (query) => {
    await refusedWith(clinic.as('auditor').get(`/api/v1/recall?${query}`), 'trace-needs-one-key');
  });
});

describe('the people to call', () => {
  test.each(['front_desk', 'prosthetist', 'administrator'] as const)(
    '%s sees name and phone',
    async (role) => {
      const [wearer] = (await recall(role)).wearers;
      expect(wearer?.patient['givenName']).toMatch(/^Nomen/);
      expect(wearer?.phone).toBe('+43 1 0000 001');
    },
  );

  test('an auditor sees chart number and initials, on screen, file and paper', async () => {
    const json = await clinic.as('auditor').get(`/api/v1/recall?lot=${LOT}`);
    expect(Object.keys(json.body.wearers[0].patient).sort()).toEqual([
      'chartNumber',
      'id',
      'initials',
    ]);
    expect(json.body.wearers[0].phone).toBeNull();
    const csv = await clinic.as('auditor').get(`/api/v1/recall.csv?lot=${LOT}`).buffer(true);
    const paper = await pdfOf('auditor');
    for (const text of [json.text, csv.text, paper]) {
      expect(text).toContain(limb.chartNumber);
      expect(text).not.toMatch(/Nomen|Inventum|0000 001/);
    }
  });

  test('the bench runs no recall', async () => {
    await refusedWith(clinic.as('technician').get(`/api/v1/recall?lot=${LOT}`), 'role-may-not');
    const body = { lot: LOT, why: 'maker says so' };
    for (const role of ['technician', 'front_desk', 'auditor'] as const) {
      await refusedWith(clinic.as(role).post('/api/v1/recall/quarantine', body), 'role-may-not');
    }
  });
});

const pdfOf = async (role: Role): Promise<string> => {
  const { body } = await clinic
    .as(role)
    .get(`/api/v1/recall.pdf?lot=${LOT}`)
    .buffer(true)
    .parse((response, done) => {
      const chunks: Buffer[] = [];
      response.on('data', (chunk: Buffer) => chunks.push(chunk));
      response.on('end', () => {
        done(null, Buffer.concat(chunks));
      });
    });
  return (await readPdf(body as Buffer)).words;
};

describe('the recall on file and paper', () => {
  test('the CSV has the counts, the wearer with the phone as text, and the rest', async () => {
    const { text } = await clinic
      .as('front_desk')
      .get(`/api/v1/recall.csv?lot=${LOT}`)
      .buffer(true);
    const lines = readCsv(text);
    const of = (section: string) => lines.filter((line) => line['section'] === section);
    expect(of('count').map(({ what }) => what)).toEqual(
      expect.arrayContaining(['received: 6', 'worn: 1', 'reconciles: yes']),
    );
    // A phone number begins with a plus, which a spreadsheet would run.
    expect(of('worn')).toMatchObject([
      { chartNumber: limb.chartNumber, phone: "'+43 1 0000 001", socket: `${limb.number}/D1` },
    ]);
    expect(of('inWork')).toHaveLength(1);
    expect(of('elsewhere')).toHaveLength(4);
    expect(of('passedThrough')).toHaveLength(3);
  });

  test('the paper has counts and the people to call', async () => {
    const text = await pdfOf('front_desk');
    expect(text).toContain(`Recall of lot ${LOT}: Pyramid, four-hole`);
    expect(text).toMatch(/received 6 worn 1 in work 1/);
    expect(text).toContain('+43 1 0000 001');
    expect(text).toContain('1 to call.');
  });
});

describe('a batch that is recalled', () => {
  test('finds the sockets that it went into, with the amounts', async () => {
    const { recipe } = await ok<{ recipe: { resinG: number } }>(
      clinic.as('technician').get(`/api/v1/sockets/${limb.socketId}/resin`),
    );
    const found = await recall('prosthetist', `batch=${shop.batches['resin'] ?? ''}`);
    expect(found).toMatchObject({
      used: recipe.resinG,
      usesWithoutAmount: 0,
      leftByBook: 20_000 - recipe.resinG,
      reconciles: true,
      counts: { worn: 1, inWork: 0, inRetired: 0 },
    });
    expect(found.wearers).toMatchObject([{ patient: { chartNumber: limb.chartNumber } }]);
    expect(found.wearers[0]?.pieces[0]).toContain(`, ${recipe.resinG} g for cup 1`);
  });

  test('threadlocker is not weighed, so its book cannot be told to close', async () => {
    const found = await recall('prosthetist', `batch=${shop.batches['threadlocker'] ?? ''}`);
    expect(found).toMatchObject({ usesWithoutAmount: 2, reconciles: null });
  });
});

describe('a recall that cannot be told', () => {
  test('a lot that two batches have needs the id of one', async () => {
    const ids: string[] = [];
    for (const kind of ['resin', 'hardener']) {
      const batch = { kind, name: `Invented ${kind}`, lot: 'TWIN', receivedOn: '2026-01-05' };
      const { id } = await ok<{ id: string }>(
        clinic.as('technician').post('/api/v1/batches', { ...batch, quantity: 100, unit: 'g' }),
      );
      ids.push(id);
    }
    const ask = (value: string) => clinic.as('auditor').get(`/api/v1/recall?batch=${value}`);
    await refusedWith(ask('TWIN'), 'recall-lot-of-several-batches');
    expect(await ok(ask(ids[0] ?? ''))).toMatchObject({ used: 0, leftByBook: 100 });
  });

  test('a lot of more pieces than one answer holds is refused, not cut', async () => {
    await clinic.store.raw(
      `insert into item (clinic_id, id, part_id, lot, received_at, received_by_id)
       select i.clinic_id, gen_random_uuid(), i.part_id, 'ENDLESS', i.received_at, i.received_by_id
       from item i cross join generate_series(1, 20001) where i.id = $1`,
      [pieces.bin],
    );
    await refusedWith(clinic.as('auditor').get('/api/v1/recall?lot=ENDLESS'), 'recall-too-large');
  });
});

describe('taking the lot out of use', () => {
  const quarantine = (body: object = {}) =>
    clinic.as('administrator').post('/api/v1/recall/quarantine', {
      lot: LOT,
      why: 'Cracks under load, says the maker (invented)',
      ...body,
    });
  const recalledMoves = () =>
    clinic.store.raw<{ item_id: string; times: number }>(
      `select item_id, count(*)::int as times from move where reason = 'recalled' group by item_id`,
    );

  test('two persons at the same moment: each piece moves once, each socket has one finding', async () => {
    const answers = await Promise.all([quarantine(), quarantine()]);
    const done = answers.filter(({ status }) => status === 200);
    expect(done.length).toBeGreaterThanOrEqual(1);
    for (const { status, body } of answers) {
      expect(status === 200 || body.code === 'item-is-elsewhere', JSON.stringify(body)).toBe(true);
    }
    const moved = done.flatMap(({ body }) => (body as Quarantined).moved);
    expect(moved.map(({ itemId, from }) => [itemId, from]).sort()).toEqual(
      [
        [pieces.bench, 'Bench'],
        [pieces.bin, 'Drawer 1'],
      ].sort(),
    );
    expect(new Map((await recalledMoves()).map((row) => [row.item_id, row.times]))).toEqual(
      new Map([
        [pieces.bench, 1],
        [pieces.bin, 1],
      ]),
    );
    const findings = await clinic.store.raw<{ number: string; note: string }>(
      `select s.number, f.note from finding f join socket s on s.id = f.socket_id
       where f.kind = 'recalled_part' order by s.number`,
    );
    expect(findings.map(({ number }) => number)).toEqual(
      [`${limb.number}/D1`, inWorkNumber].sort(),
    );
    expect(findings[0]?.note).toContain(`Recall of lot ${LOT}: Pyramid, four-hole serial R`);
  });

  test('done again, there is nothing left to do', async () => {
    const { moved, findings, alreadyFound } = await ok<Quarantined>(quarantine());
    expect({ moved, findings }).toEqual({ moved: [], findings: [] });
    expect(alreadyFound.sort()).toEqual([`${limb.number}/D1`, inWorkNumber].sort());
    expect(await recall()).toMatchObject({
      counts: { worn: 1, inWork: 1, bench: 0, bins: 0, quarantine: 3, scrap: 1 },
      reconciles: true,
    });
  });

  test('a lot of another name that begins alike gets its own findings', async () => {
    const [extra = ''] = await receivePyramids(`${LOT}-2`, ['X1']);
    const { moved } = await ok<Quarantined>(quarantine({ lot: `${LOT}-2` }));
    expect(moved.map(({ itemId }) => itemId)).toEqual([extra]);
  });

  test('a lot that several parts have needs the part', async () => {
    await receivePyramids('SHARED', ['Y1']);
    await ok(
      clinic.as('technician').post('/api/v1/items', {
        partId: shop.parts.lock,
        serials: ['Y2'],
        lot: 'SHARED',
        toPlaceId: shop.bin,
      }),
    );
    await refusedWith(quarantine({ lot: 'SHARED' }), 'recall-lot-of-several-parts');
    const { moved } = await ok<Quarantined>(quarantine({ lot: 'SHARED', partId: shop.parts.lock }));
    expect(moved).toHaveLength(1);
    expect(await recall('auditor', 'lot=SHARED')).toMatchObject({
      received: 2,
      counts: { bins: 1, quarantine: 1 },
    });
  });

  test('of a lot that nobody has, nothing is written', async () => {
    const events = () => clinic.store.raw('select 1 from event');
    const before = (await events()).length;
    await refusedWith(quarantine({ lot: 'NO-SUCH-LOT' }), 'not-found');
    expect(await events()).toHaveLength(before);
  });
});

describe('a count that does not close', () => {
  test('says so and names the piece that was entered but never received', async () => {
    const [row] = await clinic.store.raw<{ id: string }>(
      `insert into item (clinic_id, id, part_id, serial, lot, received_at, received_by_id)
       select clinic_id, gen_random_uuid(), part_id, 'GHOST', lot, received_at, received_by_id
       from item where id = $1 returning id`,
      [pieces.bin],
    );
    const found = await recall();
    expect(found).toMatchObject({ reconciles: false, received: 6, unclear: [row?.id] });
  });
});

test('running a recall is on record, by ids', async () => {
  clinic.clock.pass(30);
  await recall('auditor');
  const events = await clinic.store.raw<{ person_id: string; data: object }>(
    `select person_id, data from event where kind = 'recall.read' and at = $1`,
    [clinic.clock.now()],
  );
  expect(events).toMatchObject([{ person_id: clinic.people.auditor.id, data: { lot: LOT } }]);
  expect(JSON.stringify(events)).not.toMatch(/Nomen|Inventum/);
});

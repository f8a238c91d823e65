/** What each kind of long work gives: against the same question asked alone, and against the database. */
import { createHash } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { EXPORTED, EXPORTED_TABLES, NOT_EXPORTED } from '../../src/store/recordExport.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import { writePhone } from '../support/columnKeys.ts';
import { deliveredLimb, openedOrder, refusedWith, stockedShop, type Shop } from '../support/job.ts';
import { aDoer, doneWork, resultOf } from '../support/longWork.ts';
import { readCsv } from '../support/readCsv.ts';

let clinic: TestClinic;
let shop: Shop;
let doer: { stop: () => Promise<void> };
let limb: Awaited<ReturnType<typeof deliveredLimb>>;
let other: Awaited<ReturnType<typeof openedOrder>>;
const PHONE = '+43 1 0000 001';

beforeAll(async () => {
  clinic = await testClinic();
  shop = await stockedShop(clinic);
  limb = await deliveredLimb(shop);
  other = await openedOrder(shop);
  await writePhone(clinic, limb.patientId, PHONE);
  doer = aDoer(clinic.store, clinic.clock.now);
});
afterAll(async () => {
  await doer.stop();
  await clinic.close();
});

describe('the recall of many lots', () => {
  let lots: string[];
  beforeAll(async () => {
    const rows = await clinic.store.raw<{ lot: string }>(
      'select distinct lot from item where clinic_id = $1 and lot is not null order by lot',
      [clinic.clinicId],
    );
    lots = rows.map(({ lot }) => lot);
    expect(lots.length).toBeGreaterThan(1);
  });

  test('gives for each lot what its own recall gives, and says of one that nobody has that nobody has it', async () => {
    const list = [...lots, 'NO-SUCH-LOT', ...lots];
    const work = await doneWork(clinic, 'prosthetist', { kind: 'recall_of_many', of: 'lot', list });
    expect(work).toMatchObject({ state: 'done', done: lots.length + 1, total: lots.length + 1 });
    const rows = readCsv(await resultOf(clinic, 'prosthetist', work.id));
    for (const lot of lots) {
      const { text } = await clinic.as('prosthetist').get(`/api/v1/recall.csv?lot=${lot}`);
      expect(rows.filter((row) => row['asked'] === lot)).toEqual(
        readCsv(text).map((row) => ({ asked: lot, ...row })),
      );
    }
    const [none, ...more] = rows.filter((row) => row['asked'] === 'NO-SUCH-LOT');
    expect(more).toEqual([]);
    expect(none).toMatchObject({ section: 'notAnswered' });
    expect(none?.['what']).toContain('NO-SUCH-LOT');
    const worn = rows.filter(({ section }) => section === 'worn');
    expect(work.summary).toMatchObject({
      answered: lots.length,
      notAnswered: 1,
      wearerLines: worn.length,
      notReconciled: 0,
    });
    expect(worn.length).toBeGreaterThan(0);
  });

  test('shows names and phone numbers to those who call, whoever asked, and to nobody else', async () => {
    const work = await doneWork(clinic, 'front_desk', {
      kind: 'recall_of_many',
      of: 'lot',
      list: lots,
    });
    const [patient] = await clinic.store.raw<{ familyName: string; chartNumber: string }>(
      'select family_name as "familyName", chart_number as "chartNumber" from patient where id = $1',
      [limb.patientId],
    );
    const asked = await resultOf(clinic, 'front_desk', work.id);
    expect(asked).toContain(patient!.familyName);
    expect(asked).toContain(PHONE);
    const drill = await resultOf(clinic, 'auditor', work.id);
    expect(drill).toContain(patient!.chartNumber);
    expect(drill).not.toContain(patient!.familyName);
    expect(drill).not.toContain(PHONE);
    expect(readCsv(drill).length).toBe(readCsv(asked).length);
  });

  test('of batches is asked in the same way', async () => {
    const [batch] = await clinic.store.raw<{ lot: string }>(
      `select b.lot from batch b join batch_use u on u.clinic_id = b.clinic_id and u.batch_id = b.id
         join socket s on s.clinic_id = u.clinic_id and s.id = u.socket_id
       where b.clinic_id = $1 and s.state = 'delivered' limit 1`,
      [clinic.clinicId],
    );
    const list = [batch!.lot];
    const work = await doneWork(clinic, 'auditor', { kind: 'recall_of_many', of: 'batch', list });
    expect(work.summary).toMatchObject({ answered: 1, wearerLines: 1 });
  });
});

interface Line {
  readonly line: 'head' | 'row' | 'event' | 'end';
  readonly [field: string]: unknown;
}
const linesOf = (text: string): Line[] => {
  expect(text.endsWith('\n')).toBe(true);
  return text
    .slice(0, -1)
    .split('\n')
    .map((line) => JSON.parse(line) as Line);
};

describe('the export of the record', () => {
  test('has every table of the record, or says why not', async () => {
    const tables = await clinic.store.raw<{ name: string }>(
      `select c.table_name::text as name from information_schema.columns c
         join information_schema.tables t using (table_schema, table_name)
       where c.table_schema = 'public' and c.column_name = 'clinic_id' and t.table_type = 'BASE TABLE'`,
    );
    expect([...EXPORTED_TABLES, ...Object.keys(NOT_EXPORTED)].sort()).toEqual(
      tables.map(({ name }) => name).sort(),
    );
    for (const table of EXPORTED_TABLES) {
      const { key } = EXPORTED[table]!;
      const unique = await clinic.store.raw<{ columns: string }>(
        `select string_agg(a.attname, ',' order by k.at) as columns from pg_index i
           cross join unnest(i.indkey) with ordinality k(attnum, at)
           join pg_attribute a on a.attrelid = i.indrelid and a.attnum = k.attnum
         where i.indrelid = $1::regclass and i.indisprimary group by i.indexrelid`,
        [table],
      );
      expect(`${table}: clinic_id,${key.map(([column]) => column).join(',')}`).toBe(
        `${table}: ${unique[0]?.columns ?? ''}`,
      );
    }
  });

  test('of the clinic holds each row once and the whole chain, which can be proven from it', async () => {
    const work = await doneWork(clinic, 'auditor', { kind: 'record_export' });
    expect(work).toMatchObject({ state: 'done', orderNumber: null, done: work.total });
    const lines = linesOf(await resultOf(clinic, 'auditor', work.id));
    expect(lines.at(0)).toMatchObject({ line: 'head', of: 'clinic', clinicId: clinic.clinicId });
    const rows = lines.filter(({ line }) => line === 'row');
    const events = lines.filter(({ line }) => line === 'event');
    expect(lines.at(-1)).toEqual({ line: 'end', rows: rows.length, events: events.length });
    expect(work).toMatchObject({ done: rows.length + events.length });
    for (const table of EXPORTED_TABLES) {
      const [count] = await clinic.store.raw<{ n: number }>(
        `select count(*)::int as n from "${table}" where clinic_id = $1`,
        [clinic.clinicId],
      );
      const own = rows
        .filter((row) => row['table'] === table)
        .map(({ row }) => JSON.stringify(row));
      expect({ table, rows: own.length, different: new Set(own).size }).toEqual({
        table,
        rows: count?.n,
        different: count?.n,
      });
    }
    // RFC 6962 has no part in this chain: each value is the SHA-256 of the one before and the leaf, as text.
    let chain = '0'.repeat(64);
    for (const [at, event] of events.entries()) {
      expect(event['seq']).toBe(at + 1);
      chain = createHash('sha256')
        .update(chain + String(event['leafSha256']))
        .digest('hex');
      expect(event['chainSha256']).toBe(chain);
    }
    expect(events.length).toBeGreaterThan(50);
  });

  test('names no patient and nobody’s secret', async () => {
    const work = await doneWork(clinic, 'auditor', { kind: 'record_export' });
    const text = await resultOf(clinic, 'administrator', work.id);
    const secrets = await clinic.store.raw<Record<string, string | null>>(
      `select given_name, family_name, phone, to_char(birth_date, 'YYYY-MM-DD') as birth_date from patient where clinic_id = $1`,
      [clinic.clinicId],
    );
    const hashes = await clinic.store.raw<Record<string, string | null>>(
      'select password_hash, email from person where clinic_id = $1',
      [clinic.clinicId],
    );
    const phones = secrets.map(({ phone }) => phone);
    expect(phones.filter((phone) => phone?.startsWith('enc1.')).length).toBeGreaterThan(0);
    const values = [
      ...secrets.flatMap(({ phone: _kept, ...row }) => Object.values(row)),
      ...hashes.flatMap((row) => Object.values(row)),
      PHONE,
    ];
    expect(text).not.toContain('enc1.');
    expect(values.filter((value) => value !== null).length).toBeGreaterThan(10);
    for (const value of values) if (value !== null) expect(text).not.toContain(`"${value}"`);
    const [chart] = await clinic.store.raw<{ n: string }>(
      'select chart_number as n from patient where id = $1',
      [limb.patientId],
    );
    expect(text).toContain(chart!.n);
  });

  test('of an order holds what is of that order and nothing of another', async () => {
    const work = await doneWork(clinic, 'auditor', {
      kind: 'record_export',
      orderId: limb.orderId,
    });
    expect(work).toMatchObject({ state: 'done', orderNumber: limb.number });
    const lines = linesOf(await resultOf(clinic, 'auditor', work.id));
    const table = (name: string) =>
      lines.filter((line) => line['table'] === name).map(({ row }) => row as Line);
    expect(table('fabrication_order').map((row) => row['id'])).toEqual([limb.orderId]);
    expect(table('patient').map((row) => row['id'])).toEqual([limb.patientId]);
    for (const name of ['socket', 'move', 'item', 'torque_confirmation', 'torque_reading']) {
      expect(table(name).length, name).toBeGreaterThan(0);
    }
    for (const name of ['signature', 'delivery', 'calibration', 'batch', 'layup', 'measure']) {
      expect(table(name).length, name).toBeGreaterThan(0);
    }
    const events = lines.filter(({ line }) => line === 'event');
    expect(new Set(events.map(({ orderId }) => orderId))).toEqual(new Set([limb.orderId]));
    expect(JSON.stringify(lines)).not.toContain(other.orderId);
  });

  test('of an order that is not there is not begun', async () => {
    const theirs = await clinic.another('THR');
    await refusedWith(
      theirs.as('auditor').post('/api/v1/long-works', {
        kind: 'record_export',
        orderId: limb.orderId,
      }),
      'not-found',
    );
  });
});

describe('parts from CSV', () => {
  const HEADER = 'kind,catalogueNumber,name,ratedBodyMassKg,ratingDocument,singleUse,thread';
  const good = (n: number) =>
    `pyramid,IMP-${n},"Pyramid, four-hole, ${n}",100,"Label, rev. B",no,M6`;
  const imported = (csv: string, enter: boolean) =>
    doneWork(clinic, 'administrator', { kind: 'parts_import', csv, enter });
  const told = async (id: string) => readCsv(await resultOf(clinic, 'administrator', id));
  const inCatalogue = async (like: string) => {
    const rows = await clinic.store.raw(
      `select catalogue_number as number, name, rated_body_mass_kg as rated, single_use as single, thread
       from part where clinic_id = $1 and catalogue_number like $2 order by 1`,
      [clinic.clinicId, like],
    );
    return rows;
  };

  test('only looked at, enters nothing and tells each line', async () => {
    const csv = [HEADER, good(1), good(2)].join('\r\n');
    const work = await imported(csv, false);
    expect(work).toMatchObject({
      state: 'done',
      done: 2,
      total: 2,
      askedCount: 2,
      summary: { lines: 2, wrong: 0, entered: 0 },
    });
    expect(await told(work.id)).toEqual([
      { line: '2', catalogueNumber: 'IMP-1', outcome: 'fits', field: '', wrong: '', whatToDo: '' },
      { line: '3', catalogueNumber: 'IMP-2', outcome: 'fits', field: '', wrong: '', whatToDo: '' },
    ]);
    expect(await inCatalogue('IMP-%')).toEqual([]);
  });

  test('with anything wrong in any line, enters none, and says what and in which line', async () => {
    const csv = [
      HEADER,
      good(1),
      '',
      'pyramid,IMP-2,No rating,,,no,M6',
      'gear,IMP-3,No such kind,,,no,',
      'spring,IMP-4,Figures in words,eighty,,perhaps,',
      `"lock_plate",IMP-1,"Twice, over",100,Label,no,M6`,
      'spring,,No number,,,,',
    ].join('\n');
    const work = await imported(csv, true);
    expect(work.summary).toEqual({ lines: 6, wrong: 5, entered: 0 });
    const rows = await told(work.id);
    expect(rows.map(({ line, outcome, field }) => [line, outcome, field])).toEqual([
      ['2', 'fits', ''],
      ['4', 'wrong', 'ratedBodyMassKg'],
      ['5', 'wrong', 'kind'],
      ['6', 'wrong', 'ratedBodyMassKg'],
      ['6', 'wrong', 'singleUse'],
      ['7', 'wrong', 'catalogueNumber'],
      ['8', 'wrong', 'catalogueNumber'],
    ]);
    for (const row of rows.filter(({ outcome }) => outcome === 'wrong')) {
      expect(row['wrong']!.length).toBeGreaterThan(10);
      expect(row['whatToDo']!.length).toBeGreaterThan(5);
    }
    expect(await inCatalogue('IMP-%')).toEqual([]);
  });

  test('all right, enters all at once, each with its event, as if each had been typed', async () => {
    const csv = [HEADER, ...Array.from({ length: 250 }, (_, n) => good(n + 1))].join('\r\n');
    const work = await imported(csv, true);
    expect(work).toMatchObject({
      state: 'done',
      done: 250,
      summary: { lines: 250, wrong: 0, entered: 250 },
    });
    const parts = await inCatalogue('IMP-%');
    expect(parts).toHaveLength(250);
    expect(parts[0]).toEqual({
      number: 'IMP-1',
      name: 'Pyramid, four-hole, 1',
      rated: 100,
      single: false,
      thread: 'M6',
    });
    const events = await clinic.store.raw<{ data: object; kind: string }>(
      `select e.kind, e.data from event e join part p on p.clinic_id = e.clinic_id and p.id = e.subject_id
       where p.clinic_id = $1 and p.catalogue_number = 'IMP-7'`,
      [clinic.clinicId],
    );
    const typed = await clinic.as('administrator').post('/api/v1/parts', {
      kind: 'pyramid',
      catalogueNumber: 'TYPED-7',
      name: 'Pyramid, four-hole, 7',
      ratedBodyMassKg: 100,
      ratingDocument: 'Label, rev. B',
      thread: 'M6',
    });
    const [same] = await clinic.store.raw<{ data: Record<string, unknown> }>(
      'select data from event where clinic_id = $1 and subject_id = $2',
      [clinic.clinicId, String(typed.body.id)],
    );
    expect(events).toEqual([
      { kind: 'part.added', data: { ...same!.data, catalogueNumber: 'IMP-7' } },
    ]);
    // Again, they are all there.
    const again = await imported(csv, true);
    expect(again.summary).toEqual({ lines: 250, wrong: 250, entered: 0 });
  });

  test('one that somebody types between the look and the entry keeps all out', async () => {
    // The last moment before the entry: every line was looked at and found right.
    const lines = [
      { line: 2, cells: { kind: 'spring', catalogueNumber: 'RACE-1', name: 'Spring' } },
    ];
    lines.push({ line: 3, cells: { kind: 'spring', catalogueNumber: 'RACE-2', name: 'Spring' } });
    await clinic
      .as('administrator')
      .post('/api/v1/parts', { kind: 'spring', catalogueNumber: 'RACE-2', name: 'Typed first' })
      .expect(201);
    const { administrator } = clinic.people;
    await doer.stop();
    const [row] = await clinic.store.raw<{ id: string }>(
      `insert into long_work (clinic_id, id, kind, asked, asked_at, asked_by_id, total, done, position)
       values ($1, gen_random_uuid(), 'parts_import', $2::text::jsonb, now(), $3, 2, 2, '{"wrong":0}') returning id`,
      [clinic.clinicId, JSON.stringify({ lines, enter: true }), administrator.id],
    );
    doer = aDoer(clinic.store, clinic.clock.now);
    await expect
      .poll(
        () =>
          clinic
            .as('administrator')
            .get(`/api/v1/long-works/${row!.id}`)
            .then((a) => a.body as object),
        {
          interval: 5,
        },
      )
      .toMatchObject({ state: 'failed', failure: { code: 'catalogue-number-taken' } });
    expect(await inCatalogue('RACE-%')).toMatchObject([{ number: 'RACE-2', name: 'Typed first' }]);
  });

  test('a draft of a scanned label becomes the part that the file enters', async () => {
    // A device of GS1's own range for examples.
    const label = { scans: ['(01)09520000010072(21)S1'], toPlaceId: shop.bin };
    await clinic.as('technician').post('/api/v1/items/scan', label).expect(201);
    const csv = [
      'kind,catalogueNumber,name,udiIssuer,udiDeviceIdentifier',
      'spring,IMP-UDI,Spring,GS1,09520000010072',
    ].join('\r\n');
    expect((await imported(csv, true)).summary).toMatchObject({ entered: 1 });
    const drafts = await clinic.store.raw<{ number: string }>(
      `select p.catalogue_number as number from part_draft d join part p on p.clinic_id = d.clinic_id and p.id = d.part_id
       where d.clinic_id = $1`,
      [clinic.clinicId],
    );
    expect(drafts).toEqual([{ number: 'IMP-UDI' }]);
  });

  test.each([
    ['import-not-csv', `${HEADER}\npyramid,"IMP-1,open`],
    ['import-not-csv', `${HEADER}\npyramid,IMP-1`],
    ['import-columns-wrong', 'kind,catalogueNumber,name,colour\nspring,S,S,red'],
    ['import-columns-wrong', 'kind,name\nspring,S'],
    ['import-columns-wrong', 'kind,catalogueNumber,name,name\nspring,S,S,S'],
    ['import-length-wrong', HEADER],
    ['import-length-wrong', [HEADER, ...Array(2001).fill('spring,S,S,,,,')].join('\n')],
  ])('what is no table of parts is refused at once: %s', async (code, csv) => {
    await refusedWith(
      clinic.as('administrator').post('/api/v1/long-works', {
        kind: 'parts_import',
        csv,
        enter: true,
      }),
      code,
    );
  });
});

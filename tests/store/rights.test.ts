/** Holds, corrections and erasures by plain SQL, past every program (R10). */
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { CORRECTABLE } from '../../src/domain/corrections.ts';
import { EVENT_KINDS } from '../../src/domain/eventKinds.ts';
import { PATIENT_RECORD } from '../../src/domain/patientRecord/index.ts';
import { NOT_IN_PATIENT_RECORD, WITHHELD_COLUMNS } from '../../src/domain/patientRecord/leftOut.ts';
import { isActivity } from '../../src/domain/retention.ts';
import { testDatabase, type TestDatabase } from '../support/database.ts';
import { oneOfEach } from '../support/oneOfEach.ts';
import { asApp, expectRefused, insertInto, tableNames } from '../support/plainSql.ts';
import { ClinicRows, NOW } from '../support/rows.ts';

let db: TestDatabase;
let rows: ClinicRows;
let patientId: string;
let orderId: string;

beforeAll(async () => {
  db = await testDatabase();
  rows = await ClinicRows.found(db.store, 'KL');
  await oneOfEach(rows);
  const [order] = await db.store.raw<{ id: string; patient_id: string }>(
    `select o.id, o.patient_id from fabrication_order o join delivery d on d.order_id = o.id limit 1`,
  );
  patientId = order?.patient_id ?? '';
  orderId = order?.id ?? '';
});
afterAll(() => db.close());

const app = <T>(work: Parameters<typeof asApp<T>>[2]) => asApp(db.store, rows.clinicId, work);
const refused = (sql: string, values: readonly unknown[], state: string, code?: string) =>
  expectRefused(db.store, () => app((to) => to.query(sql, [...values])), {
    state,
    ...(code === undefined ? {} : { code }),
  });
const asked = (values: object = {}) => ({
  clinic_id: rows.clinicId,
  id: randomUUID(),
  patient_id: patientId,
  what: ['phone'],
  why: 'asked in writing',
  legal_basis: 'consent withdrawn',
  asked_at: NOW,
  asked_by_id: rows.technicianId,
  ...values,
});

describe('values under the seals', () => {
  test('are not the application’s to empty, whatever it says of itself', async () => {
    const saysSo = (sql: string) =>
      expectRefused(
        db.store,
        () =>
          app(async (to) => {
            await to.query(`select set_config('app.erasure', $1, true)`, [randomUUID()]);
            await to.query(sql);
          }),
        { state: '42501' },
      );
    await saysSo(`update event set sealed = null`);
    await saysSo(`update photo set bytes = null`);
    await saysSo(`update idempotency_key set answer = '{}'`);
    await saysSo(`update long_work_piece set body = ''`);
    await saysSo(`update signature set content = '{}'`);
    await saysSo(`update delivery set received_by_name = ''`);
    await saysSo(`update appointment set note = null`);
    await saysSo(`update recall_call set note = null`);
    await saysSo(`update patient set identity_erasure_id = null`);
    await saysSo(`update correction set wrong = ''`);
  });

  test('are not the owner’s to empty either, outside an erasure; and what is chained never is', async () => {
    await expectRefused(db.store, () => db.store.raw(`update photo set bytes = null`), {
      state: 'R1001',
      code: 'record-is-kept',
    });
    await expectRefused(
      db.store,
      () =>
        db.store.raw(
          `update event set data = '{"forged": true}' where seq = (select min(seq) from event)`,
        ),
      { state: 'R1001', code: 'record-is-kept' },
    );
  });

  test('who a patient is cannot be emptied by an update', async () => {
    await refused(`update patient set birth_date = null where id = $1`, [patientId], '23514');
    await refused(`update patient set family_name = '' where id = $1`, [patientId], '23514');
  });
});

describe('an erasure', () => {
  test('is not entered as carried out', async () => {
    await expectRefused(
      db.store,
      () => app((to) => insertInto(to, 'erasure', asked({ state: 'carried_out' }))),
      { state: '42501' },
    );
  });

  test('is not carried out without the signature of a second person', async () => {
    await expectRefused(
      db.store,
      () =>
        app(async (to) => {
          const row = await insertInto<{ id: string }>(to, 'erasure', asked());
          await to.query(
            `update erasure set state = 'carried_out', settled_at = $2, settled_by_id = $3 where id = $1`,
            [row.id, NOW, rows.prosthetistId],
          );
        }),
      { state: 'R1016', code: 'erasure-not-confirmed' },
    );
  });

  test('of who the patient is waits for the years, by the database’s own clock', async () => {
    await expectRefused(
      db.store,
      () =>
        app((to) =>
          insertInto(
            to,
            'erasure',
            asked({ what: ['identity'], asked_at: '2090-01-01T00:00:00Z' }),
          ),
        ),
      { state: 'R1015', code: 'retention-not-over' },
    );
  });

  test('of anything waits for a hold on the patient, the order, or a lot in a socket', async () => {
    const [lot] = await db.store.raw<{ part_id: string; lot: string }>(
      `select i.part_id, i.lot from item i join move m on m.item_id = i.id join place p on p.id = m.to_place_id
       join socket s on s.id = p.socket_id where s.order_id = $1 and i.lot is not null limit 1`,
      [orderId],
    );
    const subjects = [
      { subject_kind: 'patient', patient_id: patientId },
      { subject_kind: 'order', order_id: orderId },
      ...(lot === undefined ? [] : [{ subject_kind: 'part_lot', ...lot }]),
    ];
    for (const subject of subjects) {
      await expectRefused(
        db.store,
        () =>
          app(async (to) => {
            await insertInto(to, 'legal_hold', {
              clinic_id: rows.clinicId,
              id: randomUUID(),
              ...subject,
              reason: 'a claim',
              reference: 'Cg 3/26',
              placed_at: NOW,
              placed_by_id: rows.technicianId,
            });
            await insertInto(to, 'erasure', asked());
          }),
        { state: 'R1014', code: 'record-on-hold' },
      );
    }
  });
});

test.runIf(process.env['DATABASE_URL'] !== undefined)(
  'a hold on a lot and an erasure at the same moment: the later one waits for the earlier',
  async () => {
    const [part] = await db.store.raw<{ part_id: string }>(
      'select id as part_id from part where clinic_id = $1 limit 1',
      [rows.clinicId],
    );
    const seen = await app(async (to) => {
      await insertInto(to, 'legal_hold', {
        clinic_id: rows.clinicId,
        id: randomUUID(),
        subject_kind: 'part_lot',
        part_id: part?.part_id,
        lot: 'L-77',
        reason: 'a claim',
        reference: 'Cg 4/26',
        placed_at: NOW,
        placed_by_id: rows.technicianId,
      });
      // An erasure asks for the same lock on its own connection, while this one has not committed.
      return db.store.raw<{ free: boolean }>(
        `select pg_try_advisory_lock(hashtextextended('hold or erasure of ' || $1, 0)) as free`,
        [rows.clinicId],
      );
    });
    expect(seen).toEqual([{ free: false }]);
  },
);

describe('a correction', () => {
  test('names a record of its patient, and is signed', async () => {
    const made = {
      clinic_id: rows.clinicId,
      id: randomUUID(),
      patient_id: patientId,
      subject_kind: 'body_mass',
      subject_id: randomUUID(),
      wrong: '80 kg',
      right: '85 kg',
      why: 'misread',
      corrected_at: NOW,
      corrected_by_id: rows.prosthetistId,
      signature_id: (await rows.signature('correction_made')).id,
    };
    await expectRefused(db.store, () => app((to) => insertInto(to, 'correction', made)), {
      state: 'R1011',
      code: 'correction-of-nothing',
    });
    const [mass] = await db.store.raw<{ id: string }>(
      'select id from body_mass where patient_id = $1 limit 1',
      [patientId],
    );
    await expectRefused(
      db.store,
      () => app((to) => insertInto(to, 'correction', { ...made, subject_id: mass?.id })),
      { state: 'R1013', code: 'correction-not-signed' },
    );
  });

  test.each([
    ['was not decided yet', {}],
    ['was denied', { decision: 'denied', denial_ground: 'accurate_and_complete' }],
  ])('answers no request that %s', async (_how, decision) => {
    const decided = 'decision' in decision;
    const request = await rows.insert('correction_request', {
      patient_id: patientId,
      asked_on: '2026-03-02',
      said: 'weighs more than that',
      recorded_at: NOW,
      recorded_by_id: rows.technicianId,
      ...(decided
        ? { decision_reason: 'it is right', decided_at: NOW, decided_by_id: rows.prosthetistId }
        : {}),
      ...decision,
    });
    const [mass] = await db.store.raw<{ id: string }>(
      'select id from body_mass where patient_id = $1 limit 1',
      [patientId],
    );
    const made = {
      clinic_id: rows.clinicId,
      id: randomUUID(),
      patient_id: patientId,
      subject_kind: 'body_mass',
      subject_id: mass?.id,
      request_id: request.id,
      wrong: '80 kg',
      right: '85 kg',
      why: 'misread',
      corrected_at: NOW,
      corrected_by_id: rows.prosthetistId,
      signature_id: (await rows.signature('correction_made')).id,
    };
    await expectRefused(db.store, () => app((to) => insertInto(to, 'correction', made)), {
      state: 'R1012',
      code: 'correction-request-not-accepted',
    });
  });

  test('of every kind finds whose record it is', async () => {
    const tables: Partial<Record<string, string>> = { cast: 'limb_cast' };
    for (const kind of CORRECTABLE) {
      const table = tables[kind] ?? kind;
      const [found] = await db.store.raw<{ n: number; whose: number }>(
        `select count(*)::int as n, count(r.patient_id)::int as whose from "${table}" x
         left join lateral patient_of_record(x.clinic_id, $1, x.id) r on true`,
        [kind],
      );
      expect(found?.n, kind).toBeGreaterThan(0);
      expect(found?.whose, kind).toBe(found?.n);
    }
  });
});

test('what begins the years anew is the same here as in the domain', async () => {
  const kinds = await db.store.raw<{ kind: string; activity: boolean }>(
    `select kind, is_activity(kind) as activity from unnest($1::text[]) kind`,
    [[...EVENT_KINDS]],
  );
  for (const { kind, activity } of kinds) {
    expect([kind, activity]).toEqual([kind, isActivity(kind as (typeof EVENT_KINDS)[number])]);
  }
});

describe('a patient’s whole record', () => {
  test('has every table or says why not, and every column or says why not', async () => {
    const tables = await tableNames(db.store);
    const named = [...Object.keys(PATIENT_RECORD), ...Object.keys(NOT_IN_PATIENT_RECORD)];
    expect([...named].sort()).toEqual([...tables].sort());
    const columns = await db.store.raw<{ table: string; column: string }>(
      `select table_name::text as table, column_name::text as column from information_schema.columns
       where table_schema = 'public' and table_name = any($1)`,
      [Object.keys(PATIENT_RECORD)],
    );
    const missing = columns.filter(
      ({ table, column }) =>
        !(column in PATIENT_RECORD[table as keyof typeof PATIENT_RECORD].columns) &&
        !(column in WITHHELD_COLUMNS) &&
        !(`${table}.${column}` in WITHHELD_COLUMNS),
    );
    expect(missing).toEqual([]);
    const there = new Set(columns.map(({ table, column }) => `${table}.${column}`));
    for (const [table, { columns: mine }] of Object.entries(PATIENT_RECORD)) {
      for (const column of Object.keys(mine)) expect(there).toContain(`${table}.${column}`);
    }
  });

  test('leaves out no table from which a key leads to a patient, but those about a hold or a place', async () => {
    const [{ reached } = { reached: [] }] = await db.store.raw<{ reached: string[] }>(
      `with recursive keys as (
         select conrelid::regclass::text as child, confrelid::regclass::text as parent from pg_constraint
         where contype = 'f' and connamespace = 'public'::regnamespace),
       led(name) as (values ('patient') union select k.child from keys k join led on led.name = k.parent)
       select array_agg(name order by name) as reached from led`,
    );
    const left = reached.filter((table) => !(table in PATIENT_RECORD));
    expect(left).toEqual([
      'break_glass',
      'break_glass_review',
      'custody',
      'legal_hold',
      'long_work',
      'long_work_piece',
    ]);
  });
});

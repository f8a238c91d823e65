/** R12: a clinic never sees another's rows, writes none, and points at none. */
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { CIPHERTEXT } from '../support/columnKeys.ts';
import { testDatabase, type TestDatabase } from '../support/database.ts';
import { oneOfEach } from '../support/oneOfEach.ts';
import { asApp, expectRefused, insertInto, tableNames } from '../support/plainSql.ts';
import { ClinicRows, NOW } from '../support/rows.ts';

let db: TestDatabase;
let ours: ClinicRows;
let theirs: ClinicRows;
/** Every table, and the column that says whose the row is. */
let owned: (readonly [table: string, clinicColumn: string])[];

beforeAll(async () => {
  db = await testDatabase();
  theirs = await ClinicRows.found(db.store, 'TH');
  await oneOfEach(theirs);
  ours = await ClinicRows.found(db.store, 'KL');
  await oneOfEach(ours);
  owned = (await tableNames(db.store)).map((name) => [
    name,
    name === 'clinic' ? 'id' : 'clinic_id',
  ]);
});

afterAll(() => db.close());

type Json = Record<string, unknown>;

/** The clinic's row of a table that has most of its columns filled. */
async function fullestRow({ clinicId }: ClinicRows, table: string): Promise<Json> {
  const [row] = await db.store.raw<{ row: Json }>(
    `select to_jsonb(r) as row from "${table}" r where ${table === 'clinic' ? 'id' : 'clinic_id'} = $1
     order by (select count(*) from jsonb_each(to_jsonb(r)) e where e.value <> 'null') desc, to_jsonb(r)::text limit 1`,
    [clinicId],
  );
  if (row === undefined) throw new Error(`${table} is empty`);
  return row.row;
}

const INSERT_JSON = (table: string) =>
  `insert into "${table}" select * from jsonb_populate_record(null::"${table}", $1::text::jsonb)`;

const count = async (
  sql: { query: TestDatabase['store']['raw'] },
  table: string,
  where: string,
) => {
  const [row] = await sql.query<{ n: number }>(
    `select count(*)::int as n from "${table}" where ${where}`,
  );
  return row?.n;
};

describe('the role that services run as', () => {
  test('owns nothing, is nobody special, and cannot go round a policy', async () => {
    const [role] = await db.store.raw(
      `select rolsuper, rolbypassrls, rolcreaterole, rolcreatedb, rolcanlogin,
         exists (select 1 from pg_class where relowner = r.oid) as owns
       from pg_roles r where rolname = 'castbook_app'`,
    );
    expect(Object.values(role ?? { none: true })).toEqual([
      false,
      false,
      false,
      false,
      false,
      false,
    ]);
  });

  test('every table has row security, and one policy, for reading and for writing', async () => {
    const rows = await db.store.raw<{ table: string; on: boolean; policies: string[] }>(
      `select c.relname::text as "table", c.relrowsecurity as "on",
         array(select p.polcmd::text || ' ' || pg_get_expr(p.polqual, p.polrelid) || ' ' || pg_get_expr(p.polwithcheck, p.polrelid)
           from pg_policy p where p.polrelid = c.oid and p.polpermissive
             and p.polroles = array(select oid from pg_roles where rolname = 'castbook_app')) as policies
       from pg_class c where c.relnamespace = 'public'::regnamespace and c.relkind = 'r'
         and c.relname <> '_prisma_migrations' order by 1`,
    );
    expect(rows).toHaveLength(owned.length);
    for (const [at, [table, column]] of owned.entries()) {
      const own = `(${column} = (NULLIF(current_setting('app.clinic'::text, true), ''::text))::uuid)`;
      expect(rows[at]).toEqual({ table, on: true, policies: [`* ${own} ${own}`] });
    }
  });

  test('cannot rewrite which migrations were applied, and makes no tables', async () => {
    for (const sql of ['delete from _prisma_migrations', 'create table spy (id int)']) {
      await expectRefused(db.store, () => asApp(db.store, ours.clinicId, (app) => app.query(sql)), {
        state: '42501',
      });
    }
  });
});

describe('another clinic’s rows', () => {
  test('are not seen, in any table; without a clinic nothing is', async () => {
    for (const [table, column] of owned) {
      const foreign = `${column} = '${theirs.clinicId}'`;
      const own = `${column} = '${ours.clinicId}'`;
      expect(await count({ query: db.store.raw }, table, foreign), table).toBeGreaterThan(0);
      await asApp(db.store, ours.clinicId, async (app) => {
        expect(await count(app, table, foreign), table).toBe(0);
        expect(await count(app, table, own), table).toBe(await count(app, table, 'true'));
        expect(await count(app, table, own), table).toBeGreaterThan(0);
      });
      await asApp(db.store, null, async (app) => {
        expect(await count(app, table, 'true'), table).toBe(0);
      });
    }
  });

  test('are not written, into any table, and nothing is told of them', async () => {
    for (const [table] of owned) {
      const row = await fullestRow(theirs, table);
      const copy = 'id' in row ? { ...row, id: randomUUID() } : row;
      for (const scope of [ours.clinicId, null]) {
        const attempt = () =>
          asApp(db.store, scope, (app) => app.query(INSERT_JSON(table), [JSON.stringify(copy)]));
        await expectRefused(db.store, attempt, { state: '42501' });
      }
    }
  });

  test('are not changed, in any table that can be changed', async () => {
    const columns = await db.store.raw<{ table: string; column: string }>(
      `select table_name::text as "table", min(column_name)::text as "column"
       from information_schema.column_privileges
       where grantee = 'castbook_app' and privilege_type = 'UPDATE' group by 1 order by 1`,
    );
    expect(columns.length).toBeGreaterThan(10);
    for (const { table, column } of columns) {
      const key = table === 'clinic' ? 'id' : 'clinic_id';
      const changed = await asApp(db.store, ours.clinicId, (app) =>
        app.query(`update "${table}" set "${column}" = "${column}" where ${key} = $1 returning 1`, [
          theirs.clinicId,
        ]),
      );
      expect(changed, table).toEqual([]);
    }
  });

  test('a row of our own is not given away', async () => {
    for (const [table, column] of owned) {
      const give = `update "${table}" set ${column} = '${theirs.clinicId}'`;
      await expectRefused(
        db.store,
        () => asApp(db.store, ours.clinicId, (app) => app.query(give)),
        {
          state: '42501',
        },
      );
    }
  });

  test('a move of another clinic’s lock is refused before anything is told of the lock', async () => {
    const lock = await theirs.piece('lock');
    const bench = await theirs.place('bench');
    // Said wrongly on purpose: the ledger would answer with where the lock is.
    const attempt = () =>
      asApp(db.store, ours.clinicId, (app) =>
        insertInto(app, 'move', theirs.moveOf(lock.as, bench, lock.at)),
      );
    await expect(attempt()).rejects.toMatchObject({
      code: '42501',
      message: expect.not.stringContaining(lock.label) as string,
    });
  });

  test('of who signs in only the two ids are told', async () => {
    const told = await asApp(db.store, null, (app) =>
      app.query(`select * from sign_in_candidate('Technician@TH.example')`),
    );
    expect(told).toEqual([{ clinic_id: theirs.clinicId, person_id: theirs.technicianId }]);
  });
});

interface ForeignKey {
  readonly name: string;
  readonly table: string;
  readonly target: string;
  readonly columns: string[];
  readonly targets: string[];
}

const foreignKeys = (): Promise<ForeignKey[]> =>
  db.store.raw<ForeignKey>(
    `select n.conname::text as name, n.conrelid::regclass::text as "table", n.confrelid::regclass::text as target,
       array(select a.attname::text from unnest(n.conkey) with ordinality k(num, at)
         join pg_attribute a on a.attrelid = n.conrelid and a.attnum = k.num order by k.at) as columns,
       array(select a.attname::text from unnest(n.confkey) with ordinality k(num, at)
         join pg_attribute a on a.attrelid = n.confrelid and a.attnum = k.num order by k.at) as targets
     from pg_constraint n where n.contype = 'f' and n.connamespace = 'public'::regnamespace order by 1`,
  );

describe('references', () => {
  test('every reference between rows of a clinic names the clinic on both sides', async () => {
    const keys = (await foreignKeys()).filter(({ target }) => target !== 'clinic');
    expect(keys.length).toBeGreaterThan(80);
    for (const { name, columns, targets } of keys) {
      expect([columns[0], targets[0], targets[1]], name).toEqual(['clinic_id', 'clinic_id', 'id']);
      expect(columns, name).toHaveLength(2);
    }
  });

  test('no row points at another clinic’s, by any reference', async () => {
    /** Where a rule refuses before the reference is looked up. */
    const sooner: Readonly<Record<string, string>> = {
      'access_code.person_id': 'RP104',
      'bench_pin.person_id': 'RP203',
      'bench_pin.session_id': 'RP203',
      'session.bench_pin_id': 'RP202',
      'signature.person_id': 'R0805',
      'signature.session_id': 'R0805',
      'refresh_token.person_id': 'RP103',
      'refresh_token.family_id': 'RP103',
      'appointment.patient_id': 'R1003',
      // Whose record it corrects, and who signed it.
      'correction.patient_id': 'R1011',
      'correction.order_id': 'R1011',
      'correction.request_id': 'R1012',
      'correction.signature_id': 'R1013',
      'correction.corrected_by_id': 'R1013',
      // An erasure is never entered settled.
      'erasure.patient_id': '42501',
      'erasure.asked_by_id': '42501',
      'erasure.settled_by_id': '42501',
      'erasure.signature_id': '42501',
      'appointment.replaces_id': 'R1002',
      'layup.socket_id': 'RC202',
      'layup.signature_id': 'RC201',
      'resin_recipe.layup_id': 'RC301',
      'resin_recipe.socket_id': 'RC301',
      'resin_weighing.socket_id': 'RC303',
      'move.item_id': 'R0203',
      'move.shop_tool_id': 'R0203',
      'move.from_place_id': 'R0101',
      'signed_head.asked_by_id': 'R1101',
    };
    const base = {
      // The lock's last move took it to the bench; the next one starts there.
      move: {
        from_place_id: (await ours.place('bench')).id,
        to_place_id: (await ours.bin()).id,
        service_visit_id: null,
      },
      socket: { state: 'in_work' },
    } as const;
    /** What a batch of a fabric, and one of a resin system, may not be at once. */
    const batchOf: Readonly<Record<string, Json>> = {
      fabric_id: { kind: 'fabric', resin_product_id: null },
      resin_product_id: { kind: 'resin', fabric_id: null },
    };
    const disagreed: Json = {
      decision: 'denied',
      denial_ground: 'accurate_and_complete',
      disagreement: 'It is not.',
      disagreement_at: NOW,
    };
    const openFactor: Json = {
      secret: CIPHERTEXT,
      ended_at: null,
      ended_by_id: null,
      ended_how: null,
    };
    const endedFactor: Json = {
      secret: null,
      ended_at: '2026-03-02T09:00:00Z',
      ended_how: 'reset',
    };
    /** A hold is on one thing. */
    const heldBy: Readonly<Record<string, Json>> = {
      patient_id: { subject_kind: 'patient', order_id: null },
      part_id: { subject_kind: 'part_lot', lot: 'L-1', order_id: null },
    };
    /** A photo is of one thing; its bytes as JSON can say them. */
    const photoOf: Readonly<Record<string, Json>> = {
      finding_id: { operation_record_id: null, check_key: null },
      operation_record_id: { finding_id: null, check_key: 'edge' },
    };
    for (const { table, target, columns, name } of await foreignKeys()) {
      const column = columns[1];
      // Custody is written by the ledger's own trigger only.
      if (column === undefined || table === 'custody') continue;
      const copy: Json = {
        ...(await fullestRow(ours, table)),
        ...(table === 'move' || table === 'socket' ? base[table] : {}),
        ...(table === 'batch' ? batchOf[column] : {}),
        // Who disagrees with a denial, and when, are said together.
        ...(table === 'correction_request' && column === 'disagreement_by_id' ? disagreed : {}),
        ...(table === 'legal_hold' ? heldBy[column] : {}),
        ...(table === 'photo' ? { bytes: '\\xffd8ffd9', ...photoOf[column] } : {}),
        // A second factor that somebody ended has no secret any more.
        ...(table === 'second_factor' ? (column === 'ended_by_id' ? endedFactor : openFactor) : {}),
        // Measures have a cast where they are a cast's.
        ...(table === 'measure_set' && column === 'cast_id' ? { occasion: 'cast' } : {}),
        // A tool is calibrated once a day, and a certificate counts once.
        ...(table === 'calibration' ? { calibrated_on: '2026-01-15', certificate: 'C-9' } : {}),
        // A signature of approval is bound to its own layup, not to a copy.
        ...(table === 'layup' && column !== 'signature_id'
          ? { approved_at: null, signature_id: null }
          : {}),
        ...freshKey(table),
        [column]: (await fullestRow(theirs, target))['id'],
        ...(name.includes('shop_tool') && table === 'move' ? { item_id: null } : {}),
      };
      const indexes = await uniqueIndexes(table);
      const attempt = db.store.ownerTransaction(async (sql) => {
        // Only the reference is to be in the way: unique keys, which are checked first, are dropped here.
        for (const index of indexes) await sql.script(`drop index "${index}"`);
        await sql.query(
          `select set_config('role', 'castbook_app', true), set_config('app.clinic', $1, true)`,
          [ours.clinicId],
        );
        await sql.query(INSERT_JSON(table), [JSON.stringify(copy)]);
      });
      await expect(attempt, name).rejects.toMatchObject({
        code: sooner[`${table}.${column}`] ?? '23503',
      });
    }
  });
});

/** What makes a copy of a row another row. */
function freshKey(table: string): Json {
  switch (table) {
    case 'torque_reading':
      return { fastener: 3 };
    case 'measure':
      return { height_mm: 40 };
    case 'route_operation':
      return { seq: 99 };
    case 'number_counter':
      return { year: 2031 };
    case 'idempotency_key':
      return { key: 'another-key-of-its-own' };
    default:
      return { id: randomUUID() };
  }
}

async function uniqueIndexes(table: string): Promise<string[]> {
  const rows = await db.store.raw<{ index: string }>(
    `select indexrelid::regclass::text as index from pg_index
     where indrelid = $1::regclass and indisunique and not indisprimary`,
    [table],
  );
  return rows.map(({ index }) => index);
}

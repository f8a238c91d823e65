/**
 * R12, as the catalogue of the database has it and as chance tries it: what stands between two
 * clinics, who could take it down, and that no run of reads and writes goes over it.
 */
import { createHash } from 'node:crypto';
import fs from 'node:fs';
import path from 'node:path';
import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { migrate } from '../../src/store/migrate.ts';
import { emptyDatabase, testDatabase, type TestDatabase } from '../support/database.ts';
import { oneOfEach } from '../support/oneOfEach.ts';
import { asApp, tableNames } from '../support/plainSql.ts';
import { ClinicRows } from '../support/rows.ts';

let db: TestDatabase;
let ours: ClinicRows;
let theirs: ClinicRows;

beforeAll(async () => {
  db = await testDatabase();
  theirs = await ClinicRows.found(db.store, 'TH');
  await oneOfEach(theirs);
  ours = await ClinicRows.found(db.store, 'KL');
  await oneOfEach(ours);
});
afterAll(() => db.close());

const rowsOf = <Row extends object>(sql: string, params: readonly unknown[] = []) =>
  db.store.raw<Row>(sql, params);

/** Relations of our own: what an extension brought is the extension's. */
const OURS = (oid: string) =>
  `not exists (select 1 from pg_depend d where d.objid = ${oid} and d.deptype = 'e')`;

describe('what stands between two clinics', () => {
  test('there are tables alone, each with its clinic, and row security on every one', async () => {
    const relations = await rowsOf<{
      name: string;
      kind: string;
      on: boolean;
      clinic: boolean;
      policies: number;
    }>(
      `select c.relname::text as name, c.relkind::text as kind, c.relrowsecurity as "on",
         exists (select 1 from pg_attribute a where a.attrelid = c.oid and a.attname = 'clinic_id' and a.attnotnull) as clinic,
         (select count(*)::int from pg_policy p where p.polrelid = c.oid) as policies
       from pg_class c join pg_namespace n on n.oid = c.relnamespace
       where n.nspname not in ('pg_catalog', 'information_schema', 'pg_toast') and n.nspname not like 'pg_temp%'
         and n.nspname not like 'pg_toast%' and c.relkind not in ('i', 'I', 't', 'c') and ${OURS('c.oid')} order by 1`,
    );
    // No view, materialised view, sequence, partition or foreign table: each would need a wall of its own.
    expect(relations.filter(({ kind }) => kind !== 'r')).toEqual([]);
    expect(relations.length).toBeGreaterThan(60);
    for (const { name, on, clinic, policies } of relations) {
      const expected =
        name === '_prisma_migrations'
          ? { on: false, clinic: false, policies: 0 }
          : { on: true, clinic: name !== 'clinic', policies: 1 };
      expect({ name, on, clinic, policies }).toEqual({ name, ...expected });
    }
  });

  test('row security is not forced on the owner, and the application is never the owner', async () => {
    // Forced, it would stop the doors below, which run as the owner on purpose, and bind no
    // superuser anyway. So the service must not be the owner: it takes its role in every transaction.
    const forced = await rowsOf(`select 1 from pg_class where relforcerowsecurity`);
    expect(forced).toEqual([]);
    const owned = await rowsOf<{ what: string }>(
      `select relname::text as what from pg_class where relowner = 'castbook_app'::regrole
       union all select proname::text from pg_proc where proowner = 'castbook_app'::regrole
       union all select typname::text from pg_type where typowner = 'castbook_app'::regrole
       union all select nspname::text from pg_namespace where nspowner = 'castbook_app'::regrole`,
    );
    expect(owned).toEqual([]);
    const memberOf = await rowsOf(
      `select 1 from pg_auth_members where member = 'castbook_app'::regrole`,
    );
    expect(memberOf).toEqual([]);
  });
});

/**
 * Every function that runs as the owner, with why that is safe. One that a trigger calls sees the
 * rows of the row's own clinic alone (each statement in it names new.clinic_id).
 */
const AS_THE_OWNER: Readonly<Record<string, string>> = {
  sign_in_candidate: 'who signs in is known by e-mail alone; two ids are told, of that address',
  take_long_work: 'a process looks for work of any clinic; it learns whose and which',
  move_is_possible: 'locks and reads the ledger, which the application may not write',
  move_changes_custody: 'writes custody, which nobody else may',
  delivery_has_its_record: 'reads what a delivery needs, of the socket’s own clinic',
  event_joins_chain: 'numbers and chains, and writes the head, which nobody else may',
  measures_are_of_their_order: 'reads sockets and casts of the row’s clinic',
  decision_is_on_one_limb: 'reads measures of the row’s clinic',
  layup_has_its_record: 'reads socket and signature of the row’s clinic',
  lay_up_has_its_layup: 'reads layups of the row’s clinic',
  cast_is_not_outgrown: 'reads decisions of the row’s clinic',
  recipe_has_its_layup: 'reads the layup of the row’s clinic',
  weighing_is_of_its_cup: 'reads the recipe of the row’s clinic',
  move_is_in_time: 'reads the thing’s expiry, of the row’s clinic',
  calibration_is_entered_once: 'reads calibrations of the row’s clinic',
  torque_is_of_its_time: 'reads moves of the row’s clinic',
  lock_check_is_of_its_time: 'reads moves of the row’s clinic',
  move_is_of_its_time: 'reads moves of the row’s clinic',
  appointment_belongs: 'reads the order and the replaced line, of the row’s clinic',
  break_glass_is_reviewed_by_another: 'reads the opening of the row’s clinic',
  refresh_token_has_session: 'locks the session of the row’s clinic',
  session_ends_tokens: 'revokes the tokens of the row’s session',
  access_code_is_for_who_works_here: 'reads the person of the row’s clinic',
  session_roles: 'what a session is worth now is told to who names its clinic, id and person',
  session_is_as_begun: 'reads factor and PIN of the row’s person',
  second_factor_leaves_sessions: 'writes the sessions of the row’s person',
  bench_pin_after_sign_in: 'reads the session of the row’s clinic',
  bench_pin_ends_sessions: 'ends the sessions begun by the row’s PIN',
  session_ends_pins: 'ends the PINs that hang on the row’s session',
  person_ends_pins: 'ends the PINs of the row’s person',
  role_grant_ends_pins: 'ends the PINs of the row’s person',
  signature_in_own_session: 'reads the session of the row’s clinic',
  openid_clinic: 'a sign-in link names its clinic; the id alone is told, where people sign in so',
  clinics_without_head: 'the service signs heads of any clinic; it learns whose are due',
  correction_is_of_its_patient: 'reads what is corrected, of the row’s clinic',
  erasure_is_allowed: 'reads holds and deliveries of the clinic that the trigger names',
  erasure_is_asked: 'reads holds and deliveries of the row’s clinic',
  erasure_is_carried_out: 'the one way anything is erased, of the row’s patient',
  legal_hold_holds_still: 'locks what the row holds, of its clinic',
  column_keys_in_use:
    'which keys the service must be given; names and checks, nothing of a clinic’s',
  erasure_takes_openings: 'erases the words of openings, of the row’s patient',
};
/** Doors that the application may call by name; the rest are triggers. */
const DOORS = [
  'sign_in_candidate',
  'take_long_work',
  'session_roles',
  'openid_clinic',
  'clinics_without_head',
  'column_keys_in_use',
];

/** Called by a trigger of the same owner. */
const BY_A_TRIGGER = ['erasure_is_allowed'];

describe('what runs as the owner', () => {
  test('is this list and no more; its search path is pinned, and not everybody may call it', async () => {
    const functions = await rowsOf<{
      name: string;
      definer: boolean;
      pinned: boolean;
      everybody: boolean;
      app: boolean;
      trigger: boolean;
    }>(
      `select p.proname::text as name, p.prosecdef as definer,
         coalesce(p.proconfig @> array['search_path=public, pg_temp'], false) as pinned,
         has_function_privilege('public', p.oid, 'execute') as everybody,
         has_function_privilege('castbook_app', p.oid, 'execute') as app,
         p.prorettype = 'trigger'::regtype as trigger
       from pg_proc p where p.pronamespace = 'public'::regnamespace and ${OURS('p.oid')} order by 1`,
    );
    const definers = functions.filter(({ definer }) => definer);
    expect(definers.map(({ name }) => name)).toEqual(Object.keys(AS_THE_OWNER).sort());
    for (const { name, pinned, everybody, app, trigger } of definers) {
      const isDoor = DOORS.includes(name);
      expect({ name, pinned, everybody, app, trigger }).toEqual({
        name,
        pinned: true,
        everybody: false,
        app: isDoor,
        trigger: !isDoor && !BY_A_TRIGGER.includes(name),
      });
    }
    // Those that run as the caller too: a table of somebody's making must not stand before ours.
    expect(functions.filter(({ pinned }) => !pinned).map(({ name }) => name)).toEqual([]);
  });

  test('reads no other clinic’s rows before the policy has refused the row that is written', async () => {
    // A policy's check comes after the triggers before an insert; so the first of them asks whose it is.
    const unguarded = await rowsOf<{ table: string; trigger: string }>(
      `select t.tgrelid::regclass::text as "table", t.tgname::text as trigger
       from pg_trigger t join pg_proc p on p.oid = t.tgfoid
       where not t.tgisinternal and p.prosecdef and (t.tgtype & 2) <> 0 and (t.tgtype & 4) <> 0
         and not exists (select 1 from pg_trigger g join pg_proc o on o.oid = g.tgfoid
           where g.tgrelid = t.tgrelid and o.proname = 'only_own_clinic' and g.tgname < t.tgname
             and (g.tgtype & 2) <> 0 and (g.tgtype & 4) <> 0)`,
    );
    expect(unguarded).toEqual([]);
  });
});

describe('the role that the service takes', () => {
  const attempts: readonly (readonly [what: string, sql: string])[] = [
    ['makes a table', 'create table spy (id int)'],
    ['makes a schema', 'create schema spy'],
    ['makes a function', `create function spy() returns int language sql as 'select 1'`],
    ['makes a view over a table', 'create view spy as select * from patient'],
    ['makes a type', "create type spy as enum ('a')"],
    ['makes an extension', 'create extension if not exists dblink'],
    ['makes a role', 'create role spy'],
    ['takes a policy down', 'drop policy patient_own_clinic on patient'],
    ['makes a policy', 'create policy spy on patient for select to castbook_app using (true)'],
    ['turns row security off', 'alter table patient disable row level security'],
    ['turns triggers off', 'alter table event disable trigger all'],
    [
      'turns triggers off for itself',
      `select set_config('session_replication_role', 'replica', true)`,
    ],
    ['takes a trigger down', 'drop trigger event_kept on event'],
    ['takes a constraint down', 'alter table patient drop constraint patient_pkey'],
    [
      'rewrites a function',
      `create or replace function refuse_change() returns trigger language plpgsql as 'begin return new; end'`,
    ],
    ['makes itself more', 'alter role castbook_app bypassrls'],
    ['writes custody', 'update custody set seq = seq'],
    ['writes the chain’s head', 'update event_head set seq = seq'],
    ['deletes', 'delete from patient'],
    ['empties', 'truncate patient'],
    ['reads a file', `select pg_read_file('PG_VERSION')`],
    ['reads what others run under which names', 'select passwd from pg_shadow'],
  ];
  test.each(attempts)('never %s', async (_what, sql) => {
    const attempt = asApp(db.store, ours.clinicId, (app) => app.query(sql));
    await expect(attempt).rejects.toMatchObject({
      // Not permitted; or, for what would be read round the policies, refused by row security itself.
      code: expect.stringMatching(/^(42501|0A000|58P01)$/) as string,
    });
  });

  test('is refused where it asks to read without row security, and gains nothing by a grant', async () => {
    const reading = asApp(db.store, ours.clinicId, async (app) => {
      await app.query(`select set_config('row_security', 'off', true)`);
      return app.query('select count(*) from patient');
    });
    await expect(reading).rejects.toMatchObject({ code: '42501' });
    // PostgreSQL only warns of what somebody gives who may give nothing.
    await asApp(db.store, ours.clinicId, (app) =>
      app.query('grant all on patient to castbook_app'),
    );
    const [has] = await rowsOf(
      `select has_table_privilege('castbook_app', 'patient', 'DELETE') as deletes,
         has_table_privilege('castbook_app', 'patient', 'TRUNCATE') as empties`,
    );
    expect(has).toEqual({ deletes: false, empties: false });
  });

  test('makes no temporary table either: it would stand before the record’s own for whoever has the connection next', async () => {
    // Of a database that was migrated itself: the right belongs to the database, and a copy of one has its own.
    const fresh = await emptyDatabase();
    try {
      await migrate(fresh.database);
      const [may] = await fresh.database.raw<{ temporary: boolean; create: boolean }>(
        `select has_database_privilege('castbook_app', current_database(), 'TEMPORARY') as temporary,
           has_schema_privilege('castbook_app', 'public', 'CREATE') as "create"`,
      );
      expect(may).toEqual({ temporary: false, create: false });
    } finally {
      await fresh.close();
    }
    // All migrations from the first on, on a machine that has other work too.
  }, 180_000);
});

interface Column {
  readonly name: string;
  readonly type: string;
}
interface Table {
  readonly name: string;
  readonly columns: readonly Column[];
  readonly changeable: readonly string[];
}

async function tables(): Promise<Table[]> {
  const names = (await tableNames(db.store)).filter((name) => name !== '_prisma_migrations');
  const columns = await rowsOf<{ table: string; name: string; type: string; may: boolean }>(
    `select c.relname::text as "table", a.attname::text as name, format_type(a.atttypid, a.atttypmod) as type,
       has_column_privilege('castbook_app', c.oid, a.attnum, 'UPDATE') as may
     from pg_class c join pg_attribute a on a.attrelid = c.oid and a.attnum > 0 and not a.attisdropped
     where c.relnamespace = 'public'::regnamespace and c.relkind = 'r' order by 1, a.attnum`,
  );
  return names.map((name) => {
    const own = columns.filter((column) => column.table === name);
    return {
      name,
      columns: own.map((column) => ({ name: column.name, type: column.type })),
      changeable: own.filter(({ may }) => may).map((column) => column.name),
    };
  });
}

/** Every row of a clinic, in every table, as one hash. */
async function hashOf({ clinicId }: ClinicRows): Promise<string> {
  const names = await tableNames(db.store);
  const rows = await rowsOf<{ row: string }>(
    names
      .map(
        (name) =>
          `select '${name}' || to_jsonb(r)::text as row from "${name}" r where ${name === 'clinic' ? 'id' : 'clinic_id'} = '${clinicId}'`,
      )
      .join('\nunion all '),
  );
  const hash = createHash('sha256');
  for (const { row } of rows.toSorted((a, b) => (a.row < b.row ? -1 : 1))) hash.update(row);
  return hash.digest('hex');
}

describe('by chance', () => {
  test('no plain SQL of the application’s role reads or changes a row of the other clinic', async () => {
    const all = await tables();
    const before = await hashOf(theirs);
    const foreign = new Map<string, Record<string, unknown>>();
    for (const { name } of all) {
      const key = name === 'clinic' ? 'id' : 'clinic_id';
      const [row] = await rowsOf<{ row: Record<string, unknown> }>(
        `select to_jsonb(r) as row from "${name}" r where ${key} = $1 limit 1`,
        [theirs.clinicId],
      );
      foreign.set(name, row?.row ?? {});
    }
    let [told, changed, refused] = [0, 0, 0];
    const table = fc.constantFrom(...all);
    const kinds = [
      'where',
      'join',
      'or',
      'subquery',
      'union',
      'insert',
      'insert-select',
      'upsert',
      'update',
      'update-from',
      'delete',
    ] as const;
    await fc.assert(
      fc.asyncProperty(
        table,
        table,
        fc.constantFrom(...kinds),
        fc.nat(),
        fc.nat(),
        async (a, b, kind, at, other) => {
          const column = a.columns[at % a.columns.length];
          const beside = b.columns[other % b.columns.length];
          const change = a.changeable[at % Math.max(a.changeable.length, 1)] ?? column?.name ?? '';
          if (column === undefined || beside === undefined) return;
          const row = foreign.get(a.name) ?? {};
          const value = row[column.name];
          const is = `"${column.name}"::text = $1`;
          const own = (name: string) => (name === 'clinic' ? 'id' : 'clinic_id');
          const given = typeof value === 'object' ? JSON.stringify(value) : String(value);
          const list = a.columns.map(({ name }) => `"${name}"`).join(', ');
          const sql: Record<(typeof kinds)[number], readonly [string, ...string[]]> = {
            where: [`select to_jsonb(x) as row from "${a.name}" x where ${is}`, given],
            join: [
              `select to_jsonb(y) as row from "${a.name}" x right join "${b.name}" y on x.ctid is not null where y.ctid is not null and ($1::text is null or true)`,
              given,
            ],
            or: [
              `select to_jsonb(x) as row from "${a.name}" x where ${own(a.name)} = $1::uuid or true`,
              theirs.clinicId,
            ],
            subquery: [
              `select to_jsonb(x) as row from "${a.name}" x where exists (select 1 from "${b.name}" y where y."${beside.name}"::text is not null) or x.${own(a.name)} = $1::uuid`,
              theirs.clinicId,
            ],
            union: [
              `select to_jsonb(x) as row from "${a.name}" x union all select to_jsonb(y) from "${b.name}" y where $1 <> ''`,
              given,
            ],
            insert: [
              `insert into "${a.name}" select * from jsonb_populate_record(null::"${a.name}", $1::text::jsonb) returning to_jsonb("${a.name}") as row`,
              JSON.stringify(row),
            ],
            'insert-select': [
              `insert into "${a.name}" (${list}) select ${list} from "${a.name}" where ${own(a.name)} = $1::uuid returning to_jsonb("${a.name}") as row`,
              theirs.clinicId,
            ],
            upsert: [
              `insert into "${a.name}" select * from jsonb_populate_record(null::"${a.name}", $1::text::jsonb) on conflict do nothing returning to_jsonb("${a.name}") as row`,
              JSON.stringify(row),
            ],
            update: [
              `update "${a.name}" x set "${change}" = "${change}" where ${own(a.name)} = $1::uuid returning to_jsonb(x) as row`,
              theirs.clinicId,
            ],
            'update-from': [
              `update "${a.name}" x set "${change}" = x."${change}" from "${b.name}" y where y.${own(b.name)} = $1::uuid or x.${own(a.name)} = $1::uuid returning to_jsonb(x) as row`,
              theirs.clinicId,
            ],
            delete: [
              `delete from "${a.name}" x where ${own(a.name)} = $1::uuid returning to_jsonb(x) as row`,
              theirs.clinicId,
            ],
          };
          const [text, ...params] = sql[kind];
          const rows = await asApp(db.store, ours.clinicId, (app) =>
            app.query<{ row: Record<string, unknown> }>(text, params),
          ).catch((failure: unknown) => {
            const { code, message } = failure as { code?: string; message: string };
            // A refusal says nothing of what it did not let be seen.
            expect(message).not.toContain(theirs.clinicId);
            expect(code).toMatch(/^(42501|23\d{3}|22\w{3}|42\w{3}|R\w{4})$/);
            refused += 1;
            return [];
          });
          for (const { row: seen } of rows) {
            expect(JSON.stringify(seen)).not.toContain(theirs.clinicId);
            told += 1;
          }
          if (kind === 'update' || kind === 'insert-select') changed += rows.length;
        },
      ),
      { numRuns: 400 },
    );
    // It looked somewhere, and was stopped somewhere.
    expect(told).toBeGreaterThan(100);
    expect(refused).toBeGreaterThan(20);
    expect(changed).toBe(0);
    expect(await hashOf(theirs)).toBe(before);
  });
});

describe('what the policies do not hold', () => {
  test('SQL of somebody else’s making would name the other clinic itself: so none is ever made from a request', async () => {
    // The clinic of a transaction is a setting, and whoever speaks SQL there can set it. Row
    // security holds against our own mistakes, not against a text of theirs that is run.
    const seen = await asApp(db.store, ours.clinicId, (app) =>
      app.query<{ set: string }>(
        `with other as materialized (select set_config('app.clinic', $1, true) as set)
         select set from other`,
        [theirs.clinicId],
      ),
    );
    expect(seen).toEqual([{ set: theirs.clinicId }]);
    const source = path.resolve(import.meta.dirname, '../../src');
    const files = fs
      .readdirSync(source, { recursive: true, encoding: 'utf8' })
      .filter(
        (file) => file.endsWith('.ts') && !file.startsWith('generated') && !file.startsWith('web'),
      );
    const texts = files.map(
      (file) => [file, fs.readFileSync(path.join(source, file), 'utf8')] as const,
    );
    const naming = (what: RegExp) =>
      texts
        .filter(([, text]) => what.test(text))
        .map(([file]) => file)
        .sort();
    expect(naming(/\$(query|execute)RawUnsafe/)).toEqual([]);
    // Where a name is put into a statement, it is one of the program's own lists: tables of the
    // exports, columns of the trace.
    expect(naming(/Prisma\.raw\(`[^`(]*\$\{/)).toEqual([
      'store/patientRecord.ts',
      'store/recordExport.ts',
      'store/trace.ts',
    ]);
    // Words of the program's own lists put into a statement, in the store alone.
    expect(naming(/Prisma\.raw\(/).filter((file) => !file.startsWith('store/'))).toEqual([]);
    // Who sets the clinic: the one way into a transaction, the two sign-ins, which find whose it
    // is, and the start, which notes in each clinic which keys are in use.
    expect(naming(/app\.clinic/)).toEqual([
      'store/act.ts',
      'store/columnKeys.ts',
      'store/openid.ts',
      'store/signIns.ts',
    ]);
  });
});

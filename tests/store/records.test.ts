/** R10: nothing is deleted, what is a record is never rewritten, and what is closed stays closed. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import {
  PICTURE_EDGE_LIMIT_PX,
  PICTURE_LIMIT_BYTES,
  PICTURES_MOST,
} from '../../src/domain/pictures.ts';
import { testDatabase, type TestDatabase } from '../support/database.ts';
import { oneOfEach } from '../support/oneOfEach.ts';
import { asApp, everyRow, expectRefused, tableNames, type Values } from '../support/plainSql.ts';
import { ClinicRows, NOW } from '../support/rows.ts';

let db: TestDatabase;
let clinic: ClinicRows;
let tables: string[];

beforeAll(async () => {
  db = await testDatabase();
  await oneOfEach(await ClinicRows.found(db.store, 'BY'));
  clinic = await ClinicRows.found(db.store, 'KL');
  await oneOfEach(clinic);
  tables = await tableNames(db.store);
});

afterAll(() => db.close());

const asOwner = (sql: string): Promise<unknown> => db.store.raw(sql);
const app = (sql: string, params: readonly unknown[] = []): Promise<unknown> =>
  asApp(db.store, clinic.clinicId, (as) => as.query(sql, params));

/** The tables, and of each the columns, that the application may change at all. */
async function changeable(): Promise<Record<string, string[]>> {
  const rows = await db.store.raw<{ name: string; columns: string[] }>(
    `select table_name::text as name, array_agg(column_name::text order by column_name) as columns
     from information_schema.column_privileges
     where grantee = 'castbook_app' and privilege_type = 'UPDATE' and table_schema = 'public'
     group by table_name order by table_name`,
  );
  return Object.fromEntries(rows.map(({ name, columns }) => [name, columns]));
}

describe('records are kept (R10)', () => {
  test('every table has rows here, so that every refusal below refuses something', async () => {
    const empty = Object.entries(await everyRow(db.store)).filter(([, rows]) => rows.length < 2);
    expect(empty.map(([name]) => name)).toEqual([]);
    expect(tables.length).toBeGreaterThan(40);
  });

  test('no row of any table is deleted, by the application or by the owner', async () => {
    for (const table of tables) {
      await expectRefused(db.store, () => app(`delete from "${table}"`), { state: '42501' });
      await expectRefused(db.store, () => asOwner(`delete from "${table}"`), {
        state: 'R1001',
        code: 'record-is-kept',
        facts: { table, attempt: 'delete' },
      });
    }
  });

  test('no table is emptied, by the application or by the owner', async () => {
    for (const table of tables) {
      await expectRefused(db.store, () => app(`truncate "${table}" cascade`), { state: '42501' });
      await expectRefused(db.store, () => asOwner(`truncate "${table}" cascade`), {
        state: 'R1001',
        code: 'record-is-kept',
      });
    }
  });

  test('what the application may change is a closed list of tables, and never a key', async () => {
    const columns = await changeable();
    expect(Object.keys(columns)).toEqual([
      'access_code',
      'appointment',
      'batch',
      'bench',
      'bench_pin',
      'clinic',
      'correction_request',
      'erasure',
      'fabric',
      'fabrication_order',
      'finding',
      'item',
      'layup',
      'layup_rule_set',
      'legal_hold',
      'limb_cast',
      'long_work',
      'number_counter',
      'openid_attempt',
      'openid_link',
      'openid_provider',
      'operation',
      'part',
      'part_draft',
      'patient',
      'person',
      'recovery_code',
      'refresh_token',
      'resin_product',
      'resin_recipe',
      'role_grant',
      'route',
      'second_factor',
      'service_visit',
      'session',
      'shop_tool',
      'socket',
      'torque_setting',
      'work_calendar',
    ]);
    for (const names of Object.values(columns)) {
      expect(names).not.toContain('id');
      expect(names).not.toContain('clinic_id');
    }
  });

  test('every other table is a record: rewritten by nobody', async () => {
    const may = await changeable();
    // The ledger's own shadow and the chain's head are written by their triggers only; a key is
    // retired by the owner (tests/store/encryptedColumns).
    const byTrigger = ['custody', 'event_head', 'column_key'];
    const records = tables.filter((table) => may[table] === undefined);
    expect(records).toHaveLength(tables.length - Object.keys(may).length);
    for (const table of records) {
      const rewrite = `update "${table}" set clinic_id = clinic_id`;
      await expectRefused(db.store, () => app(rewrite), { state: '42501' });
      if (byTrigger.includes(table)) continue;
      await expectRefused(db.store, () => asOwner(rewrite), {
        state: 'R1001',
        code: 'record-is-kept',
        facts: { table, attempt: 'update' },
      });
    }
  });
});

describe('what is closed stays closed (R10)', () => {
  test.each([
    ['a finding', 'finding', `disposition = 'scrap'`, 'disposition is not null'],
    ['a finding’s reason', 'finding', `disposition_reason = 'other'`, 'disposition is not null'],
    ['a service visit', 'service_visit', 'closed_at = null', 'closed_at is not null'],
    ['a service visit’s outcome', 'service_visit', `outcome = 'x'`, 'closed_at is not null'],
    ['a decided cast', 'limb_cast', `state = 'rejected'`, `state = 'accepted'`],
    ['the reason of a decided cast', 'limb_cast', `decision_reason = 'x'`, `state = 'accepted'`],
    ['an ended role', 'role_grant', 'ended_at = null', 'ended_at is not null'],
    ['a used refresh token', 'refresh_token', 'used_at = null', 'used_at is not null'],
    [
      'the signature of an approved layup',
      'layup',
      'approved_at = now()',
      'approved_at is not null',
    ],
    ['a resolved part draft', 'part_draft', `note = 'x'`, 'resolved_at is not null'],
    ['a superseded calendar', 'work_calendar', 'superseded_at = null', 'superseded_at is not null'],
    [
      'superseded layup rules',
      'layup_rule_set',
      'superseded_at = now()',
      'superseded_at is not null',
    ],
    ['a used one-time code', 'access_code', 'ended_at = null', 'ended_at is not null'],
    ['an ended session', 'session', 'ended_at = null', 'ended_at is not null'],
  ])('%s', async (_what, table, change, which) => {
    await expectRefused(db.store, () => app(`update ${table} set ${change} where ${which}`), {
      state: 'R1002',
      code: 'record-is-final',
      facts: { table },
    });
  });

  test('the day promised first stays, whatever is promised later', async () => {
    const order = await clinic.order({
      promised_on: '2026-04-01',
      first_promised_on: '2026-04-01',
    });
    const promise = (column: string) =>
      `update fabrication_order set ${column} = '2026-05-01' where id = '${order.id}'`;
    await app(promise('promised_on'));
    await expectRefused(db.store, () => app(promise('first_promised_on')), {
      state: 'R1002',
      code: 'record-is-final',
      facts: { table: 'fabrication_order' },
    });
  });

  test('of a piece its price is entered later, and nothing else is rewritten', async () => {
    const { as } = await clinic.piece('pin');
    if (!('item_id' in as)) throw new Error('a pin is an item');
    const set = (change: string) => `update item set ${change} where id = '${as.item_id}'`;
    await app(set('price_minor = 3900, version = version + 1'));
    await expectRefused(db.store, () => app(set(`lot = 'another'`)), { state: '42501' });
    for (const change of [`lot = 'another'`, `price_minor = 1, expires_on = '2030-01-01'`]) {
      await expectRefused(db.store, () => asOwner(set(change)), {
        state: 'R1001',
        code: 'record-is-kept',
        facts: { table: 'item', attempt: 'update' },
      });
    }
  });

  test.each([['torque_setting'], ['route']])('a superseded %s', async (table) => {
    const [row] = await db.store.raw<{ id: string }>(
      `select id from ${table} where clinic_id = $1 limit 1`,
      [clinic.clinicId],
    );
    const supersede = (at: string | null) =>
      app(`update ${table} set superseded_at = $2 where id = $1`, [row?.id, at]);
    await supersede(NOW);
    await expectRefused(db.store, () => supersede(null), { state: 'R1002', facts: { table } });
  });

  test('the model of a decided cast is broken out later, and that is no change of the decision', async () => {
    const order = await clinic.order();
    const cast = await clinic.cast(order.id, { state: 'accepted' });
    await app('update limb_cast set model_broken_out_at = $2 where id = $1', [cast.id, NOW]);
    const [row] = await db.store.raw(
      'select state, model_broken_out_at from limb_cast where id = $1',
      [cast.id],
    );
    expect(row).toEqual({ state: 'accepted', model_broken_out_at: new Date(NOW) });
  });

  test('a finding is disposed of whole: by whom, when, and as is only with reason and signature', async () => {
    const finding = await clinic.finding(await clinic.socket('check'));
    const dispose = (set: string): Promise<void> =>
      expectRefused(
        db.store,
        () =>
          app(
            `update finding set ${set} where id = $1 and $2::timestamptz is not null and $3::uuid is not null`,
            [finding.id, NOW, clinic.prosthetistId],
          ),
        { state: '23514' },
      );
    await dispose(`disposition = 'rework'`);
    await dispose(`disposition = 'rework', disposed_at = $2`);
    await dispose(`disposition = 'accept_as_is', disposed_at = $2, disposed_by_id = $3`);
    await dispose(`disposed_at = $2`);
  });

  test('a photo is of one thing, no larger than it may be, and what its SHA-256 says', async () => {
    const { id } = await clinic.finding(await clinic.socket('check'));
    const of = { finding_id: id };
    const refuse = (over: Values): Promise<void> =>
      expectRefused(db.store, () => clinic.photo(of, over), { state: '23514' });
    await clinic.photo(of);
    const bytes = (count: number): Buffer => Buffer.alloc(count);
    await clinic.photo(of, { seq: PICTURES_MOST, bytes: bytes(PICTURE_LIMIT_BYTES) });
    await refuse({ seq: 2, bytes: bytes(PICTURE_LIMIT_BYTES + 1) });
    await refuse({ seq: 2, bytes: bytes(0) });
    await refuse({ seq: PICTURES_MOST + 1 });
    await refuse({ seq: 2, sha256: 'a'.repeat(64) });
    await refuse({ seq: 2, width_px: PICTURE_EDGE_LIMIT_PX + 1 });
    await refuse({ seq: 2, height_px: 0 });
    await refuse({ seq: 2, media_type: 'image/svg+xml' });
    await refuse({ seq: 2, check_key: 'edge' });
    await refuse({ seq: 2, finding_id: null });
    await expectRefused(db.store, () => clinic.photo(of), { state: '23505' });
  });

  test('no clinic keeps its records for less than seven years', async () => {
    await expectRefused(db.store, () => app('update clinic set retention_years = 6'), {
      state: '23514',
    });
    await app('update clinic set retention_years = 10');
  });
});

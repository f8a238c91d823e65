/** What a clinic that is older than calendar, benches, fabrics and layup rules finds after its update. */
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { migrate, MIGRATIONS_FOLDER } from '../../src/store/migrate.ts';
import {
  emptyDatabase,
  testDatabase,
  type BareDatabase,
  type TestDatabase,
} from '../support/database.ts';
import { ClinicRows } from '../support/rows.ts';

const OLD = '0190a000-0000-7000-8000-000000000001';
let old: BareDatabase;
let present: TestDatabase;
let newborn: ClinicRows;

beforeAll(async () => {
  old = await emptyDatabase();
  const before = fs.mkdtempSync(path.join(os.tmpdir(), 'castbook-before-'));
  for (const name of ['0001_tables', '0002_rules']) {
    fs.cpSync(path.join(MIGRATIONS_FOLDER, name), path.join(before, name), { recursive: true });
  }
  await migrate(old.database, before);
  await old.database.raw(
    `insert into clinic (id, name, number_prefix, time_zone, paper, alignment_tolerance_deg, alignment_tolerance_mm,
       releaser_may_be_sole_worker, retention_years, first_recheck_days, created_at)
     values ($1, 'Older clinic', 'OL', 'Europe/Vienna', 'A4', 1, 3, false, 7, 14, now())`,
    [OLD],
  );
  await migrate(old.database, MIGRATIONS_FOLDER);
  fs.rmSync(before, { recursive: true });
  present = await testDatabase();
  newborn = await ClinicRows.found(present.store, 'NW');
});

afterAll(async () => {
  await old.close();
  await present.close();
});

const KEPT = {
  work_calendar: 'version, weekdays, closed_days, superseded_at',
  layup_rule_set: 'version, rules, superseded_at',
  bench: 'name, people, active, version',
  fabric:
    'name, material, form, areal_density_gm2, width_mm, fibre_density_gcm3, stretch_percent, active, version',
};

test.each(Object.entries(KEPT))(
  'its %s is what a new clinic starts with',
  async (table, columns) => {
    const query = `select ${columns} from ${table} where clinic_id = $1 order by 1, 2`;
    const has = await old.database.raw(query, [OLD]);
    expect(has.length).toBeGreaterThan(0);
    expect(has).toEqual(await present.store.raw(query, [newborn.clinicId]));
  },
);

test('its settings are what a new clinic starts with', async () => {
  const query = (whose: string) => `
    select to_jsonb(c) - array['id', 'name', 'number_prefix', 'created_at'] as settings from clinic c where id = '${whose}'`;
  expect(await old.database.raw(query(OLD))).toEqual(
    await present.store.raw(query(newborn.clinicId)),
  );
});

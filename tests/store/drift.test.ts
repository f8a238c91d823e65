import fs from 'node:fs';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { catalogText, RENEW_COMMAND, SNAPSHOT_FILE } from '../../scripts/catalog-snapshot.ts';
import { SCHEMA_FILE, schemaDiff } from '../../scripts/schema-diff.ts';
import { testDatabase, type TestDatabase } from '../support/database.ts';

let db: TestDatabase;

beforeAll(async () => {
  db = await testDatabase();
});

afterAll(() => db.close());

describe('what Prisma believes and what the database is', () => {
  test('the migrations make exactly the tables, columns, keys and indexes of schema.prisma', async () => {
    expect(await schemaDiff()).toBeUndefined();
  });

  test('a column that only schema.prisma has is found, with the SQL it needs', async () => {
    const schema = fs
      .readFileSync(SCHEMA_FILE, 'utf8')
      .replace(/^model Clinic \{$/m, 'model Clinic {\n  motto String?');
    expect(await schemaDiff(schema)).toContain('ADD COLUMN     "motto" TEXT');
  });

  test('the catalogue is the committed one, on either database', async () => {
    const catalogue = await catalogText(db.store);
    expect(catalogue, `renew it with: ${RENEW_COMMAND}`).toBe(
      fs.readFileSync(SNAPSHOT_FILE, 'utf8'),
    );
  });

  test.each([
    ['a check', 'alter table bench_probe drop constraint bench_probe_mass'],
    ['a policy', 'drop policy bench_probe_own on bench_probe'],
    ['row security', 'alter table bench_probe disable row level security'],
    ['a trigger', 'drop trigger bench_probe_kept on bench_probe'],
    ['a trigger’s effect', 'alter table bench_probe disable trigger bench_probe_kept'],
    ['a grant', 'revoke select on bench_probe from castbook_app'],
    [
      'a function’s body',
      `create or replace function bench_probe_keep() returns trigger language plpgsql as $$ begin return old; end $$`,
    ],
    ['a partial index', 'drop index bench_probe_open'],
    ['a default', 'alter table bench_probe alter column kept drop default'],
    ['a NOT NULL', 'alter table bench_probe alter column kept drop not null'],
  ])('losing %s changes the catalogue’s text', async (_what, loss) => {
    const undone = new Error('undo');
    await expect(
      db.store.ownerTransaction(async (sql) => {
        await sql.script(PROBE);
        const whole = await catalogText({ raw: sql.query });
        await sql.script(loss);
        expect(await catalogText({ raw: sql.query })).not.toBe(whole);
        throw undone;
      }),
    ).rejects.toBe(undone);
  });
});

/** A table with one of each thing that Prisma's schema cannot say. */
const PROBE = `
  create table bench_probe (
    id int primary key, clinic_id int, mass_kg int, kept boolean not null default true,
    constraint bench_probe_mass check (mass_kg > 0)
  );
  create unique index bench_probe_open on bench_probe (clinic_id) where kept;
  create function bench_probe_keep() returns trigger language plpgsql as
    $$ begin raise exception 'kept'; end $$;
  create trigger bench_probe_kept before delete on bench_probe
    for each row execute function bench_probe_keep();
  alter table bench_probe enable row level security;
  create policy bench_probe_own on bench_probe to castbook_app using (clinic_id = 1);
  grant select on bench_probe to castbook_app;
`;

import { createHash } from 'node:crypto';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { silentLog, type Database } from '../../src/store/database.ts';
import {
  migrate,
  MIGRATIONS_FOLDER,
  pendingMigrations,
  readMigrations,
} from '../../src/store/migrate.ts';
import { openServer } from '../../src/store/server.ts';
import { emptyDatabase, needsManyConnections, type BareDatabase } from '../support/database.ts';

const BENCHES = `-- The shop's benches. Older program may run: no.
create table bench (id int primary key, name text not null);
create function bench_name() returns trigger language plpgsql as $$
begin
  new.name := trim(new.name); return new;
end;
$$;
create trigger bench_name before insert on bench for each row execute function bench_name();
`;
const TOOLS = `-- Tools lie on benches. Older program may run: yes.
create table tool (id int primary key, bench_id int not null references bench (id));
`;
const BROKEN = `-- Tools get a name. Older program may run: yes.
alter table tool add column name text;
insert into tool (id, bench_id) values (1, 99);
`;

let folder: string;
let bare: BareDatabase;
let database: Database;

beforeEach(async () => {
  folder = fs.mkdtempSync(path.join(os.tmpdir(), 'castbook-migrations-'));
  bare = await emptyDatabase();
  database = bare.database;
});

afterEach(async () => {
  await bare.close();
  fs.rmSync(folder, { recursive: true, force: true });
});

describe('bringing a database to the program’s schema', () => {
  test('migrations run in the order of their names, once, and leave Prisma’s record of them', async () => {
    write('0002_tools', TOOLS);
    write('0001_benches', BENCHES);
    expect((await pendingMigrations(database, folder)).map(({ name }) => name)).toEqual([
      '0001_benches',
      '0002_tools',
    ]);
    expect(await migrate(database, folder)).toEqual(['0001_benches', '0002_tools']);
    expect(await migrate(database, folder)).toEqual([]);
    expect(await pendingMigrations(database, folder)).toEqual([]);
    expect(await recorded()).toEqual([
      { name: '0001_benches', checksum: sha256(BENCHES), finished: true, steps: 1 },
      { name: '0002_tools', checksum: sha256(TOOLS), finished: true, steps: 1 },
    ]);
  });

  test('a migration that fails leaves nothing and no record, and the next start goes on once it is mended', async () => {
    write('0001_benches', BENCHES);
    write('0002_tools', TOOLS);
    write('0003_names', BROKEN);
    await expect(migrate(database, folder)).rejects.toMatchObject({
      code: 'migration-failed',
      message: expect.stringMatching(
        /0003_names.migration\.sql failed and was undone: .*foreign key.*23503/,
      ) as string,
    });
    expect((await recorded()).map(({ name }) => name)).toEqual(['0001_benches', '0002_tools']);
    expect(await columnsOf('tool')).toEqual(['id', 'bench_id']);

    write('0003_names', BROKEN.replace(/insert.*\n/, ''));
    expect(await migrate(database, folder)).toEqual(['0003_names']);
    expect(await columnsOf('tool')).toEqual(['id', 'bench_id', 'name']);
  });

  test('a database that a newer program has migrated is refused', async () => {
    write('0001_benches', BENCHES);
    write('0002_tools', TOOLS);
    await migrate(database, folder);
    fs.rmSync(path.join(folder, '0002_tools'), { recursive: true });
    const refusal = {
      code: 'migration-unknown',
      message: expect.stringContaining('0002_tools') as string,
    };
    await expect(migrate(database, folder)).rejects.toMatchObject(refusal);
    await expect(pendingMigrations(database, folder)).rejects.toMatchObject(refusal);
  });

  test('a migration that was edited after it had been applied is refused, and nothing later runs', async () => {
    write('0001_benches', BENCHES);
    await migrate(database, folder);
    write('0001_benches', BENCHES.replace('benches', 'work benches'));
    write('0002_tools', TOOLS);
    await expect(migrate(database, folder)).rejects.toMatchObject({
      code: 'migration-changed',
      message: expect.stringContaining('0001_benches') as string,
    });
    expect((await recorded()).map(({ name }) => name)).toEqual(['0001_benches']);
  });

  test('one that another tool began and did not finish is refused', async () => {
    write('0001_benches', BENCHES);
    await migrate(database, folder);
    await database.raw('update _prisma_migrations set finished_at = null');
    await expect(migrate(database, folder)).rejects.toMatchObject({
      code: 'migration-half-applied',
    });
  });

  test('starters in one process at once migrate once', async () => {
    write('0001_benches', BENCHES);
    write('0002_tools', TOOLS);
    const starts = await Promise.all(Array.from({ length: 5 }, () => migrate(database, folder)));
    expect(starts.flat().sort()).toEqual(['0001_benches', '0002_tools']);
  });

  needsManyConnections('twenty starts at once migrate once', async () => {
    write('0001_benches', BENCHES);
    write('0002_tools', TOOLS);
    const programs = Array.from({ length: 20 }, () =>
      openServer(bare.url ?? '', { log: silentLog, poolMax: 1 }),
    );
    try {
      const starts = await Promise.all(programs.map((program) => migrate(program, folder)));
      expect(starts.flat().sort()).toEqual(['0001_benches', '0002_tools']);
      expect((await recorded()).map(({ name }) => name)).toEqual(['0001_benches', '0002_tools']);
    } finally {
      await Promise.all(programs.map((program) => program.close()));
    }
  });
});

describe('reading the files', () => {
  test.each([
    ['no first line', 'create table bench (id int);'],
    ['a first line that leaves out older programs', '-- Benches.\ncreate table bench (id int);'],
    ['a COMMIT of its own', `${TOOLS}commit;\n`],
  ])('a migration with %s is refused before anything runs', async (_what, sql) => {
    write('0001_benches', BENCHES);
    write('0002_wrong', sql);
    await expect(migrate(database, folder)).rejects.toMatchObject({
      code: 'migration-unreadable',
      message: expect.stringContaining('0002_wrong') as string,
    });
    expect(await recorded()).toEqual([]);
  });

  test('a folder without its file is refused', () => {
    fs.mkdirSync(path.join(folder, '0001_benches'));
    expect(() => readMigrations(folder)).toThrow(
      expect.objectContaining({ code: 'migration-unreadable' }) as Error,
    );
  });

  test('every migration of this program says whether an older one may run', () => {
    const all = readMigrations(MIGRATIONS_FOLDER);
    expect(all.length).toBeGreaterThan(0);
    expect(all[0]?.olderProgramMayRun).toBe(false);
  });
});

function write(name: string, sql: string): void {
  fs.mkdirSync(path.join(folder, name), { recursive: true });
  fs.writeFileSync(path.join(folder, name, 'migration.sql'), sql);
}

function sha256(text: string): string {
  return createHash('sha256').update(text).digest('hex');
}

async function recorded() {
  const [table] = await database.raw<{ there: boolean }>(
    `select to_regclass('_prisma_migrations') is not null as there`,
  );
  if (table?.there !== true) return [];
  return database.raw<{ name: string; checksum: string; finished: boolean; steps: number }>(
    `select migration_name as name, checksum, finished_at >= started_at as finished,
       applied_steps_count as steps
     from _prisma_migrations order by started_at, migration_name`,
  );
}

async function columnsOf(table: string): Promise<string[]> {
  const rows = await database.raw<{ name: string }>(
    `select attname::text as name from pg_attribute
     where attrelid = $1::regclass and attnum > 0 and not attisdropped order by attnum`,
    [table],
  );
  return rows.map(({ name }) => name);
}

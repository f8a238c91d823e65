import { spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test, vi } from 'vitest';
import { EMBEDDED_POSTGRES_MAJOR, openEmbedded } from '../../src/store/embedded.ts';
import { withPrisma } from '../../src/store/open.ts';
import { testCipher } from '../support/columnKeys.ts';

/** A data folder with an empty database: made once, copied where a test is not about the first start. */
let made: string;
let folder: string;

beforeAll(async () => {
  made = fs.mkdtempSync(path.join(os.tmpdir(), 'castbook-made-'));
  const database = await openEmbedded(made);
  await database.close();
});

afterAll(() => {
  fs.rmSync(made, { recursive: true, force: true });
});

beforeEach(() => {
  folder = fs.mkdtempSync(path.join(os.tmpdir(), 'castbook-embedded-'));
});

afterEach(() => {
  vi.restoreAllMocks();
  fs.rmSync(folder, { recursive: true, force: true });
});

function useMadeFolder(at: string = folder): void {
  fs.cpSync(made, at, { recursive: true });
}

const COMMITS = path.resolve(import.meta.dirname, '../support/commit-rows.ts');

describe('the embedded database keeps what it acknowledged', () => {
  test('every commit reaches the disk: at least one fsync each, through SQL and through Prisma', async () => {
    useMadeFolder();
    const database = await openEmbedded(folder);
    const store = withPrisma(database, testCipher);
    await store.raw('create table kept (n int primary key)');
    const fsync = vi.spyOn(fs, 'fsyncSync');

    for (let n = 0; n < 20; n += 1) {
      const before = fsync.mock.calls.length;
      await store.raw('insert into kept values ($1)', [n]);
      expect(fsync.mock.calls.length).toBeGreaterThan(before);
    }
    for (let n = 20; n < 40; n += 1) {
      const before = fsync.mock.calls.length;
      await store.prisma.$transaction(async (tx) => {
        await tx.$executeRaw`insert into kept values (${n})`;
      });
      expect(fsync.mock.calls.length).toBeGreaterThan(before);
    }
    const reads = fsync.mock.calls.length;
    await store.raw('select * from kept');
    expect(fsync.mock.calls.length).toBe(reads);
    await store.close();
  });

  const strace = spawnSync('strace', ['-V']).status === 0;
  test.skipIf(!strace)(
    'the kernel sees an fsync for each commit [needs strace on this machine]',
    async () => {
      const commits = 25;
      // Opening and closing sync some files too; a run without commits says how many.
      const without = await syncsOf(path.join(folder, 'idle'), 0);
      const withCommits = await syncsOf(path.join(folder, 'busy'), commits);
      expect(withCommits - without).toBeGreaterThanOrEqual(commits);
    },
  );

  async function syncsOf(dataFolder: string, commits: number): Promise<number> {
    useMadeFolder(dataFolder);
    const trace = `${dataFolder}.trace`;
    const run = spawn('strace', [
      ...['-f', '-qq', '-e', 'trace=fsync,fdatasync', '-o', trace],
      ...[process.execPath, '--import', 'tsx', COMMITS, dataFolder, String(commits)],
    ]);
    const [status] = (await once(run, 'exit')) as [number];
    expect(status).toBe(0);
    return fs
      .readFileSync(trace, 'utf8')
      .split('\n')
      .filter((line) => /f(data)?sync\(\d+\)\s+= 0/.test(line)).length;
  }

  test('a COMMIT that the database refuses is not acknowledged', async () => {
    useMadeFolder();
    const store = withPrisma(await openEmbedded(folder), testCipher);
    await store.raw('create table late (n int primary key deferrable initially deferred)');
    await expect(
      store.prisma.$transaction(async (tx) => {
        await tx.$executeRaw`insert into late values (1), (1)`;
      }),
    ).rejects.toMatchObject({ cause: { originalCode: '23505' } });
    expect(await store.raw('select * from late')).toEqual([]);
    await store.close();
  });

  test('what was committed before a kill is there afterwards, without a repair', async () => {
    useMadeFolder();
    const run = spawn(process.execPath, ['--import', 'tsx', COMMITS, folder, '100000'], {
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    let heard = '';
    await new Promise<void>((resolve) => {
      run.stdout.on('data', (chunk: Buffer) => {
        heard += chunk.toString();
        if (heard.includes('row 50\n')) resolve();
      });
    });
    run.kill('SIGKILL');
    await once(run, 'close');
    const acknowledged = heard.split('\n').filter((line) => line.startsWith('row ')).length;

    const database = await openEmbedded(folder);
    const [row] = await database.raw<{ n: number }>('select count(*) as n from kept');
    expect(row?.n).toBeGreaterThanOrEqual(acknowledged);
    await database.close();
  });
});

describe('the embedded database looks after its folder', () => {
  test('a second opening is refused with the holder, and works once the first has closed', async () => {
    useMadeFolder();
    const first = await openEmbedded(folder);
    await expect(openEmbedded(folder)).rejects.toMatchObject({
      code: 'folder-held',
      message: expect.stringContaining(`process ${process.pid}`) as string,
    });
    await first.close();
    const second = await openEmbedded(folder);
    await second.close();
  });

  test('a folder of another PostgreSQL version is refused in words and left untouched', async () => {
    const cluster = path.join(folder, 'postgres');
    fs.mkdirSync(cluster);
    fs.writeFileSync(path.join(cluster, 'PG_VERSION'), '17\n');
    await expect(openEmbedded(folder)).rejects.toMatchObject({
      code: 'other-postgres-version',
      message: expect.stringMatching(
        new RegExp(`holds a PostgreSQL 17 cluster.*carries PostgreSQL ${EMBEDDED_POSTGRES_MAJOR}`),
      ) as string,
    });
    expect(fs.readdirSync(folder)).toEqual(['postgres']);
    expect(fs.readdirSync(cluster)).toEqual(['PG_VERSION']);
  });

  test('a folder that is itself somebody’s cluster is refused and left untouched', async () => {
    fs.writeFileSync(path.join(folder, 'PG_VERSION'), '15\n');
    await expect(openEmbedded(folder)).rejects.toMatchObject({ code: 'other-postgres-version' });
    expect(fs.readdirSync(folder)).toEqual(['PG_VERSION']);
  });

  test('a first start that was killed half way is begun again', async () => {
    const half = path.join(folder, 'postgres.new');
    fs.mkdirSync(half);
    fs.writeFileSync(path.join(half, 'PG_VERSION'), `${EMBEDDED_POSTGRES_MAJOR}\n`);
    const database = await openEmbedded(folder);
    expect(fs.readFileSync(path.join(folder, 'postgres/PG_VERSION'), 'utf8').trim()).toBe(
      EMBEDDED_POSTGRES_MAJOR,
    );
    expect(fs.existsSync(half)).toBe(false);
    await database.close();
  });

  test('rows rewritten again and again do not make the folder grow without limit', async () => {
    useMadeFolder();
    const database = await openEmbedded(folder);
    await database.raw('create table bench (n int primary key, note text not null)');
    await database.raw(
      `insert into bench select n, repeat('x', 200) from generate_series(1, 2000) n`,
    );
    const rewrites = 400;
    for (let n = 0; n < rewrites; n += 1) {
      await database.raw('update bench set note = $1', [String(n).padEnd(200, 'y')]);
    }
    const [size] = await database.raw<{ table: number; log: number }>(
      `select pg_total_relation_size('bench') as table,
         (select sum(size) from pg_ls_waldir())::int8 as log`,
    );
    // Untended, 800,000 dead rows of some 230 bytes would lie in the table: over 180 MB.
    expect(size?.table).toBeLessThan(100 * 1024 * 1024);
    expect(size?.log).toBeLessThan(160 * 1024 * 1024);
    await database.close();
  });
});

import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { needsManyConnections, testDatabase, type TestDatabase } from '../support/database.ts';

let db: TestDatabase;

beforeAll(async () => {
  db = await testDatabase();
  await db.store.raw(
    `create table bench_note (n int primary key deferrable initially deferred, note text check (note <> 'bad'))`,
  );
});

afterAll(() => db.close());

const notes = async () =>
  (await db.store.raw<{ n: number }>('select n from bench_note order by n')).map(({ n }) => n);

describe('what is acknowledged is there, what is refused is not', () => {
  test('a COMMIT that the database refuses is refused to the caller', async () => {
    await expect(
      db.store.prisma.$transaction(async (tx) => {
        await tx.$executeRaw`insert into bench_note values (1, 'a'), (1, 'b')`;
      }),
    ).rejects.toMatchObject({ cause: { originalCode: '23505' } });
    expect(await notes()).toEqual([]);
  });

  test('a transaction that goes on after an error inside it is not acknowledged', async () => {
    await expect(
      db.store.prisma.$transaction(async (tx) => {
        await tx.$executeRaw`insert into bench_note values (2, 'a')`;
        await tx.$executeRaw`insert into bench_note values (3, 'bad')`.catch(() => undefined);
      }),
    ).rejects.toThrow();
    expect(await notes()).toEqual([]);
  });

  test('one that went back to its savepoint is acknowledged, with what stood before it', async () => {
    await db.store.prisma.$transaction(async (tx) => {
      await tx.$executeRaw`insert into bench_note values (4, 'a')`;
      await tx.$executeRaw`savepoint before_note`;
      await tx.$executeRaw`insert into bench_note values (5, 'bad')`.catch(() => undefined);
      await tx.$executeRaw`rollback to savepoint before_note`;
    });
    expect(await notes()).toEqual([4]);
  });

  test('a caller that gave up waiting leaves nothing, and the next one is served', async () => {
    let letGo = (): void => undefined;
    const hold = new Promise<void>((resolve) => (letGo = resolve));
    const holders = Array.from({ length: 10 }, () =>
      db.store.prisma.$transaction(async (tx) => {
        await tx.$queryRaw`select 1`;
        await hold;
      }),
    );
    const late = db.store.prisma.$transaction(
      async (tx) => {
        await tx.$executeRaw`insert into bench_note values (6, 'late')`;
      },
      { maxWait: 50 },
    );
    await expect(late).rejects.toMatchObject({ code: 'P2028' });
    letGo();
    await Promise.all(holders);
    await db.store.prisma.$executeRaw`insert into bench_note values (7, 'next')`;
    expect(await notes()).toEqual([4, 7]);
  });

  test('an owner’s transaction is kept whole or not at all', async () => {
    const undone = new Error('undo');
    await expect(
      db.store.ownerTransaction(async (sql) => {
        await sql.query('insert into bench_note values ($1, $2)', [8, 'a']);
        throw undone;
      }),
    ).rejects.toBe(undone);
    await db.store.ownerTransaction((sql) =>
      sql.script(`insert into bench_note values (9, 'a'); insert into bench_note values (10, 'b')`),
    );
    expect(await notes()).toEqual([4, 7, 9, 10]);
  });
});

describe('both databases speak alike', () => {
  test('plain SQL gives the same JavaScript values', async () => {
    const [row] = await db.store.raw(
      `select 7::int8 as small, 9007199254740993::int8 as large, date '2026-03-29' as day,
         timestamptz '2026-03-29 01:30:00+01' as at, 1.50::numeric as mass, array['a','b'] as tags,
         '{"n": 1}'::jsonb as facts, null as nothing, current_setting('timezone') as zone`,
    );
    expect(row).toEqual({
      small: 7,
      large: 9007199254740993n,
      day: '2026-03-29',
      at: new Date('2026-03-29T00:30:00Z'),
      mass: '1.50',
      tags: ['a', 'b'],
      facts: { n: 1 },
      nothing: null,
      zone: 'UTC',
    });
  });

  test('a listener hears what was committed, and nothing of what was rolled back', async () => {
    const heard: string[] = [];
    let last = (): void => undefined;
    const done = new Promise<void>((resolve) => (last = resolve));
    const stop = await db.store.listen('bench_bell', (payload) => {
      heard.push(payload);
      if (payload === 'second') last();
    });
    await db.store.prisma.$executeRaw`select pg_notify('bench_bell', 'first')`;
    await db.store
      .ownerTransaction(async (sql) => {
        await sql.query(`select pg_notify('bench_bell', 'rolled back')::text`);
        throw new Error('undo');
      })
      .catch(() => undefined);
    await db.store.prisma.$executeRaw`select pg_notify('bench_bell', 'second')`;
    await done;
    await stop();
    expect(heard).toEqual(['first', 'second']);
    await expect(db.store.listen('bell; drop', () => undefined)).rejects.toThrow(TypeError);
  });
});

describe('listening beside transactions', () => {
  test('begun while one is open, it is neither lost nor undone by its rollback', async () => {
    const heard: string[] = [];
    let begun: Promise<() => Promise<void>> | undefined;
    await db.store.prisma
      .$transaction(async (tx) => {
        await tx.$queryRaw`select 1 as one`;
        begun = db.store.listen('bench_bell', (payload) => void heard.push(payload));
        await tx.$executeRaw`select pg_notify('bench_bell', 'rolled back')`;
        throw new Error('undo');
      })
      .catch(() => undefined);
    const stop = await begun!;
    const stopOther = await db.store.listen('bench_bell', (payload) => void heard.push(payload));
    await db.store.prisma.$transaction(async (tx) => {
      await tx.$executeRaw`select pg_notify('bench_bell', 'kept')`;
      expect(heard).toEqual([]);
    });
    await expect.poll(() => heard, { interval: 5 }).toEqual(['kept', 'kept']);
    // One listener's end is not the other's.
    await stopOther();
    await db.store.prisma.$executeRaw`select pg_notify('bench_bell', 'still')`;
    await expect.poll(() => heard, { interval: 5 }).toEqual(['kept', 'kept', 'still']);
    await stop();
  });
});

describe('a server’s connections come and go', () => {
  needsManyConnections('connections that were cut while idle are replaced unseen', async () => {
    await Promise.all(Array.from({ length: 5 }, () => db.store.raw('select pg_sleep(0.02)')));
    await db.store.raw(
      `select pg_terminate_backend(pid) from pg_stat_activity
       where datname = current_database() and pid <> pg_backend_pid()`,
    );
    await expect.poll(() => notes().catch(() => undefined)).toBeDefined();
    expect(await db.store.prisma.$queryRaw`select 1 as one`).toEqual([{ one: 1 }]);
  });

  needsManyConnections('a listener whose connection was cut is told to look again', async () => {
    let again = (): void => undefined;
    const renewed = new Promise<void>((resolve) => (again = resolve));
    const stop = await db.store.listen('bench_bell', (payload) => {
      if (payload === '') again();
    });
    await db.store.raw(
      `select pg_terminate_backend(pid) from pg_stat_activity
       where datname = current_database() and query like 'LISTEN%'`,
    );
    await renewed;
    await stop();
  });
});

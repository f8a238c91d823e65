/** Statements inside a transaction are named and kept planned, on both databases; nobody may notice. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { Prisma } from '../../src/generated/prisma/client.ts';
import { databaseKind, testDatabase, type TestDatabase } from '../support/database.ts';

let db: TestDatabase;
beforeAll(async () => {
  db = await testDatabase();
  await db.store.raw(
    'create table workbench (n int primary key, words text, at timestamptz, tags text[], data jsonb)',
  );
});
afterAll(() => db.close());

const inTransaction = <T>(work: (tx: Prisma.TransactionClient) => Promise<T>): Promise<T> =>
  db.store.prisma.$transaction(work);
const read = (n: number) =>
  inTransaction((tx) => tx.$queryRaw`select * from workbench where n = ${n}::int`);

describe('a statement that is asked again and again', () => {
  test('takes other values each time, nulls and lists among them, and says how many it wrote', async () => {
    const at = new Date('2026-03-02T09:00:00.123Z');
    for (let n = 1; n <= 12; n += 1) {
      const words = n % 2 === 0 ? null : `line ${n} "quoted" \\ 'so'`;
      const written = await inTransaction(
        (tx) => tx.$executeRaw`
          insert into workbench (n, words, at, tags, data)
          values (${n}::int, ${words}, ${at}, ${['a', `b,${n}`]}, ${JSON.stringify({ n })}::jsonb)`,
      );
      expect(written).toBe(1);
      expect(await read(n)).toEqual([{ n, words, at, tags: ['a', `b,${n}`], data: { n } }]);
    }
    expect(await read(99)).toEqual([]);
    expect(
      await inTransaction(
        (tx) => tx.$executeRaw`update workbench set words = 'all' where n > ${6}::int`,
      ),
    ).toBe(6);
  });

  test('fails, and works again in the next transaction', async () => {
    for (let time = 0; time < 3; time += 1) {
      await expect(
        inTransaction((tx) => tx.$executeRaw`insert into workbench (n) values (${1}::int)`),
      ).rejects.toThrowError();
      await expect(
        inTransaction((tx) => tx.$queryRaw`select ${1}::int / ${0}::int as never`),
      ).rejects.toThrowError();
      expect(await read(1)).toHaveLength(1);
    }
  });

  test('leaves nothing of a transaction that is rolled back', async () => {
    await expect(
      inTransaction(async (tx) => {
        await tx.$executeRaw`insert into workbench (n) values (${50}::int)`;
        throw new Error('undo');
      }),
    ).rejects.toThrowError('undo');
    expect(await read(50)).toEqual([]);
  });

  test('is not sent outside, once its transaction has ended', async () => {
    let escaped: Prisma.TransactionClient | undefined;
    await inTransaction(async (tx) => {
      escaped = tx;
      await tx.$executeRaw`insert into workbench (n) values (${60}::int)`;
    });
    await expect(
      Promise.resolve(escaped!.$executeRaw`insert into workbench (n) values (${61}::int)`),
    ).rejects.toThrowError();
    expect(await read(61)).toEqual([]);
  });

  // A server's connections keep a statement whose result would change; ours name their columns.
  const forgets = databaseKind === 'embedded' ? '' : ' [needs the embedded database]';
  test.skipIf(forgets !== '')(`is planned anew where its table has changed${forgets}`, async () => {
    const all = () => inTransaction((tx) => tx.$queryRaw`select * from shelf where n = ${1}::int`);
    await db.store.raw('create table shelf (n int)');
    await db.store.raw('insert into shelf values (1)');
    for (let time = 0; time < 7; time += 1) expect(await all()).toEqual([{ n: 1 }]);
    await db.store.raw(`alter table shelf add column bin text default 'left'`);
    // Whoever comes first may be refused for it; nobody after.
    await all().catch(() => undefined);
    expect(await all()).toEqual([{ n: 1, bin: 'left' }]);
  });
});

test('more different statements than are kept all answer', async () => {
  const answers = await inTransaction(async (tx) => {
    const all: unknown[] = [];
    for (let n = 0; n < 450; n += 1) {
      all.push(await tx.$queryRaw`select ${Prisma.raw(String(n))} as n`);
    }
    return all;
  });
  expect(answers).toEqual(Array.from({ length: 450 }, (_, n) => [{ n }]));
});

/** Raw statements of a transaction go past the client: they must read, write and fail as its own do. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { Prisma } from '../../src/generated/prisma/client.ts';
import { testDatabase, type TestDatabase } from '../support/database.ts';

let db: TestDatabase;

beforeAll(async () => {
  db = await testDatabase();
  await db.store.raw('create table bench_slip (n int primary key, note text)');
});

afterAll(() => db.close());

const NOON = new Date('2026-03-02T12:00:00.250Z');
const ID = '01a212a3-ba40-708c-8314-42eb9d4ba9c1';

/** One row with a column of every type that our statements read. */
const everyType = Prisma.sql`
  select ${ID}::uuid as id, ${'Größe 1'}::text as text, ${7}::int as whole, ${2.5}::float8 as part,
    ${9007199254740993n}::bigint as large, 12.50::numeric as exact, ${true}::boolean as yes,
    ${NOON}::timestamptz as at, '2026-02-28'::date as on, ${'{"a":[1,null]}'}::jsonb as json,
    '[1]'::json as list, ${['x', 'y']}::text[] as texts, ${[ID]}::uuid[] as ids,
    array[1, null, 3]::int[] as wholes, array[${NOON}::timestamptz, null] as instants,
    array[1::bigint, null] as larges, array['{"b":1}'::jsonb, null] as jsons, null::text as nothing`;

describe('raw statements of a transaction', () => {
  test('give every type of column as the client itself gives it', async () => {
    const byClient = await db.store.prisma.$queryRaw(everyType);
    const inside = await db.store.prisma.$transaction((tx) => tx.$queryRaw(everyType));
    expect(inside).toEqual(byClient);
    expect(inside).toMatchObject([{ at: NOON, large: 9007199254740993n, json: { a: [1, null] } }]);
  });

  test('fail as the client itself fails, and nothing of the transaction is kept', async () => {
    const twice = Prisma.sql`insert into bench_slip values (1, 'a'), (1, 'b')`;
    const failureOf = (work: Promise<unknown>) =>
      work.then(
        () => 'no failure',
        (failure: unknown) => failure as Prisma.PrismaClientKnownRequestError,
      );
    const byClient = await failureOf(db.store.prisma.$executeRaw(twice));
    const inside = await failureOf(
      db.store.prisma.$transaction(async (tx) => {
        await tx.$executeRaw`insert into bench_slip values (2, 'kept?')`;
        await tx.$executeRaw(twice);
      }),
    );
    expect(inside).toBeInstanceOf(Prisma.PrismaClientKnownRequestError);
    expect(inside).toMatchObject({ code: 'P2010' });
    expect((inside as Prisma.PrismaClientKnownRequestError).meta).toEqual(
      (byClient as Prisma.PrismaClientKnownRequestError).meta,
    );
    expect(await db.store.raw('select n from bench_slip')).toEqual([]);
  });

  test('see what the same transaction wrote by a model, and the other way round', async () => {
    const clinic = {
      ...{ id: ID, name: 'Klinik', numberPrefix: 'KL', timeZone: 'Europe/Vienna', paper: 'A4' },
      ...{ alignmentToleranceDeg: 1, alignmentToleranceMm: 3, releaserMayBeSoleWorker: false },
      ...{ retentionYears: 7, firstRecheckDays: 14, createdAt: NOON },
    };
    const names = await db.store.prisma.$transaction(async (tx) => {
      await tx.clinic.create({ data: clinic });
      const [written] = await tx.$queryRaw<{ name: string }[]>`select name from clinic`;
      await tx.$executeRaw`update clinic set name = 'Werkstatt' where id = ${ID}::uuid`;
      const { name } = await tx.clinic.findUniqueOrThrow({ where: { id: ID } });
      return [written?.name, name];
    });
    expect(names).toEqual(['Klinik', 'Werkstatt']);
  });

  test('stay in their own transaction where many run at once', async () => {
    const numbers = Array.from({ length: 20 }, (_, n) => 100 + n);
    const outcomes = await Promise.allSettled(
      numbers.map((n) =>
        db.store.prisma.$transaction(async (tx) => {
          await tx.$executeRaw`insert into bench_slip values (${n}::int, 'one of many')`;
          if (n % 2 === 1) throw new Error('thought better of it');
        }),
      ),
    );
    expect(outcomes.filter(({ status }) => status === 'fulfilled')).toHaveLength(10);
    const kept = await db.store.raw<{ n: number }>(
      'select n from bench_slip where n >= 100 order by n',
    );
    expect(kept.map(({ n }) => n)).toEqual(numbers.filter((n) => n % 2 === 0));
  });

  test('are refused once the transaction has ended, by its end or by its time', async () => {
    const { prisma } = db.store;
    const late = (tx: Prisma.TransactionClient) =>
      tx.$executeRaw`insert into bench_slip values (3, 'late')`;
    const ended = await prisma.$transaction(async (tx) => Promise.resolve({ tx }));
    await expect(late(ended.tx)).rejects.toMatchObject({ code: 'P2028' });
    let overdue: Prisma.TransactionClient | undefined;
    let gone = (): void => undefined;
    const closed = new Promise<void>((resolve) => (gone = resolve));
    const timedOut = prisma.$transaction(
      async (tx) => {
        overdue = tx;
        await closed;
      },
      { timeout: 1 },
    );
    // Whether its time is over, only a statement tells; those before it is belong to it and go with it.
    while (overdue === undefined || !(await isRefused(late(overdue)))) {
      await prisma.$queryRaw`select 1`;
    }
    gone();
    await expect(timedOut).rejects.toMatchObject({ code: 'P2028' });
    expect(await db.store.raw('select n from bench_slip where n = 3')).toEqual([]);
  });

  test('are not sent with a value left out', async () => {
    const { prisma } = db.store;
    await expect(
      prisma.$transaction((tx) => tx.$queryRaw`select ${undefined}::text as note`),
    ).rejects.toThrow(TypeError);
  });
});

const isRefused = (sent: Promise<unknown>): Promise<boolean> =>
  sent.then(
    () => false,
    (failure: unknown) => (failure as { code?: unknown }).code === 'P2028',
  );

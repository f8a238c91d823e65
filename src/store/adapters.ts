/**
 * The Prisma driver adapters with the gaps closed that lose an answer:
 * - pglite-prisma-adapter 0.7.2 swallows a failing COMMIT (a deferred constraint), so work
 *   that the database rolled back would be acknowledged; and it does not await ROLLBACK.
 * - on a server, COMMIT in a transaction that an earlier, swallowed error has broken answers
 *   ROLLBACK without an error, so Prisma would acknowledge nothing as something.
 */
import type {
  PGlite,
  QueryOptions,
  Results,
  Transaction as PGliteTransaction,
} from '@electric-sql/pglite';
import { messages } from '@electric-sql/pglite';
import { PrismaPg } from '@prisma/adapter-pg';
import {
  DriverAdapterError,
  type SqlDriverAdapter,
  type SqlDriverAdapterFactory,
  type SqlQuery,
  type SqlQueryable,
  type Transaction,
} from '@prisma/driver-adapter-utils';
import type pg from 'pg';
import { PrismaPGlite } from 'pglite-prisma-adapter';
import { createHash } from 'node:crypto';
import type { StoreLog } from './database.ts';
import { namedStatements } from './embeddedStatements.ts';

/** `noteWrite` is told after each statement outside a transaction and after each commit. */
export function embeddedAdapter(db: PGlite, noteWrite: () => void): SqlDriverAdapterFactory {
  const named = namedStatements(db);
  return {
    provider: 'postgres',
    adapterName: 'castbook-embedded',
    connect: async () => {
      const inner = await new PrismaPGlite(db).connect();
      const adapter: SqlDriverAdapter = {
        provider: 'postgres',
        adapterName: 'castbook-embedded',
        queryRaw: (query) => inner.queryRaw(query).finally(noteWrite),
        executeRaw: (query) => inner.executeRaw(query).finally(noteWrite),
        executeScript: async (script) => {
          await db.exec(script).catch(rethrowForPrisma);
        },
        // One connection: every isolation level is already serial, so none is asked for.
        startTransaction: () => startEmbedded(db, named, noteWrite),
        getConnectionInfo: () => ({ schemaName: 'public', supportsRelationJoins: true }),
        dispose: () => Promise.resolve(),
      };
      return adapter;
    },
  };
}

async function startEmbedded(
  db: PGlite,
  named: ReturnType<typeof namedStatements>,
  noteWrite: () => void,
): Promise<Transaction> {
  let outcome: Promise<unknown> = Promise.resolve();
  let rolledBack: Promise<void> | undefined;
  const facade = {
    transaction: (work: (tx: PGliteTransaction) => Promise<unknown>) =>
      (outcome = db.transaction(async (tx) => {
        const watched = {
          ...tx,
          query: <T>(sql: string, values: unknown[], options?: QueryOptions) => {
            const run = tx.closed ? undefined : named(sql);
            // Rows are of whatever type the caller says, here as in PGlite's own query.
            return run === undefined
              ? tx.query<T>(sql, values, options)
              : (run(values, options) as Promise<Results<T>>);
          },
          rollback: () => (rolledBack = tx.rollback()),
        };
        const answer = await work(watched);
        // Until ROLLBACK has been answered PGlite does not know that the transaction is closed.
        await rolledBack;
        return answer;
      })),
  };
  const adapter = await new PrismaPGlite(facade as unknown as PGlite).connect();
  const tx = await adapter.startTransaction();
  const settle = async () => {
    try {
      await outcome;
    } catch (error) {
      rethrowForPrisma(error);
    } finally {
      noteWrite();
    }
  };
  return {
    provider: 'postgres',
    adapterName: 'castbook-embedded',
    options: tx.options,
    queryRaw: (query) => tx.queryRaw(query),
    executeRaw: (query) => tx.executeRaw(query),
    commit: () => tx.commit().then(settle),
    rollback: () => tx.rollback().then(settle),
    ...savepoints(tx),
  };
}

function savepoints(on: SqlQueryable) {
  const run = async (sql: string) => {
    await on.executeRaw({ sql, args: [], argTypes: [] });
  };
  return {
    createSavepoint: (name: string) => run(`SAVEPOINT ${name}`),
    rollbackToSavepoint: (name: string) => run(`ROLLBACK TO SAVEPOINT ${name}`),
    releaseSavepoint: (name: string) => run(`RELEASE SAVEPOINT ${name}`),
  };
}

function rethrowForPrisma(error: unknown): never {
  if (!(error instanceof messages.DatabaseError)) throw error;
  throw sqlStateError(error.code ?? 'XX000', error.message, error.severity, error.detail);
}

function sqlStateError(code: string, message: string, severity = 'ERROR', detail?: string) {
  const original = { originalCode: code, originalMessage: message };
  if (code === '40001' || code === '40P01') {
    return new DriverAdapterError({ ...original, kind: 'TransactionWriteConflict' });
  }
  return new DriverAdapterError({
    ...original,
    kind: 'postgres',
    code,
    severity,
    message,
    detail,
    column: undefined,
    hint: undefined,
  });
}

/** Adapter over a pool that its opener ends; statements are prepared once per connection. */
export function serverAdapter(pool: pg.Pool, log: StoreLog): SqlDriverAdapterFactory {
  const inner = new PrismaPg(pool, {
    schema: 'public',
    statementNameGenerator: statementNames(),
    onPoolError: (error) => {
      log.warn({ err: error }, 'an idle database connection was lost');
    },
    onConnectionError: (error) => {
      log.warn({ err: error }, 'a database connection was lost');
    },
  });
  return {
    provider: inner.provider,
    adapterName: inner.adapterName,
    connect: async () => {
      const adapter = await inner.connect();
      const begin = adapter.startTransaction.bind(adapter);
      adapter.startTransaction = async (isolation) => commitChecked(await begin(isolation));
      return adapter;
    },
  };
}

const NOT_COMMITTED = '25P02';

function commitChecked(tx: Transaction): Transaction {
  let broken = false;
  const watch = async <T>(query: SqlQuery, run: (query: SqlQuery) => Promise<T>): Promise<T> => {
    if (broken && query.sql === 'COMMIT') {
      // Prisma answers a failed COMMIT with rollback(), which only gives the connection back.
      await tx.executeRaw({ sql: 'ROLLBACK', args: [], argTypes: [] });
      throw sqlStateError(
        NOT_COMMITTED,
        'an earlier statement of this transaction failed, so nothing of it was kept',
      );
    }
    try {
      const answer = await run(query);
      if (/^\s*rollback\s+to\b/i.test(query.sql)) broken = false;
      return answer;
    } catch (error) {
      broken ||= error instanceof DriverAdapterError && error.cause.originalCode !== undefined;
      throw error;
    }
  };
  const queryRaw = tx.queryRaw.bind(tx);
  const executeRaw = tx.executeRaw.bind(tx);
  const checked: Transaction = {
    provider: tx.provider,
    adapterName: tx.adapterName,
    options: tx.options,
    queryRaw: (query) => watch(query, queryRaw),
    executeRaw: (query) => watch(query, executeRaw),
    commit: () => tx.commit(),
    rollback: () => tx.rollback(),
  };
  return { ...checked, ...savepoints(checked) };
}

const LONGEST_NAMED_STATEMENT = 8_000;
const MOST_NAMED_STATEMENTS = 400;

/**
 * Names statements so that the server plans each once per connection. Bounded: lists of
 * changing length make ever new texts, and each named one stays in the server's memory.
 * Both limits: common practice, no source.
 */
function statementNames(): (query: SqlQuery) => string {
  const names = new Map<string, string>();
  return ({ sql }) => {
    const known = names.get(sql);
    if (known !== undefined) return known;
    if (names.size >= MOST_NAMED_STATEMENTS || sql.length > LONGEST_NAMED_STATEMENT) return '';
    const name = `cb_${createHash('sha256').update(sql).digest('base64url').slice(0, 24)}`;
    names.set(sql, name);
    return name;
  };
}

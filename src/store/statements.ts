/**
 * Raw statements inside a transaction, sent by its driver adapter. The Prisma client takes
 * five times the driver's processor time over each raw statement (7.10, measured), and an
 * act has a dozen. `$queryRaw` and `$executeRaw` of a transaction are therefore answered
 * here, with the client's own conversions and errors; everything else of the transaction is
 * the client's, on the same connection.
 */
import { AsyncLocalStorage } from 'node:async_hooks';
import {
  ColumnTypeEnum,
  isDriverAdapterError,
  type ArgType,
  type ColumnType,
  type SqlDriverAdapterFactory,
  type SqlQuery,
  type SqlResultSet,
  type Transaction,
} from '@prisma/driver-adapter-utils';
import { Prisma, type PrismaClient } from '../generated/prisma/client.ts';

/** The way past the client into one of its transactions. */
interface Door {
  queryRaw(query: SqlQuery): Promise<SqlResultSet>;
  executeRaw(query: SqlQuery): Promise<number>;
}

/** A transaction about to be started, by whom; the client gives no other way from one to the other. */
const starting = new AsyncLocalStorage<{ door: Door | undefined }>();

/** The same adapter, whose transactions can be reached by `withDirectStatements`. */
export function reachable(factory: SqlDriverAdapterFactory): SqlDriverAdapterFactory {
  return {
    provider: factory.provider,
    adapterName: factory.adapterName,
    connect: async () => {
      const adapter = await factory.connect();
      const begin = adapter.startTransaction.bind(adapter);
      adapter.startTransaction = async (isolation) => {
        const waiting = starting.getStore();
        const transaction = await begin(isolation);
        if (waiting === undefined || waiting.door !== undefined) return transaction;
        const { door, watched } = doorInto(transaction);
        waiting.door = door;
        return watched;
      };
      return adapter;
    },
  };
}

/** A client over a `reachable` adapter. Its `$transaction` hands out transactions with direct statements. */
export function withDirectStatements(client: PrismaClient): PrismaClient {
  const begin = client.$transaction.bind(client) as (work: Work, options?: object) => unknown;
  const start = (work: unknown, options?: object): unknown => {
    if (typeof work !== 'function') return begin(work as Work, options);
    const waiting: { door: Door | undefined } = { door: undefined };
    return starting.run(waiting, () =>
      begin((tx) => {
        const { door } = waiting;
        if (door === undefined) throw new Error('the client began no transaction of its adapter');
        return (work as Work)(direct(tx, door));
      }, options),
    );
  };
  return new Proxy(client, {
    get: (target, name): unknown => (name === '$transaction' ? start : Reflect.get(target, name)),
  });
}

type Work = (tx: Prisma.TransactionClient) => Promise<unknown>;

function direct(tx: Prisma.TransactionClient, door: Door): Prisma.TransactionClient {
  const $queryRaw = async (query: RawQuery, ...values: unknown[]) =>
    rowsOf(await door.queryRaw(sqlQuery(query, values)).catch(rethrow));
  const $executeRaw = async (query: RawQuery, ...values: unknown[]) =>
    door.executeRaw(sqlQuery(query, values)).catch(rethrow);
  return new Proxy(tx, {
    get: (target, name): unknown => {
      if (name === '$queryRaw') return $queryRaw;
      if (name === '$executeRaw') return $executeRaw;
      return Reflect.get(target, name);
    },
  });
}

/**
 * A door that closes as the transaction ends, by whoever ended it: a statement that came
 * later would run on a connection that is somebody else's, outside any clinic's scope.
 */
function doorInto(transaction: Transaction): { door: Door; watched: Transaction } {
  let open = true;
  const closing = <T>(end: () => Promise<T>): Promise<T> => {
    open = false;
    return end();
  };
  const through = <T>(send: () => Promise<T>): Promise<T> =>
    open ? send() : Promise.reject(transactionIsClosed());
  return {
    door: {
      queryRaw: (query) => through(() => transaction.queryRaw(query)),
      executeRaw: (query) => through(() => transaction.executeRaw(query)),
    },
    watched: {
      ...transaction,
      executeRaw: (query) =>
        ENDS.has(query.sql)
          ? closing(() => transaction.executeRaw(query))
          : transaction.executeRaw(query),
      commit: () => closing(() => transaction.commit()),
      rollback: () => closing(() => transaction.rollback()),
    },
  };
}

const ENDS: ReadonlySet<string> = new Set(['COMMIT', 'ROLLBACK']);

const knownError = (message: string, code: string, meta: Record<string, unknown>) =>
  new Prisma.PrismaClientKnownRequestError(message, {
    code,
    clientVersion: Prisma.prismaVersion.client,
    meta,
  });

const transactionIsClosed = () => knownError('The transaction has already ended.', 'P2028', {});

/** As the client says it of a raw statement. */
function rethrow(failure: unknown): never {
  if (!isDriverAdapterError(failure)) throw failure;
  const { originalCode = 'N/A', originalMessage = failure.message } = failure.cause;
  throw knownError(`Raw query failed. ${originalCode}: ${originalMessage}`, 'P2010', {
    driverAdapterError: failure,
  });
}

type RawQuery = TemplateStringsArray | Prisma.Sql;

function sqlQuery(query: RawQuery, values: readonly unknown[]): SqlQuery {
  const { text, values: args } = 'raw' in query ? Prisma.sql(query, ...values) : query;
  return { sql: text, args: args.map(argument), argTypes: args.map(typeOf) };
}

const SCALAR: ArgType = { scalarType: 'unknown', arity: 'scalar' };
const LIST: ArgType = { scalarType: 'unknown', arity: 'list' };
const typeOf = (value: unknown): ArgType => (Array.isArray(value) ? LIST : SCALAR);

/** Dates and lists are the adapter's to write; a value left out is a fault of the caller's. */
function argument(value: unknown): unknown {
  if (value === undefined) throw new TypeError('a statement was given undefined for a value');
  return typeof value === 'bigint' ? value.toString() : value;
}

/** Rows as the client gives them for a raw statement. */
function rowsOf({ columnNames, columnTypes, rows }: SqlResultSet): Record<string, unknown>[] {
  const readers = columnTypes.map((type) => READERS[type]);
  return rows.map((values) => {
    const row: Record<string, unknown> = {};
    values.forEach((value, at) => {
      const read = readers[at];
      row[columnNames[at] ?? ''] = value === null || read === undefined ? value : read(value);
    });
    return row;
  });
}

type Read = (value: unknown) => unknown;

const each =
  (read: Read): Read =>
  (values) =>
    (values as unknown[]).map((value) => (value === null ? null : read(value)));
const whole: Read = (value) => BigInt(value as string | number);
const instant: Read = (value) => new Date(value as string);
const json: Read = (value) => JSON.parse(value as string) as unknown;
const decimal: Read = (value) => new Prisma.Decimal(value as string);

/** What the adapters leave as text; bytes and times of day are in none of our tables. */
const READERS: Readonly<Partial<Record<ColumnType, Read>>> = {
  [ColumnTypeEnum.Int64]: whole,
  [ColumnTypeEnum.Numeric]: decimal,
  [ColumnTypeEnum.Json]: json,
  [ColumnTypeEnum.Date]: instant,
  [ColumnTypeEnum.DateTime]: instant,
  [ColumnTypeEnum.Int64Array]: each(whole),
  [ColumnTypeEnum.NumericArray]: each(decimal),
  [ColumnTypeEnum.JsonArray]: each(json),
  [ColumnTypeEnum.DateArray]: each(instant),
  [ColumnTypeEnum.DateTimeArray]: each(instant),
};

import type { SqlDriverAdapterFactory } from '@prisma/driver-adapter-utils';

/** The two PostgreSQLs that the clinic's record can stand on. */
export type DatabaseKind = 'embedded' | 'server';

/** Where the store reports what nobody asked for (a lost connection, housekeeping). A pino logger fits. */
export interface StoreLog {
  info(facts: object, message: string): void;
  warn(facts: object, message: string): void;
}

export const silentLog: StoreLog = { info: () => undefined, warn: () => undefined };

/**
 * Plain SQL as the database's owner, outside any clinic's scope.
 * Rows come alike from both databases: int8 as number (bigint past 2^53), date as
 * 'YYYY-MM-DD', timestamptz as Date, numeric as string.
 */
export interface OwnerSql {
  query<Row extends object = Record<string, unknown>>(
    sql: string,
    params?: readonly unknown[],
  ): Promise<Row[]>;
  /** Several statements in one text, no parameters. */
  script(sql: string): Promise<void>;
}

/** An open PostgreSQL, embedded or server, before Prisma sits on it. */
export interface Database {
  readonly kind: DatabaseKind;
  /** For the log and the start-up page: folder or host and database, never a password. */
  readonly describe: string;
  readonly adapter: SqlDriverAdapterFactory;
  /** One statement as the owner. For migrations, scripts and tests; services have their own way in. */
  raw: OwnerSql['query'];
  /** One transaction as the owner: all of `work` or nothing. */
  ownerTransaction<T>(work: (sql: OwnerSql) => Promise<T>): Promise<T>;
  /**
   * Calls `heard` with each NOTIFY payload on `channel`, after the notifier's commit.
   * An empty payload may also mean "some may have been missed, look again" (a server connection was renewed).
   * @param channel a lower-case identifier.
   * @param lost told when a server's connection is lost; an empty payload follows once it is renewed.
   * @returns stops listening.
   */
  listen(
    channel: string,
    heard: (payload: string) => void,
    lost?: () => void,
  ): Promise<() => Promise<void>>;
  close(): Promise<void>;
}

const CHANNEL = /^[a-z_][a-z0-9_]{0,62}$/;

/** LISTEN takes no parameter, so the name is checked before it is put into SQL. */
export function checkedChannel(channel: string): string {
  if (!CHANNEL.test(channel)) throw new TypeError(`not a channel name: ${channel}`);
  return channel;
}

/** int8 as a number where a number holds it exactly. */
export function wholeNumber(text: string): number | bigint {
  const value = Number(text);
  return Number.isSafeInteger(value) ? value : BigInt(text);
}

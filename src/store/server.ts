import pg from 'pg';
import { serverAdapter } from './adapters.ts';
import { listenOn } from './listening.ts';
import { checkedChannel, wholeNumber, type Database, type StoreLog } from './database.ts';

const DEFAULT_POOL_MAX = 10;

/**
 * Every connection starts with these. UTC, because the driver adapters read a timestamptz's
 * clock time and throw its offset away. The limits keep a stuck client from holding rows for
 * ever; common practice, no source.
 */
const SESSION_SETTINGS = {
  timezone: 'UTC',
  datestyle: 'ISO',
  search_path: 'public',
  statement_timeout: '20000',
  lock_timeout: '10000',
  idle_in_transaction_session_timeout: '30000',
  // Large answers are planned as worth compiling, which then takes longer than running them.
  jit: 'off',
};

/** How long a caller waits for a free connection before it is told that there is none. */
const CONNECTION_WAIT_MS = 20_000;

/**
 * Opens a pool on a PostgreSQL server (15 or later). No connection is made until the first statement.
 * @param url postgres://user:…@host:port/database, with the password where the dots are
 */
export function openServer(
  url: string,
  { poolMax = DEFAULT_POOL_MAX, log }: { poolMax?: number; log: StoreLog },
): Database {
  const connectionString = withSessionSettings(url);
  const pool = new pg.Pool({
    connectionString,
    max: poolMax,
    connectionTimeoutMillis: CONNECTION_WAIT_MS,
    idleTimeoutMillis: 30_000,
    keepAlive: true,
    application_name: 'castbook',
  });
  // Without a listener an idle connection's end would end the process.
  pool.on('error', (err) => {
    log.warn({ err }, 'an idle database connection was lost');
  });
  const listeners = new Set<() => Promise<void>>();

  return {
    kind: 'server',
    describe: describeUrl(url),
    adapter: serverAdapter(pool, log),
    raw: async (sql, params = []) => (await pool.query<never>(config(sql, params))).rows,
    ownerTransaction: async (work) => {
      const client = await pool.connect();
      let lost: Error | undefined;
      const onError = (error: Error) => (lost = error);
      client.on('error', onError);
      try {
        await client.query('BEGIN');
        const answer = await work({
          query: async (sql, params = []) => (await client.query<never>(config(sql, params))).rows,
          script: async (sql) => {
            await client.query(sql);
          },
        });
        const { command } = await client.query('COMMIT');
        if (command !== 'COMMIT') throw new Error('the transaction had failed and was rolled back');
        return answer;
      } catch (error) {
        await client
          .query('ROLLBACK')
          .catch((err: unknown) => (lost = err instanceof Error ? err : new Error(String(err))));
        throw error;
      } finally {
        client.off('error', onError);
        client.release(lost ?? false);
      }
    },
    listen: async (channel, heard, lost = () => undefined) => {
      const stop = await listenOn(connectionString, checkedChannel(channel), { heard, lost }, log);
      listeners.add(stop);
      return async () => {
        listeners.delete(stop);
        await stop();
      };
    },
    close: async () => {
      await Promise.all([...listeners].map((stop) => stop()));
      await pool.end();
    },
  };
}

function config(text: string, values: readonly unknown[]): pg.QueryConfig {
  return { text, values: [...values], types: { getTypeParser: rawParser } };
}

const INT8_OID: number = pg.types.builtins.INT8;
const DATE_OID: number = pg.types.builtins.DATE;

function rawParser(oid: number, format?: 'text' | 'binary') {
  if (oid === INT8_OID) return wholeNumber;
  if (oid === DATE_OID) return (text: string) => text;
  // eslint-disable-next-line @typescript-eslint/no-unsafe-enum-assignment -- pg names only the types it knows; any number is looked up
  return pg.types.getTypeParser(oid, format) as (text: string) => unknown;
}

function withSessionSettings(url: string): string {
  const parsed = new URL(url);
  const given = parsed.searchParams.get('options');
  const ours = Object.entries(SESSION_SETTINGS).map(([name, value]) => `-c ${name}=${value}`);
  // What the operator gives comes last and wins.
  parsed.searchParams.set('options', [...ours, ...(given === null ? [] : [given])].join(' '));
  return parsed.href;
}

function describeUrl(url: string): string {
  const { hostname, port, pathname } = new URL(url);
  return `PostgreSQL server ${hostname}:${port === '' ? '5432' : port}, database ${decodeURIComponent(pathname.slice(1))}`;
}

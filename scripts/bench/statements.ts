/** Listens to the two drivers: what the service sends to the database, in the order it is sent. */
import { PGlite, type Transaction } from '@electric-sql/pglite';
import pg from 'pg';

export interface Statement {
  readonly sql: string;
  readonly params: readonly unknown[];
  /** Of the prepared statement, where the service named one. */
  readonly name: string | undefined;
}

export interface Recording {
  /** What was sent since the last call. */
  take(): readonly Statement[];
  stop(): void;
}

interface Sent {
  readonly text: string;
  readonly values?: unknown[];
  readonly name?: string;
}

/** Statements of both drivers; for one request at a time. */
export function recordStatements(): Recording {
  let statements: Statement[] = [];
  const note = (sql: string, params: readonly unknown[] = [], name?: string): void => {
    statements.push({ sql, params, name: name === '' ? undefined : name });
  };
  const stops = [recordServer(note), recordEmbedded(note)];
  return {
    take: () => {
      const taken = statements;
      statements = [];
      return taken;
    },
    stop: () => {
      for (const stop of stops) stop();
    },
  };
}

type Note = (sql: string, params?: readonly unknown[], name?: string) => void;

function recordServer(note: Note): () => void {
  const { prototype } = pg.Client;
  const own = Object.getOwnPropertyDescriptor(prototype, 'query');
  const query = prototype.query as (this: pg.Client, ...args: unknown[]) => unknown;
  const recorded = function (this: pg.Client, ...args: unknown[]): unknown {
    const [sent] = args as [string | Sent];
    if (typeof sent === 'string') note(sent);
    else note(sent.text, sent.values, sent.name);
    return query.apply(this, args);
  };
  Object.defineProperty(prototype, 'query', {
    value: recorded,
    configurable: true,
    writable: true,
  });
  return () => {
    if (own !== undefined) Object.defineProperty(prototype, 'query', own);
  };
}

/** The service speaks to PGlite in transactions only; what goes past them is housekeeping. */
function recordEmbedded(note: Note): () => void {
  const prototype = PGlite.prototype as Pick<PGlite, 'transaction'>;
  const own = Object.getOwnPropertyDescriptor(prototype, 'transaction');
  const transaction = prototype.transaction;
  const recorded = function <T>(this: PGlite, work: (tx: Transaction) => Promise<T>): Promise<T> {
    note('BEGIN');
    return transaction
      .call(this, (tx) =>
        work({
          ...tx,
          query: (sql, params, options) => {
            note(sql, params);
            return tx.query(sql, params, options);
          },
        }),
      )
      .finally(() => {
        note('COMMIT');
      }) as Promise<T>;
  };
  Object.defineProperty(prototype, 'transaction', {
    value: recorded,
    configurable: true,
    writable: true,
  });
  return () => {
    if (own === undefined) Reflect.deleteProperty(prototype, 'transaction');
    else Object.defineProperty(prototype, 'transaction', own);
  };
}

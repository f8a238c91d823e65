/** Stands between the service and its database, and notes what is sent, in the order it is sent. */
import type { SqlDriverAdapterFactory, SqlQuery, Transaction } from '@prisma/driver-adapter-utils';

export interface Statement {
  readonly sql: string;
  readonly params: readonly unknown[];
}

export interface Recording {
  /** The adapter, listened to. */
  readonly over: (factory: SqlDriverAdapterFactory) => SqlDriverAdapterFactory;
  /** What was sent since the last call; for one request at a time. */
  take(): readonly Statement[];
}

const BEGIN: Statement = { sql: 'BEGIN', params: [] };
const COMMIT: Statement = { sql: 'COMMIT', params: [] };

export const endsOrBegins = ({ sql }: Statement): boolean =>
  sql === BEGIN.sql || sql === COMMIT.sql;

export function startRecording(): Recording {
  let statements: Statement[] = [];
  const note = ({ sql, args }: SqlQuery): void => {
    if (sql === COMMIT.sql) return;
    const params = args.map((value) => (value instanceof Date ? value.toISOString() : value));
    statements.push({ sql, params });
  };
  const listened = (inner: Transaction): Transaction => ({
    ...inner,
    queryRaw: (query) => {
      note(query);
      return inner.queryRaw(query);
    },
    executeRaw: (query) => {
      note(query);
      return inner.executeRaw(query);
    },
    commit: () => {
      statements.push(COMMIT);
      return inner.commit();
    },
  });
  return {
    over: (factory) => ({
      provider: factory.provider,
      adapterName: factory.adapterName,
      connect: async () => {
        const adapter = await factory.connect();
        const begin = adapter.startTransaction.bind(adapter);
        // The service speaks to its database in transactions only.
        adapter.startTransaction = async (isolation) => {
          statements.push(BEGIN);
          return listened(await begin(isolation));
        };
        return adapter;
      },
    }),
    take: () => {
      const taken = statements;
      statements = [];
      return taken;
    },
  };
}

import { PrismaClient } from '../generated/prisma/client.ts';
import { columnCipher, type ColumnCipher, type ColumnKey } from './columnCipher.ts';
import { silentLog, type Database, type StoreLog } from './database.ts';
import { openEmbedded } from './embedded.ts';
import { openServer } from './server.ts';
import { reachable, withDirectStatements } from './statements.ts';

export interface StoreConfig {
  /** postgres://…; the embedded database is used without it. */
  readonly databaseUrl?: string | undefined;
  /** Where the embedded database lives; made if missing. */
  readonly dataFolder: string;
  /** Connections to a server at most. */
  readonly poolMax?: number | undefined;
  readonly log?: StoreLog | undefined;
}

export interface StoreConfigWithKeys extends StoreConfig {
  /** Of encrypted columns, the present one first; none for scripts that touch no such value. */
  readonly columnKeys: readonly ColumnKey[];
}

/** The open record: PostgreSQL, and Prisma on top of it. */
export interface Store extends Database {
  readonly prisma: PrismaClient;
  /** Reads and writes what single columns keep encrypted. */
  readonly cipher: ColumnCipher;
}

/**
 * Opens the server that `databaseUrl` names, or the embedded database; migrates nothing.
 * @throws StoreProblem where the data folder cannot be used.
 */
export async function openStore(config: StoreConfigWithKeys): Promise<Store> {
  const cipher = columnCipher(config.columnKeys);
  return withPrisma(await openDatabase(config), cipher);
}

/** As `openStore`, without Prisma: for migrations and scripts. */
export async function openDatabase({
  databaseUrl,
  dataFolder,
  poolMax,
  log = silentLog,
}: StoreConfig): Promise<Database> {
  if (databaseUrl === undefined) return openEmbedded(dataFolder, { log });
  return openServer(databaseUrl, { log, ...(poolMax === undefined ? {} : { poolMax }) });
}

/** How long a caller waits for its turn, and how long its transaction may last. Common practice, no source. */
const TRANSACTION_OPTIONS = { maxWait: 20_000, timeout: 20_000 };

export function withPrisma(database: Database, cipher: ColumnCipher): Store {
  const client = new PrismaClient({
    adapter: reachable(database.adapter),
    // Longer forms quote source lines and values in the message.
    errorFormat: 'minimal',
    transactionOptions: TRANSACTION_OPTIONS,
  });
  const prisma = withDirectStatements(client);
  return {
    ...database,
    prisma,
    cipher,
    close: async () => {
      await prisma.$disconnect();
      await database.close();
    },
  };
}

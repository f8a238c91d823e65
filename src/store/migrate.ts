/**
 * Applies the SQL under prisma/migrations. The table it keeps is Prisma's own, so that
 * `prisma migrate deploy` and this agree; the runner is ours because Prisma's needs a
 * downloaded binary, and because here each migration and its row are one transaction: one
 * that fails leaves nothing and is never recorded.
 */
import { createHash, randomUUID } from 'node:crypto';
import fs from 'node:fs';
import path from 'node:path';
import type { Database, OwnerSql } from './database.ts';
import { StoreProblem } from './storeProblem.ts';

export interface Migration {
  readonly name: string;
  readonly sql: string;
  /** SHA-256 of the file in hexadecimal, as Prisma has it. */
  readonly checksum: string;
  /** Whether a program that does not know this migration, and still runs, may go on. */
  readonly olderProgramMayRun: boolean;
}

export const MIGRATIONS_FOLDER = path.resolve(import.meta.dirname, '../../prisma/migrations');

/** Column for column what Prisma's schema engine makes. */
const MIGRATIONS_TABLE = `
create table if not exists _prisma_migrations (
  id                  varchar(36) primary key not null,
  checksum            varchar(64) not null,
  finished_at         timestamptz,
  migration_name      varchar(255) not null,
  logs                text,
  rolled_back_at      timestamptz,
  started_at          timestamptz not null default now(),
  applied_steps_count integer not null default 0
)`;

/** Any number, the same in every process: it keeps two starters from migrating at once. */
const MIGRATION_LOCK = 7_226_100_113;

const FIRST_LINE = /^--\s*\S.*\bolder program may run:\s*(yes|no)\b/i;
const OWN_TRANSACTION =
  /(?:^|;)\s*(?:begin|commit|rollback|start\s+transaction)(?:\s+(?:work|transaction)\b[^;]*)?\s*;/im;

/**
 * Reads `<folder>/<name>/migration.sql` in the order of the names.
 * @throws StoreProblem `migration-unreadable` for a file without its first line, or with its own COMMIT.
 */
export function readMigrations(folder: string = MIGRATIONS_FOLDER): Migration[] {
  return fs
    .readdirSync(folder, { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .map((entry) => entry.name)
    .sort()
    .map((name) => readMigration(path.join(folder, name, 'migration.sql'), name));
}

function readMigration(file: string, name: string): Migration {
  if (!fs.existsSync(file)) {
    throw unreadable(file, 'is missing.', 'Put it back, or remove its folder.');
  }
  const bytes = fs.readFileSync(file);
  const sql = bytes.toString('utf8');
  const mayRun = FIRST_LINE.exec(sql.split('\n', 1)[0] ?? '')?.[1];
  if (mayRun === undefined) {
    throw unreadable(
      file,
      'does not say in its first line why it exists and whether an older program may run.',
      'Begin it with: -- <why>. Older program may run: yes|no.',
    );
  }
  if (OWN_TRANSACTION.test(withoutBodies(sql))) {
    throw unreadable(
      file,
      'begins or ends a transaction itself.',
      'Take that statement out; each migration already runs in one transaction.',
    );
  }
  return {
    name,
    sql,
    checksum: createHash('sha256').update(bytes).digest('hex'),
    olderProgramMayRun: mayRun.toLowerCase() === 'yes',
  };
}

/** Function bodies have BEGIN and END of their own, comments any word. */
function withoutBodies(sql: string): string {
  return sql.replace(/--.*$/gm, '').replace(/(\$\w*\$)[\s\S]*?\1/g, '');
}

function unreadable(file: string, what: string, wayOut: string): StoreProblem {
  return new StoreProblem('migration-unreadable', `The migration ${file} ${what}`, wayOut);
}

/**
 * Which migrations this database still lacks.
 * @throws StoreProblem `migration-unknown` where the database is newer than this program,
 *   `migration-changed` where an applied file was edited, `migration-half-applied` where
 *   another tool left one unfinished.
 */
export async function pendingMigrations(
  database: Pick<Database, 'raw'>,
  folder: string = MIGRATIONS_FOLDER,
): Promise<Migration[]> {
  return pendingOf(readMigrations(folder), await appliedMigrations(database.raw));
}

/**
 * Brings the database to this program's schema. Safe to call from many processes at once.
 * @returns the names that this call applied.
 * @throws StoreProblem as `pendingMigrations`, and `migration-failed`.
 */
export async function migrate(
  database: Pick<Database, 'raw' | 'ownerTransaction'>,
  folder: string = MIGRATIONS_FOLDER,
): Promise<string[]> {
  const known = readMigrations(folder);
  const pending = pendingOf(known, await appliedMigrations(database.raw));
  const applied: string[] = [];
  for (const migration of pending) {
    const file = path.join(folder, migration.name, 'migration.sql');
    const mine = await database.ownerTransaction(async (sql) => {
      await sql.script('set local lock_timeout = 0; set local statement_timeout = 0');
      await sql.query('select pg_advisory_xact_lock($1)::text', [String(MIGRATION_LOCK)]);
      await sql.script(MIGRATIONS_TABLE);
      // Whoever had the lock before may have applied it, or gone further than this program knows.
      const [next] = pendingOf(known, await appliedMigrations(sql.query));
      if (next?.name !== migration.name) return false;
      await apply(sql, migration, file);
      return true;
    });
    if (mine) applied.push(migration.name);
  }
  return applied;
}

/**
 * Makes the schema as far as some migrations go, within the caller's transaction: for a record
 * that is restored. The database must be empty.
 * @throws StoreProblem as `migrate`
 */
export async function makeSchema(
  sql: OwnerSql,
  migrations: readonly Migration[],
  folder: string = MIGRATIONS_FOLDER,
): Promise<void> {
  await sql.script(MIGRATIONS_TABLE);
  for (const migration of migrations) {
    await apply(sql, migration, path.join(folder, migration.name, 'migration.sql'));
  }
}

async function apply(sql: OwnerSql, migration: Migration, file: string): Promise<void> {
  try {
    await sql.script(migration.sql);
  } catch (cause) {
    throw new StoreProblem(
      'migration-failed',
      `The migration ${file} failed and was undone: ${reasonOf(cause)}.`,
      'The database is as it was before. Mend the file and start again.',
      cause,
    );
  }
  await sql.query(
    `insert into _prisma_migrations
       (id, checksum, migration_name, started_at, finished_at, applied_steps_count)
     values ($1, $2, $3, now(), clock_timestamp(), 1)`,
    [randomUUID(), migration.checksum, migration.name],
  );
}

function reasonOf(cause: unknown): string {
  if (!(cause instanceof Error)) return String(cause);
  const { code } = cause as { code?: unknown };
  return typeof code === 'string' ? `${cause.message} (SQLSTATE ${code})` : cause.message;
}

interface AppliedRow {
  readonly name: string;
  readonly checksum: string;
  readonly finished: boolean;
}

async function appliedMigrations(query: OwnerSql['query']): Promise<AppliedRow[]> {
  const [table] = await query<{ there: boolean }>(
    `select to_regclass('public._prisma_migrations') is not null as there`,
  );
  if (table?.there !== true) return [];
  return query<AppliedRow>(
    `select migration_name as name, checksum, finished_at is not null as finished
     from _prisma_migrations where rolled_back_at is null order by migration_name`,
  );
}

function pendingOf(known: readonly Migration[], applied: readonly AppliedRow[]): Migration[] {
  const files = new Map(known.map((migration) => [migration.name, migration]));
  for (const row of applied) {
    const file = files.get(row.name);
    if (file === undefined) {
      throw new StoreProblem(
        'migration-unknown',
        `The database has the migration ${row.name}, which this program does not know: it was made by a newer one.`,
        'Start the newer program, or restore a backup from before it.',
      );
    }
    if (!row.finished) {
      throw new StoreProblem(
        'migration-half-applied',
        `The migration ${row.name} was begun by another tool and not finished.`,
        'Bring the database to a known state and mark the migration with prisma migrate resolve.',
      );
    }
    if (row.checksum !== file.checksum) {
      throw new StoreProblem(
        'migration-changed',
        `The migration ${row.name} was changed after it had been applied to this database.`,
        'Restore the file as it was, and put the change into a new migration.',
      );
    }
  }
  const done = new Set(applied.map((row) => row.name));
  return known.filter((migration) => !done.has(migration.name));
}

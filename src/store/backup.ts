/**
 * A backup is a folder: for each table a file with a line of JSON a row, every column as
 * PostgreSQL writes it in text, in the order of the table's key; and a manifest that says what
 * there is, with counts and SHA-256. It is read in one moment of the record. The same for the
 * embedded PostgreSQL and a server, whatever their versions, so it also moves a record from one
 * to the other. What is kept encrypted stays so: a backup is of use with the keys only, and they
 * are not in it. The manifest's hash is sealed under the present key, so that nobody without it
 * can make another backup that passes for this one.
 */
import { createHash } from 'node:crypto';
import fs from 'node:fs';
import path from 'node:path';
import { z } from 'zod';
import type { Cell, ColumnCipher } from './columnCipher.ts';
import type { Database, OwnerSql } from './database.ts';
import { readMigrations } from './migrate.ts';
import { chainHeads } from './recordChecks.ts';
import { StoreProblem } from './storeProblem.ts';

const FORMAT = 'castbook-backup-1';
const MANIFEST = 'manifest.json';
const SEAL = 'manifest.seal';
const SEALED_AS: Cell = { table: 'backup', column: 'manifest', clinicId: '', rowId: FORMAT };

const Table = z.strictObject({
  name: z.string().regex(/^[a-z_]{1,63}$/),
  columns: z.array(
    z.strictObject({ name: z.string().regex(/^[a-z0-9_]{1,63}$/), type: z.string() }),
  ),
  rows: z.int().min(0),
  sha256: z.string().regex(/^[0-9a-f]{64}$/),
});
export type BackedUpTable = z.infer<typeof Table>;

const Manifest = z.strictObject({
  format: z.literal(FORMAT),
  /** The program that made it. */
  program: z.string(),
  madeAt: z.iso.datetime(),
  from: z.enum(['embedded', 'server']),
  migrations: z.array(z.strictObject({ name: z.string(), checksum: z.string() })),
  tables: z.array(Table),
  heads: z.array(
    z.strictObject({ clinicId: z.uuid(), seq: z.int().min(0), chainSha256: z.string() }),
  ),
});
export type Manifest = z.infer<typeof Manifest>;

export const backupProblem = (what: string, wayOut: string, cause?: unknown): StoreProblem =>
  new StoreProblem('backup-unusable', what, wayOut, cause);

export const fileOf = (folder: string, table: string): string =>
  path.join(folder, `${table}.jsonl`);

/** No limits of the service's own: the work is long, and nobody waits for it. */
export const WITHOUT_LIMITS =
  'set local statement_timeout = 0; set local lock_timeout = 0; set local idle_in_transaction_session_timeout = 0';

/** The tables of the record with their columns, in the order of their names; generated columns are made anew. */
async function tablesOf(
  query: OwnerSql['query'],
): Promise<Omit<BackedUpTable, 'rows' | 'sha256'>[]> {
  const rows = await query<{ name: string; columns: { name: string; type: string }[] }>(
    `select c.relname::text as name,
       (select jsonb_agg(jsonb_build_object('name', a.attname, 'type', format_type(a.atttypid, null)) order by a.attname)
        from pg_attribute a where a.attrelid = c.oid and a.attnum > 0 and not a.attisdropped and a.attgenerated = '') as columns
     from pg_class c
     where c.relnamespace = 'public'::regnamespace and c.relkind in ('r', 'p') and c.relname <> '_prisma_migrations'
     order by c.relname collate "C"`,
  );
  return rows.map(({ name, columns }) => ({ name, columns }));
}

/** The columns of a table's primary key, by which its rows are written. */
async function keyOf(query: OwnerSql['query'], table: string): Promise<string> {
  const [row] = await query<{ key: string }>(
    `select string_agg(format('t.%I::text collate "C"', a.attname), ', ' order by k.at) as key
     from pg_index i, unnest(i.indkey) with ordinality k(num, at)
     join pg_attribute a on a.attnum = k.num
     where i.indrelid = $1::regclass and i.indisprimary and a.attrelid = i.indrelid`,
    [`public.${table}`],
  );
  if (row?.key === undefined) throw new TypeError(`${table} has no key`);
  return row.key;
}

/** Rows fetched at once; of pictures, which are some megabytes each, a few. */
const ROWS_AT_ONCE = 500;
const PICTURES_AT_ONCE = 4;

/** Every row of a table as a line, in order. */
export async function* linesOf(
  { query, script }: OwnerSql,
  { name, columns }: Pick<BackedUpTable, 'name' | 'columns'>,
): AsyncGenerator<string> {
  const many = columns.some(({ type }) => type === 'bytea') ? PICTURES_AT_ONCE : ROWS_AT_ONCE;
  const texts = columns.map((column) => `t."${column.name}"::text`).join(', ');
  await script(
    `declare rows_of_table no scroll cursor for
     select array_to_json(array[${texts}])::text as line from "${name}" t order by ${await keyOf(query, name)}`,
  );
  for (;;) {
    const rows = await query<{ line: string }>(`fetch ${many} from rows_of_table`);
    for (const { line } of rows) yield line;
    if (rows.length < many) break;
  }
  await script('close rows_of_table');
}

/**
 * Writes a backup of the whole record, as it is at this moment, into a new folder. The folder
 * gets its name when it is whole.
 * @param owner signed in as the owner of the tables: others do not see every clinic's rows
 * @throws StoreProblem 'backup-unusable'
 */
export async function writeBackup(
  owner: Pick<Database, 'ownerTransaction' | 'kind'>,
  folder: string,
  cipher: ColumnCipher,
  { at, program }: { readonly at: Date; readonly program: string },
): Promise<Manifest> {
  const target = path.resolve(folder);
  if (fs.existsSync(target)) {
    throw backupProblem(
      `${target} is there already.`,
      'Name a folder that does not exist yet; no backup is written over another.',
    );
  }
  const aside = `${target}.unfinished`;
  fs.rmSync(aside, { recursive: true, force: true });
  fs.mkdirSync(aside, { recursive: true, mode: 0o700 });
  try {
    const manifest = await owner.ownerTransaction(async (sql) => {
      await sql.script(`set transaction isolation level repeatable read; ${WITHOUT_LIMITS}`);
      await sql.script(`set local timezone = 'UTC'; set local datestyle = 'ISO'`);
      await refuseOtherSchema(sql.query);
      const tables: BackedUpTable[] = [];
      for (const table of await tablesOf(sql.query)) {
        tables.push({ ...table, ...(await writeTable(sql, table, fileOf(aside, table.name))) });
      }
      return {
        format: FORMAT,
        program,
        madeAt: at.toISOString(),
        from: owner.kind,
        migrations: await appliedOf(sql.query),
        tables,
        heads: await chainHeads(sql.query),
      } satisfies Manifest;
    });
    const text = `${JSON.stringify(manifest, null, 2)}\n`;
    writeThrough(path.join(aside, MANIFEST), text);
    writeThrough(path.join(aside, SEAL), `${cipher.encryptFor(SEALED_AS, sha256Of(text))}\n`);
    fs.renameSync(aside, target);
    return manifest;
  } catch (failure) {
    fs.rmSync(aside, { recursive: true, force: true });
    throw failure;
  }
}

async function appliedOf(query: OwnerSql['query']): Promise<Manifest['migrations']> {
  const rows = await query<{ name: string; checksum: string }>(
    `select migration_name as name, checksum from _prisma_migrations
     where rolled_back_at is null and finished_at is not null order by migration_name`,
  );
  return rows.map(({ name, checksum }) => ({ name, checksum }));
}

/** A record of another program's schema is backed up by that program. */
async function refuseOtherSchema(query: OwnerSql['query']): Promise<void> {
  const [table] = await query<{ there: boolean }>(
    `select to_regclass('public._prisma_migrations') is not null as there`,
  );
  if (table?.there !== true) {
    throw backupProblem('There is no record here yet.', 'Start the service once, then back it up.');
  }
  const known = new Set(readMigrations().map(({ name }) => name));
  const newer = (await appliedOf(query)).find(({ name }) => !known.has(name));
  if (newer === undefined) return;
  throw backupProblem(
    `The record has the migration ${newer.name}, which this program does not know.`,
    'Back it up with the newer program.',
  );
}

async function writeTable(
  sql: OwnerSql,
  table: Pick<BackedUpTable, 'name' | 'columns'>,
  file: string,
): Promise<{ rows: number; sha256: string }> {
  const hash = createHash('sha256');
  const fd = fs.openSync(file, 'wx', 0o600);
  let rows = 0;
  try {
    for await (const line of linesOf(sql, table)) {
      fs.writeSync(fd, `${line}\n`);
      hash.update(`${line}\n`, 'utf8');
      rows += 1;
    }
    fs.fsyncSync(fd);
  } finally {
    fs.closeSync(fd);
  }
  return { rows, sha256: hash.digest('hex') };
}

function writeThrough(file: string, text: string): void {
  const fd = fs.openSync(file, 'wx', 0o600);
  try {
    fs.writeSync(fd, text);
    fs.fsyncSync(fd);
  } finally {
    fs.closeSync(fd);
  }
}

const sha256Of = (text: string): string => createHash('sha256').update(text, 'utf8').digest('hex');

/**
 * Reads a backup's manifest and holds all files against it, without any database.
 * @throws StoreProblem 'backup-unusable' with the first thing that is wrong;
 *   Refused 'column-key-missing' where the key that it was sealed with is not at hand
 */
export async function checkBackup(folder: string, cipher: ColumnCipher): Promise<Manifest> {
  const manifest = readManifest(folder, cipher);
  const due = new Set([MANIFEST, SEAL, ...manifest.tables.map(({ name }) => `${name}.jsonl`)]);
  const stray = fs.readdirSync(folder).find((name) => !due.has(name));
  if (stray !== undefined) throw unlike(`it holds ${stray}, which its manifest does not name`);
  for (const table of manifest.tables) await checkFile(folder, table);
  return manifest;
}

const unlike = (what: string, cause?: unknown): StoreProblem =>
  backupProblem(
    `This is not the backup that was made: ${what}.`,
    'Take another copy of it, or an earlier backup. Nothing was restored.',
    cause,
  );

function readManifest(folder: string, cipher: ColumnCipher): Manifest {
  const read = (name: string): string => {
    try {
      return fs.readFileSync(path.join(folder, name), 'utf8');
    } catch (cause) {
      throw unlike(`${name} cannot be read`, cause);
    }
  };
  const text = read(MANIFEST);
  const seal = read(SEAL).trim();
  let parsed: unknown;
  try {
    parsed = JSON.parse(text);
  } catch (cause) {
    throw unlike(`${MANIFEST} is no JSON`, cause);
  }
  const manifest = Manifest.safeParse(parsed);
  if (!manifest.success) throw unlike(`${MANIFEST} is not of the form ${FORMAT}`, manifest.error);
  if (openedSeal(seal, cipher) !== sha256Of(text)) {
    throw unlike(`${MANIFEST} is not the one that was sealed`);
  }
  return manifest.data;
}

/** What was sealed; undefined where the seal is none. A missing key is told as what it is. */
function openedSeal(seal: string, cipher: ColumnCipher): string | undefined {
  try {
    return cipher.decryptFor(SEALED_AS, seal);
  } catch (failure) {
    if (failure instanceof Error && failure.message === 'column-key-missing') throw failure;
    return undefined;
  }
}

async function checkFile(folder: string, { name, rows, sha256 }: BackedUpTable): Promise<void> {
  const hash = createHash('sha256');
  let lines = 0;
  try {
    for await (const piece of fs.createReadStream(fileOf(folder, name))) {
      const bytes = piece as Buffer;
      hash.update(bytes);
      for (const byte of bytes) if (byte === 0x0a) lines += 1;
    }
  } catch (cause) {
    throw unlike(`${name}.jsonl cannot be read`, cause);
  }
  if (hash.digest('hex') !== sha256) throw unlike(`${name}.jsonl has another SHA-256`);
  if (lines !== rows) throw unlike(`${name}.jsonl has ${lines} rows, not ${rows}`);
}

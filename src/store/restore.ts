/**
 * Puts a backup into an empty database, and proves what it put there before it counts: all in
 * one transaction, so a backup that does not hold, or a process that is killed, leaves nothing.
 *
 * Proven are: every file is the one that was backed up; every row reads back as it was written
 * there; every constraint holds, foreign keys looked up anew; triggers, policies and row-level
 * security are those of the migrations; every clinic's chain of events works out to its head;
 * custody is what the moves make it; and the keys at hand open all that is kept encrypted.
 */
import { createHash } from 'node:crypto';
import fs from 'node:fs';
import { createInterface } from 'node:readline';
import {
  backupProblem,
  checkBackup,
  fileOf,
  linesOf,
  WITHOUT_LIMITS,
  type BackedUpTable,
  type Manifest,
} from './backup.ts';
import type { ColumnCipher } from './columnCipher.ts';
import { keysMissing } from './columnKeys.ts';
import type { Database, OwnerSql } from './database.ts';
import { valuesThatDoNotOpen } from './encryptedColumns.ts';
import { makeSchema, readMigrations, type Migration } from './migrate.ts';
import { chainBreach, chainHeads, custodyBreaches } from './recordChecks.ts';

export interface Restored {
  readonly manifest: Manifest;
  readonly rows: number;
  readonly events: number;
  /** Migrations that the backup lacked: the program is newer than it was. */
  readonly migrated: readonly string[];
}

/**
 * @param owner an empty database, as the owner of the tables to be
 * @param said told what is being done
 * @throws StoreProblem 'backup-unusable'; Refused 'column-key-missing'
 */
export async function restoreBackup(
  owner: Pick<Database, 'ownerTransaction' | 'describe'>,
  folder: string,
  cipher: ColumnCipher,
  said: (what: string) => void = () => undefined,
): Promise<Restored> {
  said('Checking the files of the backup.');
  const manifest = await checkBackup(folder, cipher);
  const { then, since } = migrationsOf(manifest);
  return owner.ownerTransaction(async (sql) => {
    await sql.script(`${WITHOUT_LIMITS}; set local timezone = 'UTC'; set local datestyle = 'ISO'`);
    await refuseFull(sql.query, owner.describe);
    await makeSchema(sql, then);
    const schema = await protectionsOf(sql.query);
    const references = await withoutReferences(sql);
    for (const table of manifest.tables) {
      await withoutOwnTriggers(sql, table.name, () => load(sql, table, fileOf(folder, table.name)));
    }
    said('All rows are there. Proving them.');
    for (const add of references)
      await provable(() => sql.script(add), 'a reference leads nowhere');
    await proveSchema(sql.query, schema);
    for (const table of manifest.tables) await proveRows(sql, table);
    await proveRecord(sql.query, manifest, cipher);
    await makeSchema(sql, since);
    return {
      manifest,
      rows: manifest.tables.reduce((sum, { rows }) => sum + rows, 0),
      events: manifest.heads.reduce((sum, { seq }) => sum + seq, 0),
      migrated: since.map(({ name }) => name),
    };
  });
}

const notProven = (what: string, cause?: unknown) =>
  backupProblem(
    `The backup does not hold: ${what}.`,
    'Take an earlier backup. Nothing was restored.',
    cause,
  );

/** The migrations that the backup's record had, and those that came since. */
function migrationsOf({ migrations }: Manifest): { then: Migration[]; since: Migration[] } {
  const known = readMigrations();
  for (const { name, checksum } of migrations) {
    const ours = known.find((each) => each.name === name);
    if (ours?.checksum === checksum) continue;
    throw backupProblem(
      `The backup has the migration ${name}, which this program ${ours === undefined ? 'does not know' : 'knows otherwise'}.`,
      'Restore it with the program that made it, or a newer one. Nothing was restored.',
    );
  }
  const had = new Set(migrations.map(({ name }) => name));
  return {
    then: known.filter(({ name }) => had.has(name)),
    since: known.filter(({ name }) => !had.has(name)),
  };
}

async function refuseFull(query: OwnerSql['query'], where: string): Promise<void> {
  const rows = await query(
    `select 1 as found from pg_class c where c.relnamespace = 'public'::regnamespace and c.relkind in ('r', 'p', 'v')
       and not exists (select from pg_depend d where d.objid = c.oid and d.deptype = 'e') limit 1`,
  );
  if (rows.length === 0) return;
  throw backupProblem(
    `There is something already in ${where}.`,
    'Name a new, empty database or folder. Nothing was changed there.',
  );
}

/** All that protects the rows, as lines: equal before and after means that nothing of it was lost. */
async function protectionsOf(query: OwnerSql['query']): Promise<string[]> {
  const rows = await query<{ line: string }>(
    `select line from (
       select conrelid::regclass || ' ' || conname || ' ' || pg_get_constraintdef(oid) as line
         from pg_constraint where connamespace = 'public'::regnamespace and contype <> 'n'
       union all
       select pg_get_triggerdef(t.oid) || ' ' || t.tgenabled::text from pg_trigger t
         join pg_class c on c.oid = t.tgrelid where c.relnamespace = 'public'::regnamespace and not t.tgisinternal
       union all
       select format('%s %s %s %s %s %s', tablename, policyname, roles, cmd, qual, with_check) from pg_policies where schemaname = 'public'
       union all
       select relname || ' ' || relrowsecurity || ' ' || relforcerowsecurity from pg_class
         where relnamespace = 'public'::regnamespace and relkind in ('r', 'p')) all_of_it
     order by line collate "C"`,
  );
  return rows.map(({ line }) => line);
}

/** Takes the references away, so that tables are filled in any order. @returns statements that put them back, looked up for every row */
async function withoutReferences(sql: OwnerSql): Promise<string[]> {
  const rows = await sql.query<{ table: string; name: string; def: string }>(
    `select conrelid::regclass::text as "table", quote_ident(conname) as name, pg_get_constraintdef(oid) as def
     from pg_constraint where connamespace = 'public'::regnamespace and contype = 'f' order by 1, 2`,
  );
  for (const { table, name } of rows)
    await sql.script(`alter table ${table} drop constraint ${name}`);
  return rows.map(({ table, name, def }) => `alter table ${table} add constraint ${name} ${def}`);
}

async function withoutOwnTriggers(
  sql: OwnerSql,
  table: string,
  work: () => Promise<void>,
): Promise<void> {
  await sql.script(`alter table "${table}" disable trigger user`);
  await work();
  await sql.script(`alter table "${table}" enable trigger user`);
}

/** A statement takes some megabytes at most. */
const BYTES_AT_ONCE = 4_000_000;
const ROWS_AT_ONCE = 500;

async function load(sql: OwnerSql, table: BackedUpTable, file: string): Promise<void> {
  const names = table.columns.map(({ name }) => `"${name}"`).join(', ');
  const values = table.columns.map(({ type }, at) => `(r.line ->> ${at})::${typeName(type)}`);
  const insert = `insert into "${table.name}" (${names}) select ${values.join(', ')}
    from jsonb_array_elements($1::text::jsonb) as r(line)`;
  let lines: string[] = [];
  let bytes = 0;
  const flush = async () => {
    if (lines.length === 0) return;
    const rows = `[${lines.join(',')}]`;
    await provable(() => sql.query(insert, [rows]), `a row of ${table.name} is refused`);
    lines = [];
    bytes = 0;
  };
  for await (const line of createInterface({
    input: fs.createReadStream(file),
    crlfDelay: Infinity,
  })) {
    lines.push(line);
    bytes += line.length;
    if (lines.length >= ROWS_AT_ONCE || bytes >= BYTES_AT_ONCE) await flush();
  }
  await flush();
}

/** Goes into SQL: the types of PostgreSQL that the tables have. */
function typeName(type: string): string {
  if (!/^[a-z][a-z0-9 ]*(\[\])?$/.test(type)) throw notProven(`it names a type "${type}"`);
  return type;
}

async function provable<T>(work: () => Promise<T>, otherwise: string): Promise<T> {
  try {
    return await work();
  } catch (cause) {
    const { constraint } = cause as { constraint?: unknown };
    const which = typeof constraint === 'string' ? ` (${constraint})` : '';
    throw notProven(`${otherwise}${which}`, cause);
  }
}

async function proveSchema(query: OwnerSql['query'], before: readonly string[]): Promise<void> {
  const after = await protectionsOf(query);
  const lost = before.find((line) => !after.includes(line));
  if (lost !== undefined || after.length !== before.length) {
    throw notProven(`the schema is not whole: ${lost ?? 'there is more than there was'}`);
  }
}

/** What was put in reads back as the very lines that were put in. */
async function proveRows(sql: OwnerSql, table: BackedUpTable): Promise<void> {
  const hash = createHash('sha256');
  let rows = 0;
  for await (const line of linesOf(sql, table)) {
    hash.update(`${line}\n`, 'utf8');
    rows += 1;
  }
  if (rows !== table.rows || hash.digest('hex') !== table.sha256) {
    throw notProven(`${table.name} does not read back as it was backed up`);
  }
}

async function proveRecord(
  query: OwnerSql['query'],
  manifest: Manifest,
  cipher: ColumnCipher,
): Promise<void> {
  const heads = await chainHeads(query);
  if (JSON.stringify(heads) !== JSON.stringify(manifest.heads)) {
    throw notProven('the heads of the chains are not those of its manifest');
  }
  const clinics = await query<{ id: string }>('select distinct clinic_id::text as id from event');
  if (clinics.some(({ id }) => !heads.some(({ clinicId }) => clinicId === id))) {
    throw notProven('a clinic has events without a head');
  }
  const [form] = await query<{ there: boolean }>(
    `select to_regprocedure('column_keys_in_use()') is not null as there`,
  );
  const isEncrypted = form?.there === true;
  if (isEncrypted) {
    const closed = [
      ...(await keysMissing(query, cipher)).map((keyId) => `the key "${keyId}" is not at hand`),
      ...(await valuesThatDoNotOpen(query, cipher)),
    ];
    if (closed[0] !== undefined)
      throw notProven(`${closed.length} values do not open: ${closed[0]}`);
  }
  for (const head of heads) {
    const breach = await chainBreach(query, head, isEncrypted ? cipher : undefined);
    if (breach !== undefined) throw notProven(breach);
  }
  const [custody] = await custodyBreaches(query);
  if (custody !== undefined) throw notProven(custody);
}

/**
 * Backs the record up into a new folder, or checks a backup.
 *
 *   npm run backup -- backups/2026-03-02           writes a backup
 *   npm run backup -- --check backups/2026-03-02   holds a backup against its manifest
 *
 * The record is where DATABASE_URL or DATA_DIR says; from a server as the owner
 * (MIGRATION_DATABASE_URL where that is set), while the service runs. Stop the service first
 * where the record is embedded: one process at a time may have a data folder. COLUMN_KEYS is
 * needed: contact data stay encrypted in the backup, and the keys are not in it. Keep the keys
 * elsewhere, for as long as the backup. All else stands readable in it: keep it as the record.
 */
import { parseArgs } from 'node:util';
import { VERSION } from '../src/app.ts';
import { readColumnKeys, readWhereRecordIs } from '../src/config.ts';
import { startProblem } from '../src/server.ts';
import { checkBackup, writeBackup, type Manifest } from '../src/store/backup.ts';
import { columnCipher } from '../src/store/columnCipher.ts';
import { openDatabase } from '../src/store/open.ts';
import { Refused } from '../src/store/refused.ts';
import { isMain } from './isMain.ts';

async function backup(args: readonly string[]): Promise<void> {
  const { values, positionals } = parseArgs({
    args: [...args],
    options: { check: { type: 'boolean', default: false } },
    allowPositionals: true,
  });
  const [folder, ...others] = positionals;
  if (folder === undefined || others.length > 0) {
    throw new Error('Name one folder: npm run backup -- [--check] <folder>');
  }
  const cipher = columnCipher(readColumnKeys());
  if (values.check) {
    const manifest = await checkBackup(folder, cipher);
    process.stdout.write(`${folder} is whole: ${inFigures(manifest)}.\n`);
    return;
  }
  const { databaseUrl, migrationDatabaseUrl, dataFolder } = readWhereRecordIs();
  const owner = await openDatabase({
    databaseUrl: migrationDatabaseUrl ?? databaseUrl,
    dataFolder,
  });
  try {
    const about = { at: new Date(), program: VERSION };
    const manifest = await writeBackup(owner, folder, cipher, about);
    process.stdout.write(`Backed up ${owner.describe} into ${folder}: ${inFigures(manifest)}.\n`);
  } finally {
    await owner.close();
  }
}

const inFigures = ({ tables, heads, madeAt }: Manifest): string =>
  `${tables.reduce((sum, { rows }) => sum + rows, 0)} rows of ${tables.length} tables, ${heads.length} chain${heads.length === 1 ? '' : 's'} of events, made ${madeAt}`;

/** Words for whoever runs it. */
export function backupInWords(failure: unknown): string {
  if (failure instanceof Refused) {
    return failure.reasons.map(({ detail, wayOut }) => `${detail} ${wayOut}`).join('\n');
  }
  return startProblem(failure) ?? (failure instanceof Error ? failure.message : String(failure));
}

if (isMain(import.meta)) {
  backup(process.argv.slice(2)).catch((failure: unknown) => {
    process.stderr.write(`${backupInWords(failure)}\n`);
    process.exitCode = 1;
  });
}

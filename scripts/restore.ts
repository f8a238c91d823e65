/**
 * Puts a backup into a new data folder or an empty database, and proves it: files, rows,
 * references, every clinic's chain of events, custody, and that the keys at hand open what is
 * kept encrypted. Where anything does not hold it says what, leaves nothing, and fails.
 *
 *   DATA_DIR=./data-new npm run restore -- backups/2026-03-02
 *   DATABASE_URL=postgres://…/castbook_new npm run restore -- backups/2026-03-02
 *
 * Whichever the backup was made from: so a record moves from the embedded PostgreSQL to a
 * server and back. A backup of an older program is brought to this one's schema. COLUMN_KEYS
 * must hold every key that the backup is under. On a server it is done as the owner
 * (MIGRATION_DATABASE_URL where that is set).
 */
import { parseArgs } from 'node:util';
import { readColumnKeys, readWhereRecordIs } from '../src/config.ts';
import { columnCipher } from '../src/store/columnCipher.ts';
import type { Database } from '../src/store/database.ts';
import { makeEmbedded } from '../src/store/embedded.ts';
import { openDatabase } from '../src/store/open.ts';
import { restoreBackup, type Restored } from '../src/store/restore.ts';
import { backupInWords } from './backup.ts';
import { isMain } from './isMain.ts';

const say = (line: string): void => void process.stdout.write(`${line}\n`);

async function restore(args: readonly string[]): Promise<void> {
  const { positionals } = parseArgs({ args: [...args], allowPositionals: true });
  const [folder, ...others] = positionals;
  if (folder === undefined || others.length > 0) {
    throw new Error('Name one backup: npm run restore -- <folder>');
  }
  const cipher = columnCipher(readColumnKeys());
  const { databaseUrl, migrationDatabaseUrl, dataFolder } = readWhereRecordIs();
  const url = migrationDatabaseUrl ?? databaseUrl;
  const restoreInto = (owner: Database) => restoreBackup(owner, folder, cipher, say);
  if (url !== undefined) {
    const owner = await openDatabase({ databaseUrl: url, dataFolder });
    try {
      tell(await restoreInto(owner), owner.describe);
    } finally {
      await owner.close();
    }
    return;
  }
  // Made aside and named when it is whole: a kill leaves nothing that counts.
  let restored: Restored | undefined;
  const made = await makeEmbedded(dataFolder, async (database) => {
    restored = await restoreInto(database);
  });
  if (!made || restored === undefined) {
    throw new Error(
      `There is a record already in ${dataFolder}. Name a new folder in DATA_DIR. Nothing was changed there.`,
    );
  }
  tell(restored, dataFolder);
}

function tell({ manifest, rows, events, migrated }: Restored, where: string): void {
  say(
    `Restored into ${where}: ${rows} rows, ${events} events; the backup of ${manifest.madeAt} holds.`,
  );
  if (migrated.length > 0) say(`Brought to this program's schema: ${migrated.join(', ')}.`);
  say('Start the service on it with the same COLUMN_KEYS.');
}

if (isMain(import.meta)) {
  restore(process.argv.slice(2)).catch((failure: unknown) => {
    process.stderr.write(`${backupInWords(failure)}\n`);
    process.exitCode = 1;
  });
}

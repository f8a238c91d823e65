/** Opening the record for a script: one that is there, and of this program. */
import fs from 'node:fs';
import { readWhereRecordIs } from '../src/config.ts';
import type { ColumnKey } from '../src/store/columnCipher.ts';
import { pendingMigrations } from '../src/store/migrate.ts';
import { openStore, type Store } from '../src/store/open.ts';
import { UsageProblem } from './options.ts';

/**
 * As the owner, where DATABASE_URL or DATA_DIR says; close it.
 * @param columnKeys none where nothing is read or written that is kept encrypted
 * @throws UsageProblem where there is no record, or one of an older program
 */
export async function openRecord(columnKeys: readonly ColumnKey[] = []): Promise<Store> {
  const { databaseUrl, migrationDatabaseUrl, dataFolder } = readWhereRecordIs();
  // Else a folder that was mistyped would become a new record.
  if (databaseUrl === undefined && !fs.existsSync(dataFolder)) {
    throw new UsageProblem(`There is no record in ${dataFolder}. Set DATA_DIR or DATABASE_URL.`);
  }
  const store = await openStore({
    databaseUrl: migrationDatabaseUrl ?? databaseUrl,
    dataFolder,
    columnKeys,
  });
  try {
    if ((await pendingMigrations(store)).length > 0) {
      throw new UsageProblem(
        `${store.describe} is of an older program. Start the service once, or run npx tsx scripts/migrate.ts, then try again.`,
      );
    }
  } catch (failure) {
    await store.close();
    throw failure;
  }
  return store;
}

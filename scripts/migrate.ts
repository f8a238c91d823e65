/**
 * Brings a database to this program's schema; `npm start` does the same by itself.
 *
 *   npx tsx scripts/migrate.ts --data-folder data
 *   npx tsx scripts/migrate.ts --database-url postgres://user@host:5432/castbook
 *   … --status      only lists what is still to be applied; fails where anything is
 */
import { parseArgs } from 'node:util';
import { openDatabase } from '../src/store/open.ts';
import { migrate, pendingMigrations } from '../src/store/migrate.ts';

const { values } = parseArgs({
  options: {
    'database-url': { type: 'string' },
    'data-folder': { type: 'string' },
    status: { type: 'boolean', default: false },
  },
});

async function run(): Promise<void> {
  const databaseUrl = values['database-url'];
  const dataFolder = values['data-folder'];
  if ((databaseUrl === undefined) === (dataFolder === undefined)) {
    throw new Error('Name the database: either --database-url or --data-folder.');
  }
  const database = await openDatabase({ databaseUrl, dataFolder: dataFolder ?? '' });
  try {
    if (values.status) {
      const pending = await pendingMigrations(database);
      for (const { name } of pending) process.stdout.write(`to apply: ${name}\n`);
      if (pending.length > 0) process.exitCode = 1;
      else process.stdout.write(`Nothing to apply (${database.describe}).\n`);
      return;
    }
    const applied = await migrate(database);
    for (const name of applied) process.stdout.write(`applied: ${name}\n`);
    process.stdout.write(`The schema is current (${database.describe}).\n`);
  } finally {
    await database.close();
  }
}

try {
  await run();
} catch (error) {
  const words = error instanceof Error ? error.message : String(error);
  process.stderr.write(`${words}\n`);
  process.exitCode = 1;
}

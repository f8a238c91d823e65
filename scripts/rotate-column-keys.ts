/**
 * Encrypts contact data and every copy of them with the first key of COLUMN_KEYS, and says how
 * many values stand under each key. What is under none of the older keys any more can be read
 * without them: such a key may then be left out of COLUMN_KEYS, but is to be kept for as long as
 * backups from before are.
 *
 *   npm run keys:rotate               encrypts anew; may be ended and begun again at any time
 *   npm run keys:rotate -- --count    only says how many values stand under each key
 *
 * On a server the service may run meanwhile: first give it the new key as a further one, start
 * all its processes again, then put it first. It is done as the owner (MIGRATION_DATABASE_URL
 * where that is set). The embedded record rotates by itself when the service starts with a new
 * first key; with the service stopped, this does it too.
 */
import { parseArgs } from 'node:util';
import { readColumnKeys } from '../src/config.ts';
import { rotateKeys } from '../src/store/columnKeys.ts';
import { valuesByKey } from '../src/store/encryptedColumns.ts';
import { openRecord } from './openRecord.ts';
import { runScript } from './runScript.ts';

const say = (line: string): void => void process.stdout.write(`${line}\n`);

async function rotate(args: readonly string[]): Promise<void> {
  const { values } = parseArgs({
    args: [...args],
    options: { count: { type: 'boolean', default: false } },
  });
  const columnKeys = readColumnKeys();
  const store = await openRecord(columnKeys);
  try {
    if (!values.count) {
      const { written, retired } = await rotateKeys(store, new Date(), {
        progress: ({ table, written: so }) => {
          say(`  ${table}: ${so} values encrypted anew`);
        },
      });
      say(`Encrypted anew: ${written}.`);
      for (const keyId of retired) say(`Nothing stands under the key "${keyId}" any more.`);
    }
    const counts = await valuesByKey(store.raw);
    for (const [keyId, n] of [...counts].sort()) {
      const under = keyId === '' ? 'in plain text' : `under the key "${keyId}"`;
      say(`${n} values ${under}${keyId === columnKeys[0]?.id ? ', the present one' : ''}`);
    }
  } finally {
    await store.close();
  }
}

runScript(import.meta, rotate);

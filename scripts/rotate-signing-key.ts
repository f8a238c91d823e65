/**
 * Changes the key that signs heads of the record, in every clinic of the database: the old key
 * signs a statement that brings the new one in, so that whoever has the old public key can go on.
 *
 *   openssl genpkey -algorithm ed25519 -out new.pem
 *   npx tsx scripts/rotate-signing-key.ts --old old.pem --new new.pem
 *   npx tsx scripts/rotate-signing-key.ts --lost --new new.pem
 *
 * The record is where DATABASE_URL (or DATA_DIR) says, as for the service. Then give the service the
 * new key (HEAD_SIGNING_KEY_FILE) and start it again: until then it signs nothing more, and says so
 * in its log. Keep the old public key; of the old private one nothing is needed any more.
 *
 * --lost: the old private key is gone. The new one is brought in with nobody's word for it, is marked
 * so in the record for ever, and every verification says it. Tell auditors the new public key's id by
 * another way than the record.
 */
import fs from 'node:fs';
import { parseArgs } from 'node:util';
import { readWhereRecordIs, signingKeyFrom } from '../src/config.ts';
import { rotateKey } from '../src/features/record/rotation.ts';
import { headSigner, type HeadSigner } from '../src/features/record/signer.ts';
import { openStore, type Store } from '../src/store/open.ts';
import { isMain } from './isMain.ts';

const signerIn = (file: string): HeadSigner | undefined => {
  const key = signingKeyFrom(fs.readFileSync(file, 'utf8'));
  return key === undefined ? undefined : headSigner(key);
};

/** @returns lines to say, and whether every clinic has the new key now */
export async function rotateEverywhere(
  store: Store,
  of: { readonly at: Date; readonly old: HeadSigner | null; readonly young: HeadSigner },
): Promise<{ readonly lines: readonly string[]; readonly ok: boolean }> {
  const clinics = await store.raw<{ id: string; name: string }>(
    'select id, name from clinic order by name',
  );
  const lines: string[] = [];
  let ok = true;
  for (const { id, name } of clinics) {
    const done = await rotateKey(store, id, of);
    if (done === 'not the newest') ok = false;
    lines.push(`${name}: ${done}`);
  }
  return { lines, ok };
}

if (isMain(import.meta)) {
  const { values } = parseArgs({
    options: {
      old: { type: 'string' },
      new: { type: 'string' },
      lost: { type: 'boolean', default: false },
    },
  });
  const young = values.new === undefined ? undefined : signerIn(values.new);
  const old = values.old === undefined ? undefined : signerIn(values.old);
  if (young === undefined || (old === undefined) === !values.lost) {
    process.stderr.write(
      'Give --new, and either --old or --lost; the head of this script says how.\n',
    );
    process.exit(2);
  }
  const { databaseUrl, migrationDatabaseUrl, dataFolder } = readWhereRecordIs();
  const store = await openStore({
    databaseUrl: migrationDatabaseUrl ?? databaseUrl,
    dataFolder,
    columnKeys: [],
  });
  try {
    const { lines, ok } = await rotateEverywhere(store, {
      at: new Date(),
      old: old ?? null,
      young,
    });
    process.stdout.write(`${lines.join('\n')}\nNew key: ${young.keyId}\n`);
    if (!ok) process.exitCode = 1;
  } finally {
    await store.close();
  }
}

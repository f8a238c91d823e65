/**
 * The keys that a record is under, as it knows them itself: their names, and what tells a key
 * from another that was given the same name. The keys themselves are never kept in it.
 */
import { v7 as uuidv7 } from 'uuid';
import type { ColumnCipher } from './columnCipher.ts';
import type { Database, OwnerSql, StoreLog } from './database.ts';
import { encryptAnew, valuesByKey } from './encryptedColumns.ts';
import { StoreProblem } from './storeProblem.ts';

interface KeyInUse {
  readonly key_id: string;
  readonly check_value: string;
}

const keysInUse = (query: OwnerSql['query']): Promise<KeyInUse[]> =>
  query<KeyInUse & Record<string, unknown>>(
    'select key_id, check_value from column_keys_in_use() order by key_id',
  );

/** Names of the keys that the record is under and that the cipher lacks, or has another by that name. */
export async function keysMissing(
  query: OwnerSql['query'],
  cipher: ColumnCipher,
): Promise<string[]> {
  const inUse = await keysInUse(query);
  return inUse
    .filter(({ key_id, check_value }) => cipher.checkOf(key_id) !== check_value)
    .map(({ key_id }) => key_id);
}

/**
 * Before a service takes requests: refuses a key that is another than the record knows by that
 * name, notes the present one, and encrypts what still stands plain from before there were keys.
 * @throws StoreProblem 'column-key-other'
 */
export async function prepareColumns(
  owner: Pick<Database, 'raw' | 'ownerTransaction'>,
  cipher: ColumnCipher,
  log: StoreLog,
): Promise<void> {
  await refuseOtherKey(owner.raw, cipher);
  await noteKey(owner, cipher);
  const missing = await keysMissing(owner.raw, cipher);
  if (missing.length > 0) {
    log.warn({ missing }, 'the record has values under keys that were not given');
  }
  const unchecked = await owner.raw<{ table: string; name: string }>(
    `select conrelid::regclass::text as "table", conname::text as name from pg_constraint
     where connamespace = 'public'::regnamespace and not convalidated order by 1, 2`,
  );
  if (unchecked.length === 0) return;
  const values = await encryptAnew(owner, cipher, { plainOnly: true });
  if (values > 0) log.info({ values }, 'encrypted what stood in plain text');
  for (const { table, name } of unchecked) {
    await owner.raw(`alter table ${table} validate constraint "${name}"`);
  }
}

async function refuseOtherKey(query: OwnerSql['query'], cipher: ColumnCipher): Promise<void> {
  const known = await query<KeyInUse & Record<string, unknown>>(
    'select distinct key_id, check_value from column_key order by key_id',
  );
  const other = known.find(({ key_id, check_value }) => {
    const given = cipher.checkOf(key_id);
    return given !== undefined && given !== check_value;
  });
  if (other === undefined) return;
  throw new StoreProblem(
    'column-key-other',
    `The key "${other.key_id}" of COLUMN_KEYS is not the key that this record knows by that name.`,
    'Give the key that was used before under this name, and a new key a name of its own. Nothing was changed.',
  );
}

/** Notes the present key in every clinic, as one in use. */
async function noteKey(
  owner: Pick<Database, 'ownerTransaction'>,
  cipher: ColumnCipher,
): Promise<void> {
  const [keyId] = cipher.keyIds;
  if (keyId === undefined) return;
  await owner.ownerTransaction(async (sql) => {
    const clinics = await sql.query<{ id: string }>(
      `select c.id from clinic c left join column_key k on k.clinic_id = c.id and k.key_id = $1
       where k.id is null or k.retired_at is not null`,
      [keyId],
    );
    for (const { id } of clinics) {
      await sql.query(
        `insert into column_key (clinic_id, id, key_id, check_value, first_used_at) values ($1, $2, $3, $4, now())
         on conflict (clinic_id, key_id) do update set retired_at = null`,
        [id, uuidv7(), keyId, cipher.checkOf(keyId)],
      );
    }
  });
}

export interface Rotated {
  /** Values that were encrypted anew. */
  readonly written: number;
  /** How many stand under each key now. */
  readonly remaining: ReadonlyMap<string, number>;
  /** Keys that nothing stands under any more, since now. */
  readonly retired: readonly string[];
}

/**
 * Encrypts all that is under older keys with the present one, and retires the keys that nothing
 * stands under any more. The service may run meanwhile where it was given the present key too.
 * @throws Refused 'column-key-missing'; StoreProblem 'column-key-other'
 */
export async function rotateKeys(
  owner: Pick<Database, 'raw' | 'ownerTransaction'>,
  cipher: ColumnCipher,
  options: Parameters<typeof encryptAnew>[2] = {},
): Promise<Rotated> {
  await refuseOtherKey(owner.raw, cipher);
  await noteKey(owner, cipher);
  const written = await encryptAnew(owner, cipher, options);
  const remaining = await valuesByKey(owner.raw);
  const [present] = cipher.keyIds;
  const rows = await owner.raw<{ key_id: string }>(
    `update column_key set retired_at = now()
     where retired_at is null and key_id <> $1 and not key_id = any($2::text[]) returning key_id`,
    [present ?? '', [...remaining.keys()]],
  );
  return { written, remaining, retired: [...new Set(rows.map(({ key_id }) => key_id))].sort() };
}

/**
 * The keys that a record is under, as it knows them itself: their names, and what tells a key
 * from another that was given the same name. The keys themselves are never kept in it.
 */
import { v7 as uuidv7 } from 'uuid';
import { z } from 'zod';
import type { ColumnCipher } from './columnCipher.ts';
import type { Database, OwnerSql, StoreLog } from './database.ts';
import { encryptAnew, valuesByKey, type Reencryption } from './encryptedColumns.ts';
import { writeEvents } from './events.ts';
import type { Store } from './open.ts';
import { parseRows } from './rows.ts';
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

/** Whether values may stand under another key than the present one: asked of the noted keys, not of the values. */
export async function isToRotate(
  query: OwnerSql['query'],
  { keyIds: [present = ''] }: ColumnCipher,
): Promise<boolean> {
  return (await keysInUse(query)).some(({ key_id }) => key_id !== present);
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
 * stands under any more, which each clinic's record tells. The service may run meanwhile where
 * it was given the present key too.
 * @param owner signed in as the owner of the tables
 * @throws Refused 'column-key-missing'; StoreProblem 'column-key-other'
 */
export async function rotateKeys(
  owner: Store,
  at: Date,
  options: Reencryption = {},
): Promise<Rotated> {
  const { cipher } = owner;
  const [present] = cipher.keyIds;
  if (present === undefined) throw new TypeError('there is no key to encrypt with');
  await refuseOtherKey(owner.raw, cipher);
  await noteKey(owner, cipher);
  const written = await encryptAnew(owner, cipher, options);
  const remaining = await valuesByKey(owner.raw);
  const clinics = await owner.raw<{ id: string }>('select id from clinic order by id');
  const retired = new Set<string>();
  for (const { id } of clinics) {
    const ended = await retire(owner, id, present, [...remaining.keys()], at);
    for (const keyId of ended) retired.add(keyId);
  }
  return { written, remaining, retired: [...retired].sort() };
}

/** The clinic's keys that are in use no more, and the event that says so, together. */
const retire = (
  { prisma }: Store,
  clinicId: string,
  present: string,
  inUse: readonly string[],
  at: Date,
): Promise<string[]> =>
  prisma.$transaction(async (tx) => {
    const rows = parseRows(
      z.object({ keyId: z.string() }),
      await tx.$queryRaw`
        update column_key set retired_at = ${at}
        where clinic_id = ${clinicId}::uuid and retired_at is null and key_id <> ${present}
          and not key_id = any(${[...inUse]}::text[])
        returning key_id as "keyId"`,
    );
    if (rows.length === 0) return [];
    const keys = rows.map(({ keyId }) => keyId).sort();
    await tx.$queryRaw`select set_config('app.clinic', ${clinicId}, true)`;
    await writeEvents(tx, { clinicId, personId: null, at }, [
      {
        kind: 'record.keys_rotated',
        subjectKind: 'clinic',
        subjectId: clinicId,
        data: { key: present, retired: keys },
      },
    ]);
    return keys;
  });

/**
 * Every column that is kept encrypted, and how its values are encrypted anew under the present
 * key: those that stand there plain from before, when the service starts, and those under an
 * older key, when keys are changed. By the database's owner, a batch a transaction, so it can be
 * ended at any moment and goes on where it was. Each value is written only where it is still the
 * one that was read, so what somebody changes meanwhile is not overwritten.
 *
 * A new encrypted column is a line here, a CHECK with is_encrypted (0016_encrypted_contact), and
 * the same cell where it is written and read.
 */
import type { Cell, ColumnCipher } from './columnCipher.ts';
import { keyIdOf } from './columnCipher.ts';
import { phoneDigests } from './contact.ts';
import type { Database, OwnerSql } from './database.ts';

export interface EncryptedColumn {
  readonly table: string;
  readonly column: string;
  /** Text, or a JSON string where the column is jsonb. */
  readonly type: 'text' | 'jsonb';
  /** The table's key after the clinic, with the type of each column. */
  readonly key: readonly (readonly [column: string, type: 'uuid' | 'int' | 'int8' | 'text'])[];
  /** The row's id in the cell, as SQL of the row `t`. */
  readonly rowId: string;
  /** What else is kept of the value in the same row: column, and its value under the present key. */
  readonly beside?: {
    readonly column: string;
    readonly of: (cipher: ColumnCipher, clinicId: string, text: string) => readonly string[];
  };
}

const ID = [['id', 'uuid']] as const;
const ofId = { type: 'text', key: ID, rowId: 't.id::text' } as const;
const PERSON_KEY = [
  ['person_id', 'uuid'],
  ['key', 'text'],
] as const;

export const ENCRYPTED_COLUMNS: readonly EncryptedColumn[] = [
  {
    ...ofId,
    table: 'patient',
    column: 'phone',
    beside: { column: 'phone_digests', of: phoneDigests },
  },
  { ...ofId, table: 'patient', column: 'address' },
  { ...ofId, table: 'appointment', column: 'note' },
  { ...ofId, table: 'appointment', column: 'why' },
  { ...ofId, table: 'recall_call', column: 'note' },
  {
    table: 'event',
    column: 'sealed',
    type: 'jsonb',
    key: [['seq', 'int8']],
    rowId: 't.id::text',
  },
  {
    table: 'idempotency_key',
    column: 'answer',
    type: 'jsonb',
    key: PERSON_KEY,
    rowId: `t.person_id || ' ' || t.key`,
  },
  {
    table: 'idempotency_key',
    column: 'fingerprint',
    type: 'text',
    key: PERSON_KEY,
    rowId: `t.person_id || ' ' || t.key`,
  },
  {
    table: 'long_work_piece',
    column: 'body',
    type: 'text',
    key: [
      ['long_work_id', 'uuid'],
      ['seq', 'int'],
    ],
    rowId: `t.long_work_id || ' ' || t.seq`,
  },
];

/** The kept text of a value: the ciphertext, or what stands there plain. */
const keptOf = ({ column, type }: EncryptedColumn): string =>
  type === 'text'
    ? `t.${column}`
    : `case jsonb_typeof(t.${column}) when 'string' then t.${column} #>> '{}' else t.${column}::text end`;

const PLAIN = (column: EncryptedColumn): string => `not is_encrypted(${keptOf(column)})`;

interface KeptRow {
  readonly clinic_id: string;
  readonly row_id: string;
  readonly kept: string;
  readonly after: readonly string[];
}

export interface Progress {
  readonly table: string;
  readonly column: string;
  /** Values written so far in this column. */
  readonly written: number;
}

export interface Reencryption {
  /** Only what stands plain; what is under an older key is left. */
  readonly plainOnly?: boolean;
  /** Rows a transaction. Common practice, no source. */
  readonly batch?: number;
  readonly progress?: (so: Progress) => void;
  /** Ends the work after the batch under way. */
  readonly signal?: AbortSignal;
}

const BATCH = 500;

/**
 * Encrypts anew what is not under the first key of `cipher`.
 * @returns how many values were written
 * @throws Refused 'column-key-missing' at a value whose key is not among the cipher's; what was written before stays
 */
export async function encryptAnew(
  database: Pick<Database, 'ownerTransaction'>,
  cipher: ColumnCipher,
  { plainOnly = false, batch = BATCH, progress, signal }: Reencryption = {},
): Promise<number> {
  let all = 0;
  for (const column of ENCRYPTED_COLUMNS) {
    let written = 0;
    let after: readonly string[] | undefined = [];
    while (after !== undefined && signal?.aborted !== true) {
      const from: readonly string[] = after;
      const step = await database.ownerTransaction((sql) =>
        oneBatch(sql, cipher, column, { from, batch, plainOnly }),
      );
      written += step.written;
      after = step.after;
      if (step.written > 0) progress?.({ table: column.table, column: column.column, written });
    }
    all += written;
  }
  return all;
}

async function oneBatch(
  sql: OwnerSql,
  cipher: ColumnCipher,
  column: EncryptedColumn,
  { from, batch, plainOnly }: { from: readonly string[]; batch: number; plainOnly: boolean },
): Promise<{ written: number; after: readonly string[] | undefined }> {
  const { table, key } = column;
  const typed = [['clinic_id', 'uuid'] as const, ...key];
  const columns = typed.map(([name]) => `t.${name}`).join(', ');
  const onward =
    from.length === 0
      ? ''
      : `and (${columns}) > (${typed.map(([, type], at) => `$${at + 2}::text::${type}`).join(', ')})`;
  const present = `enc1.${cipher.keyIds[0] ?? ''}.`;
  const due = plainOnly ? PLAIN(column) : `not starts_with(${keptOf(column)}, $1)`;
  const rows = await sql.query<KeptRow & Record<string, unknown>>(
    `select t.clinic_id::text as clinic_id, ${column.rowId} as row_id, ${keptOf(column)} as kept,
       array[${typed.map(([name]) => `t.${name}::text`).join(', ')}] as after
     from ${table} t where t.${column.column} is not null and $1::text is not null and ${due} ${onward}
     order by ${columns} limit ${batch}`,
    [present, ...from],
  );
  const last = rows.at(-1);
  if (last === undefined) return { written: 0, after: undefined };
  return { written: await writeBatch(sql, cipher, column, rows), after: last.after };
}

async function writeBatch(
  sql: OwnerSql,
  cipher: ColumnCipher,
  column: EncryptedColumn,
  rows: readonly KeptRow[],
): Promise<number> {
  const { table, key, type, beside } = column;
  const typed = [['clinic_id', 'uuid'] as const, ...key];
  const values = rows.map((row) => {
    const cell = cellOf(column, row);
    const text = keyIdOf(row.kept) === undefined ? row.kept : cipher.decryptFor(cell, row.kept);
    return {
      ...Object.fromEntries(typed.map(([name], at) => [name, row.after[at]])),
      kept: row.kept,
      anew: cipher.encryptFor(cell, text),
      beside: beside?.of(cipher, row.clinic_id, text) ?? null,
    };
  });
  const anew = type === 'jsonb' ? 'to_jsonb(v.anew)' : 'v.anew';
  const besides =
    beside === undefined
      ? ''
      : `, ${beside.column} = array(select jsonb_array_elements_text(v.beside))`;
  const done = await sql.query(
    `update ${table} t set ${column.column} = ${anew}${besides}
     from jsonb_to_recordset($1::text::jsonb) as v(${typed.map(([name, as]) => `${name} ${as}`).join(', ')}, kept text, anew text, beside jsonb)
     where ${typed.map(([name]) => `t.${name} = v.${name}`).join(' and ')} and ${keptOf(column)} = v.kept
     returning 1 as written`,
    [JSON.stringify(values)],
  );
  return done.length;
}

const cellOf = ({ table, column }: EncryptedColumn, row: KeptRow): Cell => ({
  table,
  column,
  clinicId: row.clinic_id,
  rowId: row.row_id,
});

/** How many values stand under each key, and how many plain (as ''). */
export async function valuesByKey(query: OwnerSql['query']): Promise<ReadonlyMap<string, number>> {
  const counts = new Map<string, number>();
  for (const column of ENCRYPTED_COLUMNS) {
    const kept = keptOf(column);
    const rows = await query<{ key_id: string; n: number }>(
      `select case when is_encrypted(${kept}) then split_part(${kept}, '.', 2) else '' end as key_id, count(*) as n
       from ${column.table} t where t.${column.column} is not null group by 1`,
    );
    for (const { key_id, n } of rows) counts.set(key_id, (counts.get(key_id) ?? 0) + Number(n));
  }
  return counts;
}

/** Opens every value. @returns where those stand that do not open, with the reason's code */
export async function valuesThatDoNotOpen(
  query: OwnerSql['query'],
  cipher: ColumnCipher,
): Promise<string[]> {
  const found: string[] = [];
  for (const column of ENCRYPTED_COLUMNS) {
    const typed = [['clinic_id', 'uuid'] as const, ...column.key];
    const columns = typed.map(([name]) => `t.${name}`).join(', ');
    let from: readonly string[] = [];
    for (;;) {
      const onward =
        from.length === 0
          ? ''
          : `and (${columns}) > (${typed.map(([, type], at) => `$${at + 1}::text::${type}`).join(', ')})`;
      const rows = await query<KeptRow & Record<string, unknown>>(
        `select t.clinic_id::text as clinic_id, ${column.rowId} as row_id, ${keptOf(column)} as kept,
           array[${typed.map(([name]) => `t.${name}::text`).join(', ')}] as after
         from ${column.table} t where t.${column.column} is not null ${onward}
         order by ${columns} limit ${BATCH}`,
        [...from],
      );
      for (const row of rows) {
        const failure = failureOf(() => cipher.decryptFor(cellOf(column, row), row.kept));
        if (failure !== undefined) {
          found.push(`${column.table}.${column.column} of row ${row.row_id}: ${failure}`);
        }
      }
      const last = rows.at(-1);
      if (last === undefined) break;
      from = last.after;
    }
  }
  return found;
}

const failureOf = (open: () => unknown): string | undefined => {
  try {
    open();
    return undefined;
  } catch (failure) {
    return failure instanceof Error ? failure.message : String(failure);
  }
};

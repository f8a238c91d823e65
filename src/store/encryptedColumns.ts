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

interface Column {
  readonly name: string;
  /** Text; a JSON string where the column is jsonb; each value of `event.sealed` by itself (sealedValues.ts). */
  readonly type: 'text' | 'jsonb' | 'each';
  /** What else is kept of the value in the same row: column, and its value under the present key. */
  readonly beside?: {
    readonly column: string;
    readonly of: (cipher: ColumnCipher, clinicId: string, text: string) => readonly string[];
  };
}

interface EncryptedTable {
  readonly table: string;
  /** The table's key after the clinic, with the type of each column. */
  readonly key: readonly (readonly [column: string, type: 'uuid' | 'int' | 'int8' | 'text'])[];
  /** The row's id in the cell, as SQL of the row `t`. */
  readonly rowId: string;
  readonly columns: readonly Column[];
}

const ofId = { key: [['id', 'uuid']], rowId: 't.id::text' } as const;
const text = (name: string): Column => ({ name, type: 'text' });

/** A row is encrypted anew as a whole: its checks look at all of it. */
export const ENCRYPTED_TABLES: readonly EncryptedTable[] = [
  {
    ...ofId,
    table: 'patient',
    columns: [
      { ...text('phone'), beside: { column: 'phone_digests', of: phoneDigests } },
      text('address'),
    ],
  },
  {
    table: 'second_factor',
    key: [['id', 'uuid']],
    rowId: `t.person_id || ' ' || t.id`,
    columns: [text('secret')],
  },
  { ...ofId, table: 'openid_provider', columns: [text('client_secret')] },
  { ...ofId, table: 'openid_attempt', columns: [text('kept')] },
  { ...ofId, table: 'appointment', columns: [text('note'), text('why')] },
  { ...ofId, table: 'recall_call', columns: [text('note')] },
  {
    table: 'event',
    key: [['seq', 'int8']],
    rowId: 't.id::text',
    columns: [{ name: 'sealed', type: 'each' }],
  },
  {
    table: 'idempotency_key',
    key: [
      ['person_id', 'uuid'],
      ['key', 'text'],
    ],
    rowId: `t.person_id || ' ' || t.key`,
    columns: [{ name: 'answer', type: 'jsonb' }, text('fingerprint')],
  },
  {
    table: 'long_work_piece',
    key: [
      ['long_work_id', 'uuid'],
      ['seq', 'int'],
    ],
    rowId: `t.long_work_id || ' ' || t.seq`,
    columns: [text('body')],
  },
];

/** The kept text of a value: the ciphertext, or what stands there plain; empty where it was erased. */
const keptOf = ({ name, type }: Column): string =>
  type !== 'jsonb'
    ? `t.${name}::text`
    : `case jsonb_typeof(t.${name}) when 'string' then t.${name} #>> '{}'
         when 'object' then case when t.${name} ? 'erased' then '' else t.${name}::text end else t.${name}::text end`;

/** The values of a column that is encrypted one by one, as `v`, but for those that were erased. */
const eachOf = ({ name }: Column): string =>
  `(select e.value from jsonb_each(t.${name}) e where not e.value ? 'erased') v`;
const ONE_KEPT = `v.value #>> '{}'`;

interface KeptRow {
  readonly clinic_id: string;
  readonly row_id: string;
  /** In the order of the table's columns. */
  readonly kept: readonly (string | null)[];
  /** The key, the clinic first. */
  readonly key: readonly string[];
}

const keyOf = ({ key }: EncryptedTable) => [['clinic_id', 'uuid'] as const, ...key];

/** A page of rows after a key, of those for which a condition holds; `$1` is the condition's own. */
function rowsAfter(
  query: OwnerSql['query'],
  of: EncryptedTable,
  condition: string,
  value: string,
  { from, limit }: { readonly from: readonly string[]; readonly limit: number },
): Promise<KeptRow[]> {
  const typed = keyOf(of);
  const key = typed.map(([name]) => `t.${name}`).join(', ');
  const place = typed.map(([, type], at) => `$${at + 2}::text::${type}`).join(', ');
  return query<KeptRow & Record<string, unknown>>(
    `select t.clinic_id::text as clinic_id, ${of.rowId} as row_id,
       array[${of.columns.map(keptOf).join(', ')}] as kept,
       array[${typed.map(([name]) => `t.${name}::text`).join(', ')}] as key
     from ${of.table} t
     where $1::text is not null and (${condition}) ${from.length === 0 ? '' : `and (${key}) > (${place})`}
     order by ${key} limit ${limit}`,
    [value, ...from],
  );
}

export interface Progress {
  readonly table: string;
  /** Values of this table written so far. */
  readonly written: number;
}

export interface Reencryption {
  /** Only rows in which something stands plain; what is under an older key is left. */
  readonly plainOnly?: boolean;
  /** Rows a transaction. */
  readonly batch?: number;
  readonly progress?: (so: Progress) => void;
  /** Ends the work after the batch under way. */
  readonly signal?: AbortSignal;
}

/** Common practice, no source: a tenth of a second's work. */
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
  for (const of of ENCRYPTED_TABLES) {
    const isDue = (kept: string): string =>
      plainOnly ? `not is_encrypted(${kept})` : `not starts_with(${kept}, 'enc1.' || $1 || '.')`;
    const due = (column: Column): string =>
      column.type === 'each'
        ? `exists (select 1 from ${eachOf(column)} where ${isDue(ONE_KEPT)})`
        : `(${keptOf(column)} <> '' and ${isDue(keptOf(column))})`;
    const condition = of.columns.map(due).join(' or ');
    let written = 0;
    let from: readonly string[] | undefined = [];
    while (from !== undefined && signal?.aborted !== true) {
      const after: readonly string[] = from;
      from = await database.ownerTransaction(async ({ query }) => {
        const page = { from: after, limit: batch };
        const rows = await rowsAfter(query, of, condition, cipher.keyIds[0] ?? '', page);
        if (rows.length > 0) written += await writeAnew(query, cipher, of, rows);
        return rows.at(-1)?.key;
      });
      if (from !== undefined) progress?.({ table: of.table, written });
    }
    all += written;
  }
  return all;
}

async function writeAnew(
  query: OwnerSql['query'],
  cipher: ColumnCipher,
  of: EncryptedTable,
  rows: readonly KeptRow[],
): Promise<number> {
  const typed = keyOf(of);
  const given = rows.map((row) => ({
    ...Object.fromEntries(typed.map(([name], at) => [name, row.key[at]])),
    ...Object.fromEntries(
      of.columns.flatMap((column, at): [string, unknown][] => {
        const kept = row.kept[at] ?? null;
        const cell = cellOf(of, column, row);
        const open = kept === null || column.type === 'each' ? null : opened(cipher, cell, kept);
        const anew = open === null ? null : cipher.encryptFor(cell, open);
        return [
          [`kept_${column.name}`, kept],
          [`anew_${column.name}`, column.type === 'each' ? eachAnew(cipher, cell, kept) : anew],
          [`beside_${column.name}`, column.beside?.of(cipher, row.clinic_id, open ?? '') ?? null],
        ];
      }),
    ),
  }));
  const types = [
    ...typed.map(([name, type]) => `${name} ${type}`),
    ...of.columns.flatMap(({ name }) => [
      `kept_${name} text`,
      `anew_${name} text`,
      `beside_${name} jsonb`,
    ]),
  ];
  const sets = of.columns.flatMap(({ name, type, beside }) => [
    // What was erased stays empty.
    `${name} = case when g.kept_${name} = '' then t.${name} else ${{ text: `g.anew_${name}`, jsonb: `to_jsonb(g.anew_${name})`, each: `g.anew_${name}::jsonb` }[type]} end`,
    ...(beside === undefined
      ? []
      : [`${beside.column} = array(select jsonb_array_elements_text(g.beside_${name}))`]),
  ]);
  const still = of.columns.map(
    (column) => `${keptOf(column)} is not distinct from g.kept_${column.name}`,
  );
  const done = await query<{ values: number }>(
    `update ${of.table} t set ${sets.join(', ')}
     from jsonb_to_recordset($1::text::jsonb) as g(${types.join(', ')})
     where ${[...typed.map(([name]) => `t.${name} = g.${name}`), ...still].join(' and ')}
     returning (${of.columns.map(countOf).join(' + ')})::int as values`,
    [JSON.stringify(given)],
  );
  return done.reduce((sum, { values }) => sum + values, 0);
}

/** A column of values by path: each encrypted anew, but for those that were erased. */
function eachAnew(cipher: ColumnCipher, cell: Cell, kept: string | null): string | null {
  if (kept === null) return null;
  const anew = Object.entries(valuesIn(kept)).map(([path, value]) => {
    if (isErased(value)) return [path, value];
    const own = cellAt(cell, path);
    const open = typeof value === 'string' ? cipher.decryptFor(own, value) : JSON.stringify(value);
    return [path, cipher.encryptFor(own, open)];
  });
  return JSON.stringify(Object.fromEntries(anew));
}

/** How many values a column of a row holds. */
const countOf = (column: Column): string =>
  column.type === 'each'
    ? `(select count(*) from ${eachOf(column)})`
    : `num_nonnulls(t.${column.name})`;

const valuesIn = (kept: string) => JSON.parse(kept) as Readonly<Record<string, unknown>>;
const isErased = (value: unknown): boolean =>
  typeof value === 'object' && value !== null && 'erased' in value;
const cellAt = (cell: Cell, path: string): Cell => ({ ...cell, column: `${cell.column}.${path}` });

const opened = (cipher: ColumnCipher, cell: Cell, kept: string): string =>
  keyIdOf(kept) === undefined ? kept : cipher.decryptFor(cell, kept);

const cellOf = ({ table }: EncryptedTable, { name }: Column, row: KeptRow): Cell => ({
  table,
  column: name,
  clinicId: row.clinic_id,
  rowId: row.row_id,
});

/** How many values stand under each key, and how many plain (as ''). */
export async function valuesByKey(query: OwnerSql['query']): Promise<ReadonlyMap<string, number>> {
  const counts = new Map<string, number>();
  for (const { table, columns } of ENCRYPTED_TABLES) {
    for (const column of columns) {
      const each = column.type === 'each';
      const kept = each ? ONE_KEPT : keptOf(column);
      const rows = await query<{ key_id: string; n: number }>(
        `select case when is_encrypted(${kept}) then split_part(${kept}, '.', 2) else '' end as key_id, count(*) as n
         from ${table} t ${each ? `, lateral ${eachOf(column)}` : ''}
         where t.${column.name} is not null and ${kept} <> '' group by 1`,
      );
      for (const { key_id, n } of rows) counts.set(key_id, (counts.get(key_id) ?? 0) + n);
    }
  }
  return counts;
}

/** Every value of a row's column that is kept encrypted, with the cell it is of; none where it was erased. */
function encryptedIn(column: Column, cell: Cell, kept: string | null): (readonly [Cell, string])[] {
  if (kept === null || kept === '') return [];
  if (column.type !== 'each') return [[cell, kept]];
  return Object.entries(valuesIn(kept)).flatMap(([path, value]) =>
    isErased(value) ? [] : [[cellAt(cell, path), String(value)] as const],
  );
}

/** Every value that is kept encrypted, of every clinic, a page at a time. */
export async function* encryptedValues(
  query: OwnerSql['query'],
): AsyncGenerator<readonly [Cell, string]> {
  for (const of of ENCRYPTED_TABLES) {
    let from: readonly string[] | undefined = [];
    while (from !== undefined) {
      const rows: KeptRow[] = await rowsAfter(query, of, 'true', '', { from, limit: BATCH });
      for (const row of rows) {
        for (const [at, column] of of.columns.entries()) {
          yield* encryptedIn(column, cellOf(of, column, row), row.kept[at] ?? null);
        }
      }
      from = rows.at(-1)?.key;
    }
  }
}

/** Opens every value. @returns where those stand that do not open, with the reason's code */
export async function valuesThatDoNotOpen(
  query: OwnerSql['query'],
  cipher: ColumnCipher,
): Promise<string[]> {
  const found: string[] = [];
  for await (const [cell, kept] of encryptedValues(query)) {
    const failure = failureOf(() => cipher.decryptFor(cell, kept));
    if (failure === undefined) continue;
    found.push(`${cell.table}.${cell.column} of row ${cell.rowId}: ${failure}`);
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

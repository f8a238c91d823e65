/** Plain SQL on the record: as the application's role in a clinic's scope, and over everything as the owner. */
import { expect } from 'vitest';
import type { OwnerSql } from '../../src/store/database.ts';
import type { Store } from '../../src/store/open.ts';

export type Values = Readonly<Record<string, unknown>>;

/** One transaction as the role that services run as; in no clinic's scope where that is null. */
export const asApp = <T>(
  store: Store,
  clinicId: string | null,
  work: (sql: OwnerSql) => Promise<T>,
): Promise<T> =>
  store.ownerTransaction(async (sql) => {
    await sql.query(
      `select set_config('role', 'castbook_app', true), set_config('app.clinic', $1, true)`,
      [clinicId ?? ''],
    );
    return work(sql);
  });

/** Inserts a row as given; JSON columns take their JSON text. */
export async function insertInto<Row extends object = Record<string, unknown>>(
  sql: Pick<OwnerSql, 'query'>,
  table: string,
  values: Values,
): Promise<Row> {
  const columns = Object.keys(values);
  const [row] = await sql.query<Row>(
    `insert into ${table} (${columns.map((c) => `"${c}"`).join(', ')})
     values (${columns.map((_, at) => `$${at + 1}`).join(', ')}) returning *`,
    Object.values(values),
  );
  if (row === undefined) throw new Error(`nothing was inserted into ${table}`);
  return row;
}

/** The tables of the record, by name. */
export async function tableNames(store: Store): Promise<string[]> {
  const rows = await store.raw<{ name: string }>(
    `select relname::text as name from pg_class
     where relnamespace = 'public'::regnamespace and relkind = 'r' and relname <> '_prisma_migrations'
     order by 1`,
  );
  return rows.map(({ name }) => name);
}

/** Every row of every table as text, to see that nothing has changed anywhere. */
export async function everyRow(store: Store): Promise<Record<string, string[]>> {
  const tables = await tableNames(store);
  const rows = await store.raw<{ in: string; row: string }>(
    tables
      .map((name) => `select '${name}' as in, to_jsonb(r)::text as row from "${name}" r`)
      .join('\nunion all '),
  );
  return Object.fromEntries(
    tables.map((name) => [
      name,
      rows
        .filter((r) => r.in === name)
        .map((r) => r.row)
        .toSorted(),
    ]),
  );
}

/** What an attempt must meet: the SQLSTATE, and the code of the catalogue where there is one. */
export interface Refusal {
  readonly state: string;
  readonly code?: string;
  readonly facts?: Readonly<Record<string, unknown>>;
}

/** Makes an attempt, which must fail so, and finds every row of every clinic as it was. */
export async function expectRefused(
  store: Store,
  attempt: () => Promise<unknown>,
  { state, code, facts }: Refusal,
): Promise<void> {
  const before = await everyRow(store);
  const failure: unknown = await attempt().then(
    () => undefined,
    (error: unknown) => error,
  );
  expect(failure, 'the attempt went through').toBeInstanceOf(Error);
  const { message, code: sqlState } = failure as Error & { code?: string };
  expect({ state: sqlState, message }).toEqual({
    state,
    message: code === undefined ? message : expect.stringMatching(`^${code} `),
  });
  if (facts !== undefined) {
    expect(JSON.parse(message.slice(message.indexOf(' ')))).toEqual(facts);
  }
  expect(await everyRow(store)).toEqual(before);
}

/** Rows of plain SQL, written by either way that a statement takes through Prisma. */
import type { Tx } from '../../src/store/act.ts';
import type { Values } from './plainSql.ts';

const camel = (name: string): string =>
  name.replace(/_(.)/g, (_match, letter: string) => letter.toUpperCase());
/** As the data of a model call: `chart_number` becomes chartNumber. */
export const camelKeys = (values: Values): never =>
  Object.fromEntries(Object.entries(values).map(([key, value]) => [camel(key), value])) as never;

const UUIDS = /_id$|^id$/;
/** As `insert into` with each value bound, the way the store writes its raw statements. */
export const rawInsert = (tx: Tx, table: string, values: Values): Promise<unknown> => {
  const columns = Object.keys(values);
  const cast = (column: string) => {
    if (UUIDS.test(column)) return '::uuid';
    if (column.endsWith('_ids')) return '::uuid[]';
    if (/^[[{]/.test(String(values[column]))) return '::jsonb';
    return column.endsWith('_at') ? '::timestamptz' : '';
  };
  const bound = columns.map((column, at) => `$${at + 1}${cast(column)}`);
  return tx.$executeRawUnsafe(
    `insert into ${table} (${columns.join(', ')}) values (${bound.join(', ')})`,
    ...Object.values(values),
  );
};

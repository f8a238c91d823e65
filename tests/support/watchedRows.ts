/**
 * Watches every table of a test database: each row that is changed is put down with its
 * values before and after, beside the events of the same transaction.
 */
import type { Store } from '../../src/store/open.ts';
import { tableNames } from './plainSql.ts';

export interface ChangedRow {
  readonly tx: string;
  readonly table: string;
  readonly before: Readonly<Record<string, unknown>>;
  readonly after: Readonly<Record<string, unknown>>;
}

export interface WatchedEvent {
  readonly tx: string;
  readonly kind: string;
  readonly data: never;
  readonly sealed: Readonly<Record<string, { value: never }>> | null;
}

export async function watchRows(store: Store): Promise<{
  changes(): Promise<ChangedRow[]>;
  events(): Promise<WatchedEvent[]>;
}> {
  const tables = await tableNames(store);
  await store.ownerTransaction(async (sql) => {
    await sql.script(`
      create table watched (seq serial, tx text, kind text, "table" text, before jsonb, after jsonb);
      create function watch() returns trigger language plpgsql security definer set search_path = public, pg_temp as $$
      begin
        insert into watched (tx, kind, "table", before, after) values (txid_current()::text, tg_op, tg_table_name,
          case when tg_op = 'UPDATE' then to_jsonb(old) end, to_jsonb(new));
        return null;
      end $$;
      ${tables
        .map(
          (name) =>
            `create trigger zzz_watch after ${name === 'event' ? 'insert' : 'update'} on "${name}" for each row execute function watch();`,
        )
        .join('\n')}`);
  });
  return {
    changes: () =>
      store.raw<ChangedRow & Record<string, unknown>>(
        `select tx, "table", before, after from watched where kind = 'UPDATE' order by seq`,
      ),
    events: () =>
      store.raw<WatchedEvent & Record<string, unknown>>(
        `select tx, after->>'kind' as kind, after->'data' as data, after->'sealed' as sealed
         from watched where "table" = 'event' order by seq`,
      ),
  };
}

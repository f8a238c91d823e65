/**
 * Watches every table of a test database: each row that is changed is put down with its
 * values before and after, beside the events of the same transaction.
 */
import { openAddress, openPhone } from '../../src/store/contact.ts';
import type { Store } from '../../src/store/open.ts';
import { openSealed, testCipher } from './columnKeys.ts';
import type { KeptSealed } from '../../src/store/sealedValues.ts';
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
    changes: async () => {
      const rows = await store.raw<ChangedRow & Record<string, unknown>>(
        `select tx, "table", before, after from watched where kind = 'UPDATE' order by seq`,
      );
      return rows.map(({ tx, table, before, after }) => ({
        tx,
        table,
        before: readable(table, before),
        after: readable(table, after),
      }));
    },
    events: async () => {
      const rows = await store.raw<Omit<WatchedEvent, 'sealed'> & EncryptedSealed>(
        `select tx, after->>'kind' as kind, after->'data' as data, after->>'clinic_id' as clinic,
           after->>'id' as id, after->'sealed' as sealed
         from watched where "table" = 'event' order by seq`,
      );
      return rows.map(({ tx, kind, data, clinic, id, sealed }) => ({
        tx,
        kind,
        data,
        sealed: openSealed(clinic, id, sealed),
      }));
    },
  };
}

interface EncryptedSealed {
  readonly clinic: string;
  readonly id: string;
  readonly sealed: KeptSealed;
}

/** A row with what it keeps encrypted as it is read. */
function readable(
  table: string,
  row: Readonly<Record<string, unknown>>,
): Readonly<Record<string, unknown>> {
  if (table !== 'patient') return row;
  const columns = { clinicId: String(row['clinic_id']), cipher: testCipher };
  const kept = row as { id: string; phone: string | null; address: string | null };
  return {
    ...row,
    phone: openPhone(columns, kept.id, kept.phone),
    address: openAddress(columns, kept.id, kept.address),
  };
}

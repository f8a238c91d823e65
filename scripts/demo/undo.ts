/**
 * Takes back a demo whose loading was cancelled, on a server's database that held nothing
 * before. A record is never deleted from; this removes the tables that this very start made.
 */
import type { Database } from '../../src/store/database.ts';
import { UNFINISHED_NAME } from './state.ts';

/** Whether the database has no table at all. */
export async function isBare(database: Pick<Database, 'raw'>): Promise<boolean> {
  const tables = await database.raw(
    `select 1 as found from information_schema.tables where table_schema = 'public' limit 1`,
  );
  return tables.length === 0;
}

/**
 * Removes every table and function again, where the unfinished demo is the only clinic.
 * @param database bare before this start, as its owner
 * @returns whether it is bare now
 */
export function undoDemo(database: Pick<Database, 'ownerTransaction'>): Promise<boolean> {
  return database.ownerTransaction(async ({ query, script }) => {
    await query('lock table clinic in access exclusive mode');
    const clinics = await query<{ name: string }>('select name from clinic');
    if (clinics.some(({ name }) => name !== UNFINISHED_NAME)) return false;
    await script(`do $$
      declare each record;
      begin
        for each in select tablename as name from pg_tables where schemaname = 'public' loop
          execute format('drop table public.%I cascade', each.name);
        end loop;
        for each in select p.oid::regprocedure::text as name from pg_proc p
          where p.pronamespace = 'public'::regnamespace
            and not exists (select 1 from pg_depend d where d.objid = p.oid and d.deptype = 'e')
        loop
          execute 'drop routine if exists ' || each.name || ' cascade';
        end loop;
      end
    $$`);
    return true;
  });
}

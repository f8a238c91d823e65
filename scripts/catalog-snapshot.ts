/**
 * The migrated database's catalogue as text: what Prisma's schema cannot say, so that a lost
 * check, trigger, policy or grant shows in a diff.
 *
 *   npx tsx scripts/catalog-snapshot.ts            writes prisma/catalog.snapshot.txt
 *   npx tsx scripts/catalog-snapshot.ts --check    fails where the file is stale
 */
import fs from 'node:fs';
import path from 'node:path';
import type { Database } from '../src/store/database.ts';
import { openEmbeddedInMemory } from '../src/store/embedded.ts';
import { migrate } from '../src/store/migrate.ts';
import { isMain } from './isMain.ts';

export const SNAPSHOT_FILE = path.resolve(import.meta.dirname, '../prisma/catalog.snapshot.txt');
export const RENEW_COMMAND = 'npx tsx scripts/catalog-snapshot.ts';

/** What extensions bring along is theirs, and differs between PostgreSQL versions. */
const OURS = (catalog: string, oid: string) =>
  `not exists (select from pg_depend d where d.classid = '${catalog}'::regclass and d.objid = ${oid} and d.deptype = 'e')`;
const OUR_TABLE = `c.relnamespace = 'public'::regnamespace and c.relname <> '_prisma_migrations' and ${OURS('pg_class', 'c.oid')}`;

/**
 * Each part's lines sort by byte, so that both databases give the same order. PostgreSQL 18
 * lists NOT NULL among the constraints (contype n) and 15 does not; the columns say it.
 */
const PARTS: Readonly<Record<string, string>> = {
  tables: `
    select c.relname || case when c.relrowsecurity then ' row security' else '' end
      || case when c.relforcerowsecurity then ' forced' else '' end as line
    from pg_class c where c.relkind in ('r', 'p', 'v', 'm') and ${OUR_TABLE}`,
  columns: `
    select c.relname || '.' || a.attname || ' ' || format_type(a.atttypid, a.atttypmod)
      || case when a.attnotnull then ' not null' else '' end
      || case when a.attidentity <> '' then ' identity ' || a.attidentity::text else '' end
      || coalesce(case when a.attgenerated <> '' then ' generated ' else ' default ' end
           || pg_get_expr(e.adbin, e.adrelid), '') as line
    from pg_class c
    join pg_attribute a on a.attrelid = c.oid and a.attnum > 0 and not a.attisdropped
    left join pg_attrdef e on e.adrelid = c.oid and e.adnum = a.attnum
    where c.relkind in ('r', 'p', 'v', 'm') and ${OUR_TABLE}`,
  constraints: `
    select c.relname || ' ' || n.conname || ' ' || pg_get_constraintdef(n.oid, true) as line
    from pg_constraint n join pg_class c on c.oid = n.conrelid
    where n.contype <> 'n' and ${OUR_TABLE}`,
  indexes: `
    select pg_get_indexdef(i.indexrelid) as line
    from pg_index i join pg_class c on c.oid = i.indrelid where ${OUR_TABLE}`,
  triggers: `
    select pg_get_triggerdef(t.oid, true) || case t.tgenabled when 'O' then '' else ' enabled ' || t.tgenabled::text end as line
    from pg_trigger t join pg_class c on c.oid = t.tgrelid where not t.tgisinternal and ${OUR_TABLE}`,
  policies: `
    select c.relname || ' ' || p.polname || case when p.polpermissive then '' else ' restrictive' end
      || ' for ' || p.polcmd::text
      || ' to ' || coalesce((select string_agg(r.rolname::text, ', ' order by r.rolname::text collate "C")
           from pg_roles r where r.oid = any (p.polroles)), 'public')
      || coalesce(' using ' || pg_get_expr(p.polqual, p.polrelid), '')
      || coalesce(' with check ' || pg_get_expr(p.polwithcheck, p.polrelid), '') as line
    from pg_policy p join pg_class c on c.oid = p.polrelid where ${OUR_TABLE}`,
  'grants to castbook_app and to everyone': `
    select g.what || ' ' || string_agg(g.privilege, ', ' order by g.privilege collate "C") || g.whom as line
    from (
      select c.relkind::text || ' ' || c.relname as what, a.privilege_type as privilege, a.grantee
      from pg_class c, aclexplode(c.relacl) a where c.relnamespace = 'public'::regnamespace
      union all
      select 'column ' || c.relname || '.' || t.attname, a.privilege_type, a.grantee
      from pg_class c join pg_attribute t on t.attrelid = c.oid, aclexplode(t.attacl) a
      where c.relnamespace = 'public'::regnamespace
      union all
      select 'function ' || p.oid::regprocedure::text, a.privilege_type, a.grantee
      from pg_proc p, aclexplode(coalesce(p.proacl, acldefault('f', p.proowner))) a
      where p.pronamespace = 'public'::regnamespace and ${OURS('pg_proc', 'p.oid')}
      union all
      select 'schema public', a.privilege_type, a.grantee
      from pg_namespace n, aclexplode(n.nspacl) a where n.nspname = 'public'
    ) x
    cross join lateral (select x.what, x.privilege,
      case when x.grantee = 0 then ' to everyone' else '' end as whom) g
    where x.grantee = 0 or x.grantee = (select oid from pg_roles where rolname = 'castbook_app')
    group by g.what, g.whom`,
  functions: `
    select p.oid::regprocedure::text || ' returns ' || pg_get_function_result(p.oid)
      || ' ' || l.lanname || case p.provolatile when 'i' then ' immutable' when 's' then ' stable' else '' end
      || case when p.prosecdef then ' security definer' else '' end
      || coalesce(' set ' || array_to_string(p.proconfig, '; '), '')
      || ' body ' || encode(sha256(convert_to(p.prosrc, 'UTF8')), 'hex') as line
    from pg_proc p join pg_language l on l.oid = p.prolang
    where p.pronamespace = 'public'::regnamespace and ${OURS('pg_proc', 'p.oid')}`,
};

/** The same text for the same migrations on either database. */
export async function catalogText(database: Pick<Database, 'raw'>): Promise<string> {
  const parts: string[] = [];
  for (const [title, sql] of Object.entries(PARTS)) {
    const rows = await database.raw<{ line: string }>(
      `select line from (${sql}) lines order by line collate "C"`,
    );
    parts.push([`## ${title}`, ...rows.map((row) => row.line), ''].join('\n'));
  }
  return parts.join('\n');
}

/** The catalogue that the migrations give on an empty embedded database. */
async function migratedCatalog(): Promise<string> {
  const database = await openEmbeddedInMemory();
  try {
    await migrate(database);
    return await catalogText(database);
  } finally {
    await database.close();
  }
}

if (isMain(import.meta)) {
  const text = await migratedCatalog();
  if (!process.argv.includes('--check')) {
    fs.writeFileSync(SNAPSHOT_FILE, text);
    process.stdout.write(`Wrote ${path.relative(process.cwd(), SNAPSHOT_FILE)}.\n`);
  } else if (!fs.existsSync(SNAPSHOT_FILE) || fs.readFileSync(SNAPSHOT_FILE, 'utf8') !== text) {
    process.stderr.write(
      `prisma/catalog.snapshot.txt is not what the migrations make. Renew it with: ${RENEW_COMMAND}\n`,
    );
    process.exitCode = 1;
  } else {
    process.stdout.write('prisma/catalog.snapshot.txt is what the migrations make.\n');
  }
}

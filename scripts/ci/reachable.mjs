// Use: node scripts/ci/reachable.mjs postgres://…   Exits 0 where that server answers.
import pg from 'pg';

const client = new pg.Client({ connectionString: process.argv[2], connectionTimeoutMillis: 3000 });
try {
  await client.connect();
  await client.query('select 1');
  await client.end();
} catch {
  process.exit(1);
}

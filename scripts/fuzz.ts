/**
 * Attacks the service (tests/fuzz) longer, or by other seeds, than CI does.
 *
 *   npm run fuzz                                   100,000 requests, a seed of this moment
 *   npm run fuzz -- --requests 500000 --seed 7
 *
 * With DATABASE_URL on that server (as in CI: only there a request's transaction is one of
 * many), else on the embedded database.
 */
import { spawnSync } from 'node:child_process';
import path from 'node:path';
import { parseArgs } from 'node:util';

const { values } = parseArgs({
  options: { requests: { type: 'string', default: '100000' }, seed: { type: 'string' } },
});
const seed = values.seed ?? String(Date.now() % 2_147_483_647);
const vitest = path.resolve(import.meta.dirname, '../node_modules/vitest/vitest.mjs');
const { status } = spawnSync(
  process.execPath,
  [vitest, 'run', '--config', 'vitest.fuzz.config.ts', 'tests/fuzz/attack.test.ts'],
  {
    stdio: 'inherit',
    env: { ...process.env, CASTBOOK_FUZZ_REQUESTS: values.requests, CASTBOOK_FUZZ_SEED: seed },
  },
);
process.exitCode = status ?? 1;

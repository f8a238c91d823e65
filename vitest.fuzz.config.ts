import { defineConfig } from 'vitest/config';

/** The attack of tests/fuzz as in CI, and what it must find; longer and by other seeds: `npm run fuzz`. */
export default defineConfig({
  test: {
    include: ['tests/fuzz/**/*.test.ts'],
    globalSetup: ['tests/support/global-setup.ts'],
    pool: 'forks',
    maxWorkers: 1,
    testTimeout: 300_000,
    hookTimeout: 600_000,
  },
});

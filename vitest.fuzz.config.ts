import { defineConfig } from 'vitest/config';

/** The attack of tests/fuzz, once: `npm run fuzz`. */
export default defineConfig({
  test: {
    include: ['tests/fuzz/**/*.test.ts'],
    globalSetup: ['tests/support/global-setup.ts'],
    pool: 'forks',
    maxWorkers: 1,
    hookTimeout: 600_000,
  },
});

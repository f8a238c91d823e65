import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    // The attack is a run of its own: vitest.fuzz.config.ts.
    exclude: ['tests/fuzz/**', 'node_modules/**'],
    globalSetup: ['tests/support/global-setup.ts'],
    pool: 'forks',
    // Each embedded database takes some 300 MB.
    maxWorkers: 2,
    testTimeout: 60_000,
    hookTimeout: 120_000,
  },
});

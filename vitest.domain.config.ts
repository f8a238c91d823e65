import { defineConfig } from 'vitest/config';

/** The domain alone, by its own tests: no database, and no branch of it untried. */
export default defineConfig({
  test: {
    include: ['tests/domain/**/*.test.ts', 'tests/reference/**/*.test.ts'],
    setupFiles: ['tests/support/readableReasons.ts'],
    pool: 'forks',
    maxWorkers: 2,
    testTimeout: 60_000,
    coverage: {
      provider: 'v8',
      include: ['src/domain/**/*.ts'],
      reportsDirectory: 'coverage/domain',
      reporter: [['text', { skipFull: true }]],
      thresholds: { branches: 100 },
    },
  },
});

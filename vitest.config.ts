import { defineConfig } from 'vitest/config';

/** These start programs, browsers or services of their own, or change the environment: each in a process of its own. */
const ALONE = [
  'tests/*.test.ts',
  'tests/browser/**/*.test.ts',
  'tests/demo/**/*.test.ts',
  'tests/faults/**/*.test.ts',
  'tests/api/config.test.ts',
  'tests/safety/secrets.test.ts',
];

export default defineConfig({
  test: {
    globalSetup: ['tests/support/global-setup.ts'],
    pool: 'forks',
    // Each embedded database takes some 300 MB.
    maxWorkers: 2,
    testTimeout: 60_000,
    hookTimeout: 120_000,
    // The attack is a run of its own: vitest.fuzz.config.ts.
    projects: [
      {
        extends: true,
        test: {
          name: 'shared',
          include: ['tests/**/*.test.ts'],
          exclude: [...ALONE, 'tests/fuzz/**'],
          // Loading the service takes longer than most files' tests: it is loaded once a process.
          // Each file has a database of its own all the same.
          isolate: false,
        },
      },
      { extends: true, test: { name: 'alone', include: ALONE } },
    ],
  },
});

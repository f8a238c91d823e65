/**
 * Mutation testing of the domain by its own tests: `npm run mutation`, some 20 minutes on two
 * cores; later runs try again only what changed (reports/mutation/incremental.json). One file:
 * `npm run mutation -- --mutate src/domain/gate.ts`. Helpers in tests/support are not watched:
 * after a change there, `--force`.
 */
export default {
  mutate: ['src/domain/**/*.ts'],
  testRunner: 'vitest',
  vitest: { configFile: 'vitest.domain.config.ts' },
  plugins: ['@stryker-mutator/vitest-runner', './scripts/mutation/wording.mjs'],
  // Sentences for people are left as they are; see the plugin.
  ignorers: ['wording'],
  // What is made once on loading (closed lists, tables, the catalogue of reasons) is left out:
  // each such change asks every test that imports the file, some 2,500 times over. For one file
  // of rules (assembly, routeOfWork, trace) it takes a minute: turn this off and name the file.
  ignoreStatic: true,
  coverageAnalysis: 'perTest',
  concurrency: 1,
  incremental: true,
  incrementalFile: 'reports/mutation/incremental.json',
  reporters: ['clear-text', 'json', 'progress-append-only'],
  clearTextReporter: { allowColor: false, logTests: false },
  thresholds: { high: 95, low: 90, break: 85 },
};

// Use: node scripts/ci/count.mjs <failed steps> <vitest json>…   Prints the closing line; exits 1 where anything failed.
import { existsSync, readFileSync } from 'node:fs';

const [failedSteps = '0', ...reports] = process.argv.slice(2);
let passed = 0;
let failed = 0;
let skipped = 0;
for (const file of reports.filter((each) => existsSync(each))) {
  const report = JSON.parse(readFileSync(file, 'utf8'));
  passed += report.numPassedTests;
  failed += report.numFailedTests;
  skipped += report.numPendingTests + report.numTodoTests;
}
// A step that failed without a failed test (types, lint, a crash) counts as one.
if (failed === 0) failed = Number(failedSteps);
console.log(`${passed} passed, ${failed} failed, ${skipped} skipped`);
process.exit(failed === 0 && passed > 0 && failedSteps === '0' ? 0 : 1);

/** How a script ends whose work failed: what is wrong, in words for whoever runs it. */
import { startProblem } from '../src/server.ts';
import { Refused } from '../src/store/refused.ts';
import { isMain } from './isMain.ts';
import { UsageProblem } from './options.ts';

/** Does the work with the arguments of the command line, where this module is what was started. */
export function runScript(
  meta: ImportMeta,
  work: (args: readonly string[]) => Promise<void>,
): void {
  if (!isMain(meta)) return;
  work(process.argv.slice(2)).catch((failure: unknown) => {
    process.stderr.write(`${inWords(failure)}\n`);
    process.exitCode = 1;
  });
}

function inWords(failure: unknown): string {
  if (failure instanceof UsageProblem) return failure.message;
  if (failure instanceof Refused) {
    return failure.reasons.map(({ detail, wayOut }) => `${detail} ${wayOut}`).join('\n');
  }
  // Node's own parser of arguments says by a code and a sentence what it cannot read.
  const hasCode = failure instanceof Error && 'code' in failure;
  return startProblem(failure) ?? (hasCode ? failure.message : String(failure));
}

// Use: node --import tsx scripts/ci/audit.ts   Asks the registry for known faults of what the service runs with.
// Exits 1 where one is high or critical. Where the registry does not answer the question it says
// so and exits 0: not audited is not the same as clean, and the line tells which it was.
import { spawnSync } from 'node:child_process';
import { isMain } from '../isMain.ts';

const WITHIN_MS = 60_000;
const COMMAND = ['audit', '--omit=dev', '--audit-level=high', '--json'];

type Verdict =
  | { readonly kind: 'clean'; readonly dependencies: number }
  | { readonly kind: 'found'; readonly names: readonly string[] }
  | { readonly kind: 'not answered'; readonly why: string };

interface Said {
  readonly message?: string;
  readonly metadata?: {
    readonly vulnerabilities?: { readonly high?: unknown; readonly critical?: unknown };
    readonly dependencies?: { readonly prod?: number };
  };
  readonly vulnerabilities?: Readonly<
    Record<string, { readonly name: string; readonly severity: string }>
  >;
}

/** What an answer of npm audit means. @param failure why there is none */
export function verdictOf(stdout: string, failure?: string): Verdict {
  if (failure !== undefined) return { kind: 'not answered', why: failure };
  let said: Said | null;
  try {
    said = JSON.parse(stdout) as Said | null;
  } catch {
    return { kind: 'not answered', why: 'the answer is no JSON' };
  }
  const counts = said?.metadata?.vulnerabilities;
  if (typeof counts?.high !== 'number' || typeof counts.critical !== 'number') {
    return {
      kind: 'not answered',
      why: said?.message ?? 'no counts',
    };
  }
  const bad = counts.high + counts.critical;
  if (bad === 0) return { kind: 'clean', dependencies: said?.metadata?.dependencies?.prod ?? 0 };
  const names = Object.values(said?.vulnerabilities ?? {})
    .filter(({ severity }) => severity === 'high' || severity === 'critical')
    .map(({ name, severity }) => `${name} (${severity})`);
  return { kind: 'found', names };
}

if (isMain(import.meta)) {
  const { stdout, error, signal } = spawnSync('npm', COMMAND, {
    encoding: 'utf8',
    timeout: WITHIN_MS,
  });
  const verdict = verdictOf(
    stdout,
    error?.message ?? (signal === null ? undefined : `ended by ${signal}`),
  );
  if (verdict.kind === 'clean')
    say(`audited: ${verdict.dependencies} dependencies, none with a high or critical fault`);
  else if (verdict.kind === 'found') say(`audited: ${verdict.names.join(', ')}`);
  else say(`NOT ANSWERED, so NOT AUDITED: ${verdict.why}`);
  process.exitCode = verdict.kind === 'found' ? 1 : 0;
}

function say(line: string): void {
  process.stdout.write(`${line}\n`);
}

/** The project's scripts, each as a process of its own, as whoever runs the service starts them. */
import { spawn, type ChildProcess } from 'node:child_process';
import path from 'node:path';

const ROOT = path.resolve(import.meta.dirname, '../..');

const running = new Set<ChildProcess>();
/** Ends what a test left running; for afterEach. */
export async function endAll(): Promise<void> {
  for (const child of running) {
    child.kill('SIGKILL');
    await new Promise((resolve) => child.once('close', resolve));
  }
}

export interface Started {
  readonly child: ChildProcess;
  /** What it has said so far on standard output. */
  said(): string;
  /** Resolves once it has said so; rejects where it ends without. */
  saying(what: RegExp): Promise<RegExpExecArray>;
  readonly ended: Promise<{ code: number | null; stderr: string }>;
}

/** Runs a script of the project with these settings, and none of this run's own. */
export function run(script: string, args: readonly string[], env: Record<string, string>): Started {
  const kept = ['PATH', 'HOME', 'TMPDIR', 'TEMP', 'TMP', 'SystemRoot'];
  const system = Object.fromEntries(
    kept.flatMap((name) => (process.env[name] === undefined ? [] : [[name, process.env[name]]])),
  );
  const child = spawn(process.execPath, ['--import', 'tsx', path.join(ROOT, script), ...args], {
    cwd: ROOT,
    env: { ...system, PORT: '0', LOG_LEVEL: 'warn', ...env },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  running.add(child);
  let stdout = '';
  let stderr = '';
  const looks = new Set<() => void>();
  child.stderr.on('data', (chunk: Buffer) => (stderr += chunk.toString()));
  child.stdout.on('data', (chunk: Buffer) => {
    stdout += chunk.toString();
    for (const look of looks) look();
  });
  const ended = new Promise<{ code: number | null; stderr: string }>((resolve) => {
    child.once('close', (code) => {
      running.delete(child);
      resolve({ code, stderr });
    });
  });
  return {
    child,
    said: () => stdout,
    saying: (what) =>
      new Promise((resolve, reject) => {
        const look = () => {
          const heard = what.exec(stdout);
          if (heard !== null) resolve(heard);
        };
        looks.add(look);
        look();
        void ended.then(() => {
          reject(new Error(`It ended without saying ${String(what)}:\n${stdout}\n${stderr}`));
        });
      }),
    ended,
  };
}

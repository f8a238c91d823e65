/** The service as operators run it: a process of its own, src/server.ts, told by its environment alone. */
import { spawn, type ChildProcess } from 'node:child_process';
import path from 'node:path';
import { keysInWords, TEST_KEYS } from './columnKeys.ts';

export interface Ending {
  /** Null where a signal ended it. */
  readonly code: number | null;
  readonly signal: NodeJS.Signals | null;
  readonly stderr: string;
}

export interface ServiceProcess {
  readonly pid: number;
  /** Everything it has written to its log so far. */
  readonly log: readonly LogLine[];
  readonly ended: Promise<Ending>;
  /** The line with this message, as soon as it is written. Rejects where the process ends without it. */
  logged(message: string): Promise<LogLine>;
  signal(signal: NodeJS.Signals): void;
}

export interface LogLine {
  readonly msg: string;
  readonly [fact: string]: unknown;
}

export interface RunningService extends ServiceProcess {
  /** As http://127.0.0.1:port. */
  readonly address: string;
}

const SERVER = path.resolve(import.meta.dirname, '../../src/server.ts');
const running = new Set<ChildProcess>();

/** Starts the service and waits until it listens. */
export async function startService(env: Readonly<Record<string, string>>): Promise<RunningService> {
  const service = launchService(env);
  const { address } = await service.logged('listening');
  return { ...service, address: String(address) };
}

/** Starts the service and waits for nothing; for starts that are to be refused. */
export function launchService(env: Readonly<Record<string, string>>): ServiceProcess {
  const child = spawn(process.execPath, ['--import', 'tsx', SERVER], {
    // Nothing of the test run's own settings (a database, a log level) reaches it.
    env: {
      ...systemSettings(),
      PORT: '0',
      RATE_LIMIT: '1000000',
      COLUMN_KEYS: keysInWords(TEST_KEYS),
      ...env,
    },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  running.add(child);
  const log: LogLine[] = [];
  const waiting = new Set<() => void>();
  let stderr = '';
  let rest = '';
  child.stderr.on('data', (chunk: Buffer) => (stderr += chunk.toString()));
  child.stdout.on('data', (chunk: Buffer) => {
    const lines = (rest + chunk.toString()).split('\n');
    rest = lines.pop() ?? '';
    log.push(...lines.map((line) => JSON.parse(line) as LogLine));
    for (const look of waiting) look();
  });
  const ended = new Promise<Ending>((resolve, reject) => {
    child.once('error', reject);
    // Not 'exit': what it wrote last is still to be read then.
    child.once('close', (code, signal) => {
      running.delete(child);
      resolve({ code, signal, stderr });
    });
  });
  return {
    pid: child.pid ?? -1,
    log,
    ended,
    logged: (message) =>
      new Promise((resolve, reject) => {
        const look = () => {
          const line = log.find(({ msg }) => msg === message);
          if (line === undefined) return;
          waiting.delete(look);
          resolve(line);
        };
        waiting.add(look);
        look();
        void ended.then(({ code, signal }) => {
          reject(new Error(`ended (${String(code ?? signal)}) without "${message}": ${stderr}`));
        }, reject);
      }),
    signal: (signal) => void child.kill(signal),
  };
}

/** For afterEach: whatever a failed test left running. */
export async function endServices(): Promise<void> {
  await Promise.all(
    [...running].map(
      (child) =>
        new Promise((resolve) => {
          child.once('close', resolve);
          child.kill('SIGKILL');
        }),
    ),
  );
}

function systemSettings(): Record<string, string> {
  const kept = ['PATH', 'HOME', 'TMPDIR', 'TEMP', 'TMP', 'SystemRoot'];
  return Object.fromEntries(
    kept.flatMap((name) => {
      const value = process.env[name];
      return value === undefined ? [] : [[name, value]];
    }),
  );
}

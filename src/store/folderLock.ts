/**
 * One process per data folder: PGlite does not refuse a second one, and the two would
 * overwrite each other's pages. The lock is a socket that the holder listens on, so that it
 * goes when its holder goes, however that ends, and whoever is refused can ask who holds it.
 *
 * It does not reach across containers that share a volume: there, use a PostgreSQL server.
 */
import { createHash } from 'node:crypto';
import fs from 'node:fs';
import net from 'node:net';
import os from 'node:os';
import path from 'node:path';
import { StoreProblem } from './storeProblem.ts';

export interface Holder {
  readonly pid: number;
  /** ISO 8601 instant at which the holder took the folder. */
  readonly since: string;
}

export interface FolderLock {
  release(): Promise<void>;
}

/**
 * Linux has names that live only in the kernel, Windows has pipes: both vanish with their
 * process. Elsewhere the socket is a file, which a killed process leaves behind.
 */
export type LockKind = 'abstract' | 'pipe' | 'file';

export function lockKindOf(platform: NodeJS.Platform): LockKind {
  if (platform === 'linux' || platform === 'android') return 'abstract';
  return platform === 'win32' ? 'pipe' : 'file';
}

/** How long the refused waits for the holder to say who it is; a long statement keeps it silent. */
const ANSWER_WAIT_MS = 5_000;
/** A take-over of a dead socket file lasts milliseconds; an older guard was left by a kill. */
const GUARD_STALE_MS = 5_000;

/**
 * Takes the folder for this process, or refuses with `folder-held` and who has it.
 * @param folder must exist.
 */
export async function lockFolder(
  folder: string,
  kind: LockKind = lockKindOf(process.platform),
): Promise<FolderLock> {
  const address = lockAddress(folder, kind);
  const me: Holder = { pid: process.pid, since: new Date().toISOString() };
  let server = await tryListen(address, me);
  if (server === undefined && kind === 'file') server = await takeOverDead(address, me);
  if (server === undefined) throw heldBy(folder, await askHolder(address));
  const held = server;
  return {
    release: () =>
      new Promise<void>((resolve) => {
        held.close(() => {
          resolve();
        });
      }),
  };
}

/** The same folder has the same address by whatever path or link it is reached. */
function lockAddress(folder: string, kind: LockKind): string {
  const real = fs.realpathSync(folder);
  const { dev, ino } = fs.statSync(real, { bigint: true });
  const name = `castbook-${createHash('sha256').update(`${dev}:${ino}`).digest('hex').slice(0, 32)}`;
  if (kind === 'abstract') return `\0${name}`;
  if (kind === 'pipe') return `\\\\.\\pipe\\${name}`;
  return path.join(os.tmpdir(), `${name}.sock`);
}

/** The listening server, or undefined where somebody has the address. */
function tryListen(address: string, me: Holder): Promise<net.Server | undefined> {
  return new Promise((resolve, reject) => {
    const server = net.createServer((asker) => {
      asker.on('error', () => undefined);
      asker.end(JSON.stringify(me));
    });
    server.once('error', (error: NodeJS.ErrnoException) => {
      // Windows answers EACCES where a pipe's name is taken.
      if (error.code === 'EADDRINUSE' || error.code === 'EACCES') resolve(undefined);
      else reject(error);
    });
    // Exclusive, so that a cluster's worker does not share its parent's handle.
    server.listen({ path: address, exclusive: true }, () => {
      server.unref();
      resolve(server);
    });
  });
}

type Answer = Holder | 'silent' | 'dead';

function askHolder(address: string): Promise<Answer> {
  return new Promise((resolve) => {
    let heard = '';
    const socket = net.connect(address);
    socket.setTimeout(ANSWER_WAIT_MS, () => {
      settle('silent');
    });
    socket.on('data', (chunk) => (heard += chunk.toString()));
    socket.on('end', () => {
      settle(parseHolder(heard) ?? 'silent');
    });
    socket.on('error', (error: NodeJS.ErrnoException) => {
      settle(error.code === 'ECONNREFUSED' || error.code === 'ENOENT' ? 'dead' : 'silent');
    });
    const settle = (answer: Answer) => {
      socket.destroy();
      resolve(answer);
    };
  });
}

function parseHolder(text: string): Holder | undefined {
  try {
    const { pid, since } = JSON.parse(text) as Partial<Holder>;
    if (typeof pid === 'number' && typeof since === 'string') return { pid, since };
  } catch {
    // Whoever has the address does not speak as we do; the refusal then names nobody.
  }
  return undefined;
}

/**
 * Where a killed holder left its socket file: removes it and listens. A guard folder, which
 * only one process can make, keeps two starters from each removing the other's fresh socket.
 */
async function takeOverDead(address: string, me: Holder): Promise<net.Server | undefined> {
  if ((await askHolder(address)) !== 'dead') return undefined;
  const guard = `${address}.guard`;
  if (!makeGuard(guard)) return undefined;
  try {
    // Somebody may have taken it between the question and the guard.
    if ((await askHolder(address)) !== 'dead') return undefined;
    fs.rmSync(address, { force: true });
    return await tryListen(address, me);
  } finally {
    fs.rmSync(guard, { recursive: true, force: true });
  }
}

function makeGuard(guard: string): boolean {
  const age = fs.statSync(guard, { throwIfNoEntry: false });
  if (age !== undefined && Date.now() - age.mtimeMs > GUARD_STALE_MS) {
    fs.rmSync(guard, { recursive: true, force: true });
  }
  try {
    fs.mkdirSync(guard);
    return true;
  } catch {
    return false;
  }
}

function heldBy(folder: string, holder: Answer): StoreProblem {
  const who =
    typeof holder === 'object'
      ? `process ${holder.pid} since ${holder.since}`
      : 'another process, which did not say who it is';
  return new StoreProblem(
    'folder-held',
    `The data folder ${folder} is in use by ${who}.`,
    typeof holder === 'object'
      ? `Stop process ${holder.pid}, or give this one another folder. Only one process may use a data folder at a time.`
      : 'Stop it, or give this one another folder. Only one process may use a data folder at a time.',
  );
}

import { spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { lockFolder, lockKindOf, type LockKind } from '../../src/store/folderLock.ts';

let folder: string;
let holders: ChildProcess[];

beforeEach(() => {
  folder = fs.mkdtempSync(path.join(os.tmpdir(), 'castbook-lock-'));
  holders = [];
});

afterEach(() => {
  for (const holder of holders) holder.kill('SIGKILL');
  fs.rmSync(folder, { recursive: true, force: true });
});

/** The mechanisms that this machine can run: its own, and the socket file that others use. */
const KINDS: LockKind[] = [
  ...new Set<LockKind>([
    lockKindOf(process.platform),
    process.platform === 'win32' ? 'pipe' : 'file',
  ]),
];

describe.each(KINDS)('the lock of a data folder, kept as %s', (kind) => {
  test('a second process is refused and told who holds the folder', async () => {
    const holder = await holdInAnotherProcess(kind);
    await expect(lockFolder(folder, kind)).rejects.toMatchObject({
      code: 'folder-held',
      message: expect.stringContaining(`process ${holder.pid} since 20`) as string,
    });
  });

  test('a holder that is killed leaves the folder free at once', async () => {
    const holder = await holdInAnotherProcess(kind);
    holder.kill('SIGKILL');
    await once(holder, 'exit');
    const lock = await lockFolder(folder, kind);
    await lock.release();
  });

  test('six starters at once: one gets the folder, five are refused', async () => {
    const holder = await holdInAnotherProcess(kind);
    holder.kill('SIGKILL');
    await once(holder, 'exit');
    const starts = await Promise.allSettled(
      Array.from({ length: 6 }, () => lockFolder(folder, kind)),
    );
    const won = starts.filter((start) => start.status === 'fulfilled');
    const refused = starts.filter((start) => start.status === 'rejected');
    expect(won).toHaveLength(1);
    expect(refused.map((start) => (start.reason as { code: string }).code)).toEqual(
      Array<string>(5).fill('folder-held'),
    );
    await won[0]?.value.release();
  });

  test('a folder that was given back can be taken again, by another path to it too', async () => {
    const link = `${folder}-link`;
    fs.symlinkSync(folder, link, 'junction');
    try {
      const first = await lockFolder(folder, kind);
      await expect(lockFolder(link, kind)).rejects.toMatchObject({ code: 'folder-held' });
      await first.release();
      const second = await lockFolder(link, kind);
      await second.release();
    } finally {
      fs.rmSync(link);
    }
  });
});

async function holdInAnotherProcess(kind: LockKind): Promise<ChildProcess> {
  const program = path.resolve(import.meta.dirname, '../support/hold-folder.ts');
  const holder = spawn(process.execPath, ['--import', 'tsx', program, folder, kind], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  holders.push(holder);
  await once(holder.stdout ?? holder, 'data');
  return holder;
}

/**
 * Makes src/generated/prisma from prisma/schema.prisma, where it is missing or stale.
 *
 *   npm run generate            (npm start and npm test do it first)
 *
 * Needs no network: Prisma's command looks for a downloaded engine that generating does not
 * use, and any file named by PRISMA_SCHEMA_ENGINE_BINARY contents it.
 */
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import fs from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';
import { isMain } from './isMain.ts';

const ROOT = path.resolve(import.meta.dirname, '..');
const SCHEMA = path.join(ROOT, 'prisma/schema.prisma');
const OUTPUT = path.join(ROOT, 'src/generated/prisma');
const STAMP = path.join(OUTPUT, '.made-from');

/** @returns whether anything had to be made. */
export function generateClient(): boolean {
  const from = sourceStamp();
  if (fs.existsSync(STAMP) && fs.readFileSync(STAMP, 'utf8') === from) return false;
  const require = createRequire(import.meta.url);
  const prisma = path.join(path.dirname(require.resolve('prisma/package.json')), 'build/index.js');
  const made = spawnSync(process.execPath, [prisma, 'generate', '--no-hints'], {
    cwd: ROOT,
    encoding: 'utf8',
    env: {
      ...process.env,
      PRISMA_SCHEMA_ENGINE_BINARY: process.execPath,
      PRISMA_HIDE_UPDATE_MESSAGE: '1',
      CHECKPOINT_DISABLE: '1',
    },
  });
  if (made.status !== 0) {
    throw new Error(`prisma generate failed:\n${made.stdout}${made.stderr}`);
  }
  fs.writeFileSync(STAMP, from);
  return true;
}

function sourceStamp(): string {
  const require = createRequire(import.meta.url);
  const { version } = require('@prisma/client/package.json') as { version: string };
  return createHash('sha256').update(version).update(fs.readFileSync(SCHEMA)).digest('hex');
}

if (isMain(import.meta)) {
  if (generateClient())
    process.stdout.write('Made src/generated/prisma from prisma/schema.prisma.\n');
}

/** Settings are read once and refused in words; the process says so and stops in order. */
import { spawn } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { createInterface } from 'node:readline';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { readColumnKeys, readConfig } from '../../src/config.ts';

const STRONG = randomBytes(48).toString('base64');
const KEY = randomBytes(32);
const COLUMN_KEYS = `2026a:${KEY.toString('base64')}`;
let folder: string;
beforeAll(() => {
  folder = fs.mkdtempSync(path.join(os.tmpdir(), 'castbook-config-'));
});
afterAll(() => {
  fs.rmSync(folder, { recursive: true, force: true });
});

describe('the secret that signs access tokens', () => {
  test.each([
    ['is missing', undefined, 'JWT_SECRET is missing'],
    ['is empty', '', 'JWT_SECRET is missing'],
    ['is short', 'k9$Lw2!xQz', 'shorter than 32 bytes'],
    ['is one letter many times', 'a'.repeat(64), 'easy to guess'],
    ['is a text from an example', 'please-change-me-please-change-me-now', 'easy to guess'],
  ])('is refused when it %s', (_what, secret, said) => {
    expect(() => readConfig({ JWT_SECRET: secret })).toThrow(said);
    expect(() => readConfig({ JWT_SECRET: secret })).toThrow('openssl rand');
  });

  test('comes from a file where one is named', () => {
    const file = path.join(folder, 'secret');
    fs.writeFileSync(file, `${STRONG}\n`);
    expect(readConfig({ JWT_SECRET_FILE: file, COLUMN_KEYS }).jwtSecret).toBe(STRONG);
    expect(() => readConfig({ JWT_SECRET_FILE: file, JWT_SECRET: STRONG })).toThrow('keep one');
    expect(() => readConfig({ JWT_SECRET_FILE: path.join(folder, 'none') })).toThrow(
      'cannot be read',
    );
  });

  test('is made for a demo, kept to its owner, and the same the next time', () => {
    const demo = { DEMO: '1', DATA_DIR: path.join(folder, 'demo') };
    const first = readConfig(demo).jwtSecret;
    expect(first).toHaveLength(96);
    expect(readConfig(demo).jwtSecret).toBe(first);
    const { mode } = fs.statSync(path.join(folder, 'demo', 'demo-jwt-secret'));
    expect(mode & 0o077).toBe(0);
    expect(() => readConfig({ ...demo, JWT_SECRET: 'weak' })).toThrow('shorter');
  });
});

describe('the keys of encrypted columns', () => {
  const base64 = (bytes: Buffer) => bytes.toString('base64');
  const WEAK = base64(Buffer.alloc(32, 7));
  test.each([
    ['are missing', undefined, 'COLUMN_KEYS is missing'],
    ['are empty', ' , ', 'COLUMN_KEYS is missing'],
    ['have no name', base64(KEY), 'Key 1 of COLUMN_KEYS has no usable name'],
    ['have a name that cannot be kept', `2026.a:${base64(KEY)}`, 'has no usable name'],
    ['are short', `a:${base64(randomBytes(16))}`, 'Key 1 of COLUMN_KEYS (a) is not 32 bytes'],
    ['are no base64', `a:${'!'.repeat(44)}`, 'is not 32 bytes in base64'],
    ['are one byte many times', `${COLUMN_KEYS},b:${WEAK}`, 'Key 2 of COLUMN_KEYS (b) is easy'],
    ['have one name twice', `${COLUMN_KEYS},2026a:${base64(randomBytes(32))}`, 'twice: 2026a'],
    ['are one key twice', `${COLUMN_KEYS},2026b:${base64(KEY)}`, 'twice: 2026b'],
  ])('are refused when they %s, and what they are is not said', (_what, keys, said) => {
    const read = () => readConfig({ JWT_SECRET: STRONG, COLUMN_KEYS: keys });
    expect(read).toThrow(said);
    expect(read).toThrow('openssl rand -base64 32');
    expect(read).not.toThrow(base64(KEY).slice(0, 20));
  });

  test('come from a file with a line each, the present one first', () => {
    const file = path.join(folder, 'column-keys');
    const older = randomBytes(32);
    fs.writeFileSync(file, `${COLUMN_KEYS}\n2025:${base64(older)}\n`);
    const expected = [
      { id: '2026a', bytes: KEY },
      { id: '2025', bytes: older },
    ];
    const env = { JWT_SECRET: STRONG, COLUMN_KEYS_FILE: file };
    expect(readConfig(env).columnKeys).toEqual(expected);
    expect(readColumnKeys(env)).toEqual(expected);
    expect(() => readConfig({ ...env, COLUMN_KEYS })).toThrow('keep one');
    expect(() => readColumnKeys({})).toThrow('COLUMN_KEYS is missing');
  });

  test('are made for a demo, kept to its owner, and the same the next time', () => {
    const demo = { DEMO: '1', DATA_DIR: path.join(folder, 'demo-keys') };
    const first = readConfig(demo).columnKeys;
    expect(first.map(({ id, bytes }) => [id, bytes.length])).toEqual([['demo', 32]]);
    expect(readConfig(demo).columnKeys).toEqual(first);
    expect(readColumnKeys(demo)).toEqual(first);
    const { mode } = fs.statSync(path.join(folder, 'demo-keys', 'demo-column-keys'));
    expect(mode & 0o077).toBe(0);
  });
});

describe('settings', () => {
  test('have values that are safe when nothing is set', () => {
    expect(readConfig({ JWT_SECRET: STRONG, COLUMN_KEYS })).toEqual({
      port: 8080,
      host: '127.0.0.1',
      publicUrl: 'http://localhost:8080',
      databaseUrl: undefined,
      migrationDatabaseUrl: undefined,
      databasePool: 10,
      dataFolder: path.resolve('data'),
      jwtSecret: STRONG,
      columnKeys: [{ id: '2026a', bytes: KEY }],
      demo: false,
      logLevel: 'info',
      trustProxy: false,
      requestsPerMinute: 3000,
      requestsPerPersonPerMinute: 1200,
      signInsPerMinute: 30,
      headSigningKey: undefined,
      openId: { allowedHosts: [], loopbackHttp: false },
    });
  });

  test.each([
    ['PORT', '70000'],
    ['PORT', 'eighty'],
    ['DATABASE_URL', 'mysql://localhost/x'],
    ['DEMO', 'yes'],
    ['LOG_LEVEL', 'loud'],
    ['RATE_LIMIT', '0'],
  ])('%s=%s is refused by name', (name, value) => {
    expect(() => readConfig({ JWT_SECRET: STRONG, COLUMN_KEYS, [name]: value })).toThrow(
      new RegExp(`cannot be used: ${name}:`),
    );
  });

  test.each([
    ['2', 2],
    ['true', true],
    ['false', false],
    ['10.0.0.0/8', '10.0.0.0/8'],
  ])('TRUST_PROXY=%s is understood', (given, expected) => {
    expect(readConfig({ JWT_SECRET: STRONG, COLUMN_KEYS, TRUST_PROXY: given }).trustProxy).toBe(
      expected,
    );
  });
});

describe('the process', () => {
  const start = (env: Record<string, string>) =>
    spawn(process.execPath, ['--import', 'tsx', path.resolve('src/server.ts')], {
      env: { PATH: process.env['PATH'], ...env },
      stdio: ['ignore', 'pipe', 'pipe'],
    });
  const ended = (child: ReturnType<typeof start>) =>
    new Promise<number | null>((resolve) => child.on('exit', resolve));

  test('does not start without a secret, and says what to do', async () => {
    const child = start({ DATA_DIR: path.join(folder, 'none') });
    let said = '';
    child.stderr.on('data', (bytes: Buffer) => (said += bytes.toString()));
    expect(await ended(child)).toBe(1);
    expect(said).toMatch(/^JWT_SECRET is missing: .*openssl rand -base64 48"\.\n$/);
    expect(fs.existsSync(path.join(folder, 'none'))).toBe(false);
  });

  test('does not start without column keys, and says what to do', async () => {
    const child = start({ DATA_DIR: path.join(folder, 'none'), JWT_SECRET: STRONG });
    let said = '';
    child.stderr.on('data', (bytes: Buffer) => (said += bytes.toString()));
    expect(await ended(child)).toBe(1);
    expect(said).toMatch(/^COLUMN_KEYS is missing: .*openssl rand -base64 32/);
    expect(fs.existsSync(path.join(folder, 'none'))).toBe(false);
  });

  test('listens, answers, and on SIGTERM ends in order', async () => {
    const child = start({
      DATA_DIR: path.join(folder, 'run'),
      PORT: '0',
      JWT_SECRET: STRONG,
      COLUMN_KEYS,
    });
    const end = ended(child);
    const seen: string[] = [];
    for await (const line of createInterface(child.stdout)) {
      const { msg, address } = JSON.parse(line) as { msg: string; address?: string };
      seen.push(msg);
      if (msg !== 'listening') continue;
      const ready = await fetch(`${address ?? ''}/readyz`);
      expect(ready.status).toBe(200);
      child.kill('SIGTERM');
    }
    expect(await end).toBe(0);
    expect(seen[0]).toBe('migrated');
    expect(seen.slice(-2)).toEqual(['stopping', 'stopped']);
  });
});

/** docker-compose.yml: accepted by docker where it is there, and without any weak default. */
import { spawnSync } from 'node:child_process';
import fs from 'node:fs';
import path from 'node:path';
import { describe, expect, test } from 'vitest';

const ROOT = path.resolve(import.meta.dirname, '..');
const COMPOSE = fs.readFileSync(path.join(ROOT, 'docker-compose.yml'), 'utf8');
const SECRETS = {
  POSTGRES_PASSWORD: 'a1b2c3d4e5f60718293a4b5c6d7e8f90',
  CASTBOOK_DB_PASSWORD: '0f9e8d7c6b5a49382716053f4e5d6c7b',
  COLUMN_KEYS: '2026a:8mV1cJt0Yw3Rk5Zp7Xh9Ls2Qf4Gd6Bn1Ua3Ve5Wi7Xo=',
  JWT_SECRET: 'q8Zr2LmXw7Tn5Vb1Kc9Hd4Gf6Js3Py0AeUiOoQ',
};

/** Docker's plugin, or the command of its own that came before it. */
const COMMANDS = [['docker', 'compose'], ['docker-compose']] as const;

const runWith = (
  [command, ...before]: readonly [string, ...string[]],
  args: readonly string[],
  env: Record<string, string> = {},
) =>
  spawnSync(command, [...before, '-f', path.join(ROOT, 'docker-compose.yml'), ...args], {
    encoding: 'utf8',
    env: { PATH: process.env['PATH'], HOME: process.env['HOME'], ...env },
  });
const command = COMMANDS.find((each) => runWith(each, ['version']).status === 0);
const missing = command === undefined ? ' [needs docker compose or docker-compose]' : '';
const compose = (...args: string[]) => ({
  run: (env: Record<string, string>) => runWith(command ?? COMMANDS[0], args, env),
});

describe.skipIf(command === undefined)(`docker compose config${missing}`, () => {
  test('accepts the file', () => {
    expect(compose('config', '-q').run(SECRETS)).toMatchObject({ status: 0, stderr: '' });
  });

  test.each(Object.keys(SECRETS))('refuses it without %s', (name) => {
    const { status, stderr } = compose('config', '-q').run({ ...SECRETS, [name]: '' });
    expect(status).not.toBe(0);
    expect(stderr).toContain(name);
  });
});

describe('docker-compose.yml', () => {
  test.each(Object.keys(SECRETS))(
    'asks for %s, has no default for it, says how to make one',
    (name) => {
      expect(COMPOSE).toMatch(new RegExp(`\\$\\{${name}:\\?[^}]*openssl rand`));
      expect(COMPOSE).not.toMatch(new RegExp(`\\$\\{${name}:?-`));
    },
  );

  test('names no file that is not there', () => {
    for (const file of [
      'scripts/docker/Dockerfile',
      'scripts/docker/database/10-service-sign-in.sql',
      'scripts/docker/healthy.mjs',
    ]) {
      expect(COMPOSE).toContain(file.replace(/\/10-.*/, ''));
      expect(fs.existsSync(path.join(ROOT, file)), file).toBe(true);
    }
  });

  test('signs the service in as another role than the owner', () => {
    expect(COMPOSE).toMatch(/^ +DATABASE_URL: postgres:\/\/castbook_service:/m);
    expect(COMPOSE).toMatch(/^ +MIGRATION_DATABASE_URL: postgres:\/\/castbook_owner:/m);
  });
});

/** The first start of a new machine, and every one after: scripts/start.ts as a process of its own. */
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { afterAll, afterEach, describe, expect, test, vi } from 'vitest';
import { emptyDatabase, needsManyConnections } from './support/database.ts';
import { DEMO_PASSWORD, emailOf, SIGN_INS, STAFF } from '../scripts/demo/names.ts';
import { keysInWords, TEST_KEYS } from './support/columnKeys.ts';
import { endAll, run, type Started } from './support/programs.ts';

/** A first start takes some twenty seconds of a machine that does nothing else. */
vi.setConfig({ testTimeout: 300_000 });

const folders: string[] = [];
const newFolder = (): string => {
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'castbook-start-'));
  folders.push(folder);
  return folder;
};
afterAll(() => {
  for (const folder of folders) fs.rmSync(folder, { recursive: true, force: true });
});

afterEach(endAll);

const startDemo = (folder: string, env: Record<string, string> = {}) =>
  run('scripts/start.ts', ['--demo'], { DATA_DIR: folder, ...env });

async function addressOf(started: Started): Promise<string> {
  await started.saying(/Stop with Ctrl-C/);
  return (await started.saying(/Castbook listens on (http:\/\/\S+)/))[1]!;
}

async function stop(started: Started): Promise<void> {
  started.child.kill('SIGTERM');
  expect(await started.ended).toEqual({ code: 0, stderr: '' });
}

const signIn = (address: string, email: string, password: string) =>
  fetch(`${address}/api/v1/sign-in`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ email, password }),
  });

describe('npm start on a new database of a server', () => {
  needsManyConnections(
    'cancelled with Ctrl-C it leaves the database as empty as it was',
    async () => {
      const bare = await emptyDatabase();
      const cancelled = startDemo(newFolder(), { DATABASE_URL: bare.url ?? '' });
      await cancelled.saying(/10 % of the two years told/);
      cancelled.child.kill('SIGINT');
      expect(await cancelled.ended).toEqual({
        code: 130,
        stderr: 'Cancelled: nothing of the demo was kept.\n',
      });
      const left = await bare.database.raw<{ name: string }>(
        `select relname::text as name from pg_class where relnamespace = 'public'::regnamespace
         union all select proname::text from pg_proc p where pronamespace = 'public'::regnamespace
           and not exists (select 1 from pg_depend d where d.objid = p.oid and d.deptype = 'e')`,
      );
      expect(left).toEqual([]);
      await bare.close();
    },
    300_000,
  );
});

/** The secrets that the demo makes for itself. */
const KEYS = ['demo-column-keys', 'demo-head-signing-key.pem', 'demo-jwt-secret'];

describe('npm start on a new data folder', () => {
  const folder = newFolder();

  test('leaves nothing that counts where it is killed', async () => {
    const killed = startDemo(folder);
    await killed.saying(/First start/);
    killed.child.kill('SIGKILL');
    await killed.ended;
    expect(fs.readdirSync(folder).sort()).toEqual([...KEYS, 'postgres.new']);
  });

  test('cancelled with Ctrl-C it keeps nothing, and says so', async () => {
    const cancelled = startDemo(folder);
    await cancelled.saying(/10 % of the two years told, \d+ acts/);
    cancelled.child.kill('SIGINT');
    expect(await cancelled.ended).toEqual({
      code: 130,
      stderr: 'Cancelled: nothing of the demo was kept.\n',
    });
    expect(fs.readdirSync(folder).sort()).toEqual(KEYS);
  });

  test('begins again, loads the demo clinic, says all that one needs, and everybody who is shown can sign in', async () => {
    const started = startDemo(folder);
    const address = await addressOf(started);
    const said = started.said();
    expect(said).toMatch(/The demo clinic is there: \d+ acts of two years/);
    expect(said).toContain(`${address}/api/docs`);
    expect(said).toContain(`${address}/api/openapi.json`);
    expect(said).toContain('Everything in the demo is invented');
    expect(said).toContain('a person decides');
    for (const page of ['/api/docs', '/api/openapi.json', '/readyz']) {
      expect((await fetch(address + page)).status, page).toBe(200);
    }
    for (const key of SIGN_INS) {
      const email = emailOf(key);
      expect(said).toContain(email);
      const answer = await signIn(address, email, DEMO_PASSWORD);
      expect(answer.status, email).toBe(200);
      const { person } = (await answer.json()) as { person: { roles: string[] } };
      expect(person.roles).toEqual([STAFF[key].role]);
    }
    expect((await signIn(address, emailOf('formerTechnician'), DEMO_PASSWORD)).status).toBe(401);
    await stop(started);
    expect(fs.readdirSync(folder).sort()).toEqual([...KEYS, 'postgres']);
  });

  test('the second start finds it and loads nothing', async () => {
    const started = startDemo(folder);
    const address = await addressOf(started);
    expect(started.said()).not.toContain('demo clinic is there');
    expect((await signIn(address, emailOf('desk'), DEMO_PASSWORD)).status).toBe(200);
    await stop(started);
  });

  test('a second service on the same folder is told who has it', async () => {
    const first = startDemo(folder);
    await addressOf(first);
    const second = startDemo(folder);
    const { code, stderr } = await second.ended;
    expect(code).toBe(1);
    expect(stderr).toMatch(new RegExp(`in use by process ${first.child.pid} `));
    await stop(first);
  });
});

describe('a start that is refused says why', () => {
  const refusal = async (env: Record<string, string>) => {
    const { code, stderr } = await run('src/server.ts', [], { DATA_DIR: newFolder(), ...env })
      .ended;
    expect(code).toBe(1);
    return stderr;
  };

  test('without a secret, outside the demo', async () => {
    expect(await refusal({})).toMatch(/^JWT_SECRET is missing.*openssl rand/);
  });

  test('with a secret that is short, or easy to guess', async () => {
    expect(await refusal({ JWT_SECRET: 'short' })).toMatch(/^JWT_SECRET is shorter than 32 bytes/);
    expect(await refusal({ JWT_SECRET: 'please-change-me-please-change-me!!' })).toMatch(
      /^JWT_SECRET is easy to guess/,
    );
  });
});

const SECRET = 'q8Zr2LmXw7Tn5Vb1Kc9Hd4Gf6Js3Py0AeUiOoQ';
describe('a clinic of one’s own', () => {
  const folder = newFolder();
  let code = '';

  test('is founded by a script, once, which gives a one-time code and takes no password', async () => {
    const told = await founded(folder);
    expect(told).toMatch(/^Founded Inventon Limb Workshop .*\nNext:/);
    code = /(?:[0-9A-Z]{4}-){3}[0-9A-Z]{4}/.exec(told)?.[0] ?? '';
    expect(await foundingOf(folder).ended).toEqual({
      code: 1,
      stderr: 'Another clinic of this record has the prefix INV.\n',
    });
    const refused = await foundingOf(newFolder(), 'no address').ended;
    expect(refused).toMatchObject({ code: 1, stderr: expect.stringMatching(/--email: /) });
  });

  test('is no place for the demo', async () => {
    const { code, stderr } = await startDemo(folder).ended;
    expect(code).toBe(1);
    expect(stderr).toMatch(/holds a record that is not the demo clinic's.*npm run serve/);
  });

  test('starts without any demo; its administrator signs in', async () => {
    const started = run('scripts/start.ts', [], {
      DATA_DIR: folder,
      JWT_SECRET: SECRET,
      COLUMN_KEYS: keysInWords(TEST_KEYS),
    });
    const address = await addressOf(started);
    expect(started.said()).not.toMatch(/demo/i);
    expect((await signIn(address, 'ada@inventon.example', PASSWORD)).status).toBe(401);
    const set = await fetch(`${address}/api/v1/sign-in/code`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ email: 'ada@inventon.example', code, newPassword: PASSWORD }),
    });
    expect(set.status).toBe(200);
    expect((await signIn(address, 'ada@inventon.example', PASSWORD)).status).toBe(200);
    expect((await signIn(address, emailOf('administrator'), DEMO_PASSWORD)).status).toBe(401);

    const { port } = new URL(address);
    const late = newFolder();
    const beside = run('scripts/start.ts', ['--demo'], { DATA_DIR: late, PORT: port });
    expect(await beside.ended).toEqual({
      code: 1,
      stderr: `Port ${port} is taken by another program. Stop it, or set PORT to a free one.\n`,
    });
    expect(fs.existsSync(path.join(late, 'postgres'))).toBe(false);
    await stop(started);
  });
});

const PASSWORD = 'plumb lines hang straight';

function foundingOf(folder: string, email = 'ada@inventon.example'): Started {
  const options = {
    name: 'Inventon Limb Workshop',
    prefix: 'INV',
    'time-zone': 'Europe/Vienna',
    email,
    'printed-name': 'Ada Ledgerby',
  };
  const args = Object.entries(options).flatMap(([name, value]) => [`--${name}`, value]);
  return run('scripts/found-clinic.ts', args, { DATA_DIR: folder });
}

async function founded(folder: string): Promise<string> {
  const founding = foundingOf(folder);
  expect(await founding.ended).toEqual({ code: 0, stderr: '' });
  return founding.said();
}

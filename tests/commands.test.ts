/** What whoever runs the service does from the command line: a lost sign-in, backups, keys. */
import { randomUUID } from 'node:crypto';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, test, vi } from 'vitest';
import { openStore } from '../src/store/open.ts';
import { keysInWords, OTHER_KEYS, TEST_KEYS, testCipher } from './support/columnKeys.ts';
import { endAll, run } from './support/programs.ts';

vi.setConfig({ testTimeout: 120_000 });

const home = fs.mkdtempSync(path.join(os.tmpdir(), 'castbook-commands-'));
afterAll(() => {
  fs.rmSync(home, { recursive: true, force: true });
});
afterEach(endAll);

const record = path.join(home, 'record');
const backup = path.join(home, 'backup');
const KEYS = { COLUMN_KEYS: keysInWords(TEST_KEYS) };
const ADA = 'ada@inventon.example';

/** Runs a script to its end. */
async function done(script: string, args: readonly string[], env: Record<string, string> = {}) {
  const started = run(`scripts/${script}.ts`, args, { DATA_DIR: record, ...env });
  return { ...(await started.ended), said: started.said() };
}
const WELL = { code: 0, stderr: '' };

beforeAll(async () => {
  const founded = await done('found-clinic', [
    ...['--name', 'Inventon Limb Workshop', '--prefix', 'INV', '--time-zone', 'Europe/Vienna'],
    ...['--email', ADA, '--printed-name', 'Ada Ledgerby'],
  ]);
  expect(founded).toMatchObject(WELL);
}, 120_000);

describe('a code for an administrator whom nobody can help', () => {
  const CODE = /(?:[0-9A-Z]{4}-){3}[0-9A-Z]{4}/;
  const why = ['--why', 'Lost the phone; seen in person.'];

  test('is printed, with what ended for it', async () => {
    const { said, ...ended } = await done('administrator-code', ['--email', ADA, ...why]);
    expect(ended).toEqual(WELL);
    expect(said).toMatch(/^Ended for Ada Ledgerby: 0 sign-ins\.\n/);
    expect(said).toMatch(CODE);
  });

  test('is for nobody who is not known, and not without a reason', async () => {
    const stranger = await done('administrator-code', ['--email', 'x@inventon.example', ...why]);
    expect(stranger).toEqual({
      code: 1,
      stderr: 'Nobody signs in with this address. Nothing was changed.\n',
      said: '',
    });
    const bare = await done('administrator-code', ['--email', ADA]);
    expect(bare).toMatchObject({ code: 1, stderr: expect.stringContaining('--why: '), said: '' });
  });
});

describe('a backup', () => {
  test('is not made without the keys', async () => {
    const { code, stderr } = await done('backup', [backup]);
    expect({ code, stderr }).toMatchObject({
      code: 1,
      stderr: expect.stringMatching(/^COLUMN_KEYS is missing/),
    });
    expect(fs.existsSync(backup)).toBe(false);
  });

  test('is made, checked, and never written over', async () => {
    const made = await done('backup', [backup], KEYS);
    expect(made).toMatchObject(WELL);
    expect(made.said).toMatch(/^Backed up .* rows of \d+ tables, 1 chain of events/);
    const checked = await done('backup', ['--check', backup], KEYS);
    expect(checked).toMatchObject({ ...WELL, said: expect.stringContaining('is whole') });
    const again = await done('backup', [backup], KEYS);
    expect(again).toMatchObject({ code: 1, stderr: expect.stringContaining('is there already') });
  });

  test('is restored into a new folder, and backed up from there it is the same', async () => {
    const anew = path.join(home, 'anew');
    const restored = await done('restore', [backup], { ...KEYS, DATA_DIR: anew });
    expect(restored).toMatchObject(WELL);
    expect(restored.said).toMatch(/Restored into .*: \d+ rows, \d+ events; the backup .* holds/);
    const second = path.join(home, 'second');
    expect(await done('backup', [second], { ...KEYS, DATA_DIR: anew })).toMatchObject(WELL);
    const tables = fs.readdirSync(backup).filter((name) => name.endsWith('.jsonl'));
    expect(tables.length).toBeGreaterThan(70);
    for (const name of tables) {
      const [one, other] = [backup, second].map((folder) =>
        fs.readFileSync(path.join(folder, name), 'utf8'),
      );
      expect(other, name).toBe(one);
    }
    const onto = await done('restore', [backup], { ...KEYS, DATA_DIR: anew });
    expect(onto).toMatchObject({ code: 1, stderr: expect.stringContaining('record already') });
  });

  test('of which a line was changed is refused, and nothing of it is left', async () => {
    const changed = path.join(home, 'changed');
    fs.cpSync(backup, changed, { recursive: true });
    const file = path.join(changed, 'person.jsonl');
    fs.writeFileSync(file, fs.readFileSync(file, 'utf8').replace('Ada', 'Eda'));
    const target = path.join(home, 'from-changed');
    for (const answer of [
      await done('backup', ['--check', changed], KEYS),
      await done('restore', [changed], { ...KEYS, DATA_DIR: target }),
    ]) {
      expect(answer).toMatchObject({
        code: 1,
        stderr: expect.stringContaining('person.jsonl has another SHA-256'),
      });
    }
    expect(fs.existsSync(path.join(target, 'postgres'))).toBe(false);
  });
});

describe('keys', () => {
  test('are counted, and changed by name', async () => {
    const store = await openStore({
      databaseUrl: undefined,
      dataFolder: record,
      columnKeys: TEST_KEYS,
    });
    // An authenticator app that was begun: its secret is a value under the key.
    const [ada] = await store.raw<{ clinicId: string; id: string }>(
      'select clinic_id as "clinicId", id from person',
    );
    const factorId = randomUUID();
    await store.raw(
      `insert into second_factor (clinic_id, id, person_id, secret, begun_at) values ($1, $2, $3, $4, now())`,
      [
        ada?.clinicId,
        factorId,
        ada?.id,
        testCipher.encryptFor(
          {
            table: 'second_factor',
            column: 'secret',
            clinicId: ada?.clinicId ?? '',
            rowId: `${ada?.id ?? ''} ${factorId}`,
          },
          'a secret',
        ),
      ],
    );
    await store.close();
    const both = { COLUMN_KEYS: keysInWords([...OTHER_KEYS.slice(0, 1), ...TEST_KEYS]) };
    const before = await done('rotate-column-keys', ['--count'], both);
    expect(before).toMatchObject({
      ...WELL,
      said: '1 values under the key "test"\n',
    });
    const rotated = await done('rotate-column-keys', [], both);
    expect(rotated).toMatchObject({
      ...WELL,
      said: expect.stringContaining('Encrypted anew: 1.'),
    });
    const counted = await done('rotate-column-keys', ['--count'], both);
    expect(counted).toMatchObject({
      ...WELL,
      said: '1 values under the key "second", the present one\n',
    });
  });
});

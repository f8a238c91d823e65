/** A backup that holds is restored whole, anywhere; one that does not leaves nothing. */
import { createHash, randomBytes } from 'node:crypto';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { checkBackup, fileOf, writeBackup, type Manifest } from '../../src/store/backup.ts';
import { columnCipher } from '../../src/store/columnCipher.ts';
import { prepareColumns } from '../../src/store/columnKeys.ts';
import { silentLog, type Database } from '../../src/store/database.ts';
import { makeEmbedded, openEmbedded, openEmbeddedInMemory } from '../../src/store/embedded.ts';
import { migrate, MIGRATIONS_FOLDER, pendingMigrations } from '../../src/store/migrate.ts';
import { Refused } from '../../src/store/refused.ts';
import { restoreBackup } from '../../src/store/restore.ts';
import { testClinic, type TestClinic } from '../support/api.ts';
import { OTHER_KEYS, testCipher } from '../support/columnKeys.ts';
import { databaseKind, emptyDatabase } from '../support/database.ts';
import { breaches, everything } from '../support/integrity.ts';
import { deliveredLimb, stockedShop } from '../support/job.ts';
import { addPatient } from '../support/orders.ts';

let home: string;
let clinic: TestClinic;
/** A whole backup of a clinic that delivered a limb. */
let backup: string;
let manifest: Manifest;
const AT = new Date('2026-03-02T10:00:00Z');
const ABOUT = { at: AT, program: 'test' };

beforeAll(async () => {
  home = fs.mkdtempSync(path.join(os.tmpdir(), 'castbook-backup-'));
  clinic = await testClinic();
  await prepareColumns(clinic.store, testCipher, silentLog);
  await deliveredLimb(await stockedShop(clinic));
  const reached = { phone: '+43 660 7318 2946', address: 'Quillwort Passage 7318' };
  await addPatient(clinic, { chartNumber: 'CH-7001', ...reached });
  backup = path.join(home, 'backup');
  manifest = await writeBackup(clinic.store, backup, testCipher, ABOUT);
});
afterAll(async () => {
  await clinic.close();
  fs.rmSync(home, { recursive: true, force: true });
});

/** Says what a call fails with, in its own words. */
const failure = async (work: Promise<unknown>): Promise<string> => {
  try {
    await work;
  } catch (error) {
    if (error instanceof Refused) return error.reasons[0].code;
    if (error instanceof Error) return error.message;
  }
  return 'nothing';
};

const isBare = async (database: Database): Promise<boolean> =>
  (await database.raw(`select 1 from pg_tables where schemaname = 'public'`)).length === 0;

describe('a backup', () => {
  test('is whole, and checked without any database', async () => {
    expect(await checkBackup(backup, testCipher)).toEqual(manifest);
    expect(manifest).toMatchObject({ madeAt: AT.toISOString(), from: databaseKind });
    expect(manifest.heads).toHaveLength(1);
    expect(manifest.tables.find(({ name }) => name === 'move')?.rows).toBeGreaterThan(10);
    expect(fs.existsSync(`${backup}.unfinished`)).toBe(false);
  });

  test('names no number and no address in plain text', () => {
    for (const file of fs.readdirSync(backup)) {
      expect(fs.readFileSync(path.join(backup, file), 'utf8'), file).not.toMatch(
        /7318 2946|Quillwort/,
      );
    }
  });

  test('is not written over anything that is there', async () => {
    const said = await failure(writeBackup(clinic.store, backup, testCipher, ABOUT));
    expect(said).toContain('is there already');
  });

  test('of nothing is none, and leaves no folder', async () => {
    const nothing = await emptyDatabase();
    const target = path.join(home, 'nothing');
    const said = await failure(writeBackup(nothing.database, target, testCipher, ABOUT));
    expect(said).toContain('There is no record here yet');
    expect(fs.readdirSync(home)).not.toContain('nothing');
    expect(fs.readdirSync(home)).not.toContain('nothing.unfinished');
    await nothing.close();
  });
});

describe('restored', () => {
  test('into an empty database it is the same record, and works', async () => {
    const target = await emptyDatabase();
    const restored = await restoreBackup(target.database, backup, testCipher);
    expect(restored).toMatchObject({ migrated: [], events: manifest.heads[0]?.seq });
    const query = target.database.raw.bind(target.database);
    const rows = await everything(query);
    const before = await everything(clinic.store.raw.bind(clinic.store));
    delete rows['_prisma_migrations'];
    delete before['_prisma_migrations'];
    expect(rows).toEqual(before);
    expect(await breaches(query)).toEqual([]);
    expect(await pendingMigrations(target.database)).toEqual([]);
    await prepareColumns(target.database, testCipher, silentLog);
    // A backup of the copy is the same, table for table.
    const again = await writeBackup(target.database, path.join(home, 'again'), testCipher, ABOUT);
    expect(again.tables).toEqual(manifest.tables);
    expect(again.heads).toEqual(manifest.heads);
    await target.close();
  });

  test('moves from whichever database it is to the embedded one, in a folder of its own', async () => {
    const folder = path.join(home, 'moved');
    const made = await makeEmbedded(folder, async (database) => {
      await restoreBackup(database, backup, testCipher);
    });
    expect(made).toBe(true);
    const opened = await openEmbedded(folder);
    expect(await breaches(opened.raw.bind(opened))).toEqual([]);
    const back = await writeBackup(opened, path.join(home, 'from-folder'), testCipher, ABOUT);
    expect(back.tables).toEqual(manifest.tables);
    expect(back.from).toBe('embedded');
    await opened.close();
    // And from there to whichever database the run is for.
    const target = await emptyDatabase();
    await restoreBackup(target.database, path.join(home, 'from-folder'), testCipher);
    expect(await breaches(target.database.raw.bind(target.database))).toEqual([]);
    await target.close();
  });

  test('nothing is put where something is already', async () => {
    const before = await everything(clinic.store.raw.bind(clinic.store));
    const said = await failure(restoreBackup(clinic.store, backup, testCipher));
    expect(said).toContain('There is something already in');
    expect(await everything(clinic.store.raw.bind(clinic.store))).toEqual(before);
  });

  test('an older program’s backup is brought to this one’s schema', async () => {
    const older = fs.mkdtempSync(path.join(home, 'migrations-'));
    const names = fs.readdirSync(MIGRATIONS_FOLDER).filter((name) => /^\d{4}_/.test(name));
    for (const name of names.filter((each) => each < '0016')) {
      fs.cpSync(path.join(MIGRATIONS_FOLDER, name), path.join(older, name), { recursive: true });
    }
    const old = await openEmbeddedInMemory();
    await migrate(old, older);
    const folder = path.join(home, 'older');
    const told = await writeBackup(old, folder, testCipher, ABOUT);
    expect(told.tables.map(({ name }) => name)).not.toContain('column_key');
    await old.close();
    const target = await emptyDatabase();
    const { migrated } = await restoreBackup(target.database, folder, testCipher);
    expect(migrated).toContain('0016_encrypted_contact');
    expect(await pendingMigrations(target.database)).toEqual([]);
    await target.close();
  });
});

describe('a backup that was tampered with', () => {
  let copy: string;
  beforeEach(() => {
    copy = fs.mkdtempSync(path.join(home, 'tampered-'));
    fs.cpSync(backup, copy, { recursive: true });
  });

  const edit = (file: string, change: (text: string) => string): void => {
    const at = path.join(copy, file);
    fs.writeFileSync(at, change(fs.readFileSync(at, 'utf8')));
  };

  test.each([
    [
      'a byte flipped in a table',
      () => edit('patient.jsonl', flipped),
      'patient.jsonl has another',
    ],
    ['a byte flipped in a chain', () => edit('event.jsonl', flipped), 'event.jsonl has another'],
    ['a file missing', () => fs.rmSync(fileOf(copy, 'move')), 'move.jsonl cannot be read'],
    ['a row removed', () => edit('move.jsonl', withoutFirstLine), 'move.jsonl has another'],
    ['a file added', () => fs.writeFileSync(fileOf(copy, 'extra'), ''), 'holds extra.jsonl'],
    ['no manifest', () => fs.rmSync(path.join(copy, 'manifest.json')), 'manifest.json cannot be'],
    ['no seal', () => fs.rmSync(path.join(copy, 'manifest.seal')), 'manifest.seal cannot be'],
    [
      'a manifest edited',
      () => edit('manifest.json', (text) => text.replace('"rows": 1', '"rows": 2')),
      'not the one that was sealed',
    ],
    [
      'a manifest of another time',
      () => edit('manifest.json', (text) => text.replace('2026-03-02', '2026-03-03')),
      'not the one that was sealed',
    ],
    ['a manifest that is none', () => edit('manifest.json', () => '{'), 'manifest.json is no JSON'],
    [
      'a seal exchanged',
      () => edit('manifest.seal', () => 'enc1.test.AAAAAAAAAAAAAAAA.AAAAAAAAAAAAAAAAAAAAAA'),
      'not the one that was sealed',
    ],
  ])('%s: it is told, and nothing is restored', async (_what, tamper, said) => {
    tamper();
    expect(await failure(checkBackup(copy, testCipher))).toContain(said);
    const target = await emptyDatabase();
    expect(await failure(restoreBackup(target.database, copy, testCipher))).toContain(said);
    expect(await isBare(target.database)).toBe(true);
    await target.close();
  });

  /** Somebody with the keys and the program makes another manifest for what was changed. */
  function resealed(tables: Readonly<Record<string, (text: string) => string>>) {
    const sha256 = (text: string) => createHash('sha256').update(text, 'utf8').digest('hex');
    for (const [name, change] of Object.entries(tables)) edit(`${name}.jsonl`, change);
    const changed: Manifest = {
      ...manifest,
      tables: manifest.tables.map((table) => {
        const text = fs.readFileSync(fileOf(copy, table.name), 'utf8');
        return { ...table, rows: text.split('\n').length - 1, sha256: sha256(text) };
      }),
    };
    const text = `${JSON.stringify(changed, null, 2)}\n`;
    fs.writeFileSync(path.join(copy, 'manifest.json'), text);
    const cell = { table: 'backup', column: 'manifest', clinicId: '', rowId: 'castbook-backup-1' };
    fs.writeFileSync(path.join(copy, 'manifest.seal'), testCipher.encryptFor(cell, sha256(text)));
  }

  test.each([
    ['an event removed', { event: withoutLastLine }, 'the chain of events'],
    [
      'an event’s words changed',
      { event: (text: string) => text.replace('patient.added', 'patient.changed') },
      'breaks at event',
    ],
    ['a move removed', { move: withoutLastLine }, 'does not hold'],
    ['a patient removed', { patient: withoutFirstLine }, 'a reference leads nowhere'],
    ['a row twice', { patient: (text: string) => text + text }, 'a row of patient is refused'],
    ['a ciphertext of another row', { patient: exchangedPhone }, 'do not open'],
    ['a custody that no move made', { custody: withoutFirstLine }, 'custody is not the last move'],
  ])('and sealed anew with the keys, %s: the record itself tells', async (_what, change, said) => {
    resealed(change);
    expect(await failure(checkBackup(copy, testCipher))).toBe('nothing');
    const target = await emptyDatabase();
    expect(await failure(restoreBackup(target.database, copy, testCipher))).toContain(said);
    expect(await isBare(target.database)).toBe(true);
    await target.close();
  });

  function exchangedPhone(text: string): string {
    return text.replace(/enc1\.test\.[\w-]+\.[\w-]+/, (kept) => {
      const cell = { table: 'patient', column: 'phone', clinicId: 'other', rowId: 'other' };
      return testCipher.encryptFor(cell, 'x').padEnd(kept.length, 'A');
    });
  }
});

function flipped(text: string): string {
  const at = Math.floor(text.length / 2);
  return text.slice(0, at) + (text[at] === 'a' ? 'b' : 'a') + text.slice(at + 1);
}
function withoutFirstLine(text: string): string {
  return text.slice(text.indexOf('\n') + 1);
}
function withoutLastLine(text: string): string {
  return text.slice(0, text.lastIndexOf('\n', text.length - 2) + 1);
}

describe('keys', () => {
  test('that a backup is under are needed to check and to restore it', async () => {
    const without = columnCipher(OTHER_KEYS);
    expect(await failure(checkBackup(backup, without))).toBe('column-key-missing');
    const impostor = columnCipher([{ id: 'test', bytes: randomBytes(32) }]);
    expect(await failure(checkBackup(backup, impostor))).toContain('not the one that was sealed');
    const target = await emptyDatabase();
    expect(await failure(restoreBackup(target.database, backup, without))).toBe(
      'column-key-missing',
    );
    expect(await isBare(target.database)).toBe(true);
    await target.close();
  });
});

test('killed while it restores, a folder holds nothing that counts', async () => {
  const folder = path.join(home, 'killed');
  const killed = makeEmbedded(folder, async (database) => {
    await restoreBackup(database, backup, testCipher, (what) => {
      if (what.startsWith('All rows')) throw new Error('the power went');
    });
  });
  expect(await failure(killed)).toBe('the power went');
  expect(fs.existsSync(path.join(folder, 'postgres'))).toBe(false);
  // And the next attempt is as the first.
  const made = await makeEmbedded(folder, async (database) => {
    await restoreBackup(database, backup, testCipher);
  });
  expect(made).toBe(true);
});

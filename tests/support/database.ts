/**
 * A migrated database of its own for each test file, on whatever the run is for: the server
 * that DATABASE_URL names, or the embedded PostgreSQL.
 */
import { randomBytes } from 'node:crypto';
import fs from 'node:fs';
import { inject, test } from 'vitest';
import { silentLog, type Database, type DatabaseKind } from '../../src/store/database.ts';
import { openEmbeddedInMemory } from '../../src/store/embedded.ts';
import { withPrisma, type Store } from '../../src/store/open.ts';
import { openServer } from '../../src/store/server.ts';
import { testCipher } from './columnKeys.ts';
import { databaseOn, onServer } from './template.ts';

export const databaseKind: DatabaseKind = inject('testTemplate').kind;

export interface TestDatabase {
  readonly store: Store;
  /** Only on a server: for a second process or a second program on the same database. */
  readonly url: string | undefined;
  close(): Promise<void>;
}

const POOL_MAX = 10;

/** Migrated and empty; `close` it in afterAll. */
export async function testDatabase({ poolMax = POOL_MAX } = {}): Promise<TestDatabase> {
  const from = inject('testTemplate');
  if (from.kind === 'embedded') {
    const store = withPrisma(
      await openEmbeddedInMemory({ loadDataDir: new Blob([fs.readFileSync(from.dumpFile)]) }),
      testCipher,
    );
    return { store, url: undefined, close: () => store.close() };
  }
  const { url, remove } = await createDatabase(from.serverUrl, from.template);
  const store = withPrisma(openServer(url, { log: silentLog, poolMax }), testCipher);
  return {
    store,
    url,
    close: async () => {
      await store.close();
      await remove();
    },
  };
}

export interface BareDatabase {
  readonly database: Database;
  readonly url: string | undefined;
  close(): Promise<void>;
}

let emptyDump: Blob | undefined;

/** Without any migration, for tests of migrating itself. */
export async function emptyDatabase({ poolMax = POOL_MAX } = {}): Promise<BareDatabase> {
  const from = inject('testTemplate');
  if (from.kind === 'embedded') {
    const database = await openEmbeddedInMemory(
      emptyDump === undefined ? {} : { loadDataDir: emptyDump },
    );
    // Loading is some four times faster than making a cluster.
    emptyDump ??= await database.dump();
    return { database, url: undefined, close: () => database.close() };
  }
  const { url, remove } = await createDatabase(from.serverUrl, 'template0');
  const database = openServer(url, { log: silentLog, poolMax });
  return {
    database,
    url,
    close: async () => {
      await database.close();
      await remove();
    },
  };
}

async function createDatabase(serverUrl: string, template: string) {
  const name = `castbook_test_${randomBytes(6).toString('hex')}`;
  await onServer(serverUrl, `create database ${name} template ${template}`);
  return {
    url: databaseOn(serverUrl, name),
    remove: () => onServer(serverUrl, `drop database if exists ${name} with (force)`),
  };
}

/** A test that needs several connections at once; the embedded database has one, and the skip says so. */
export function needsManyConnections(
  title: string,
  run: () => Promise<void>,
  timeoutMs?: number,
): void {
  if (databaseKind === 'server') test(title, run, timeoutMs);
  else test.skip(`${title} [needs many connections: the embedded database has one]`);
}

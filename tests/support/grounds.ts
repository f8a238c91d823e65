/**
 * A founded, stocked clinic for service processes to run on: a data folder, or a database of
 * the server that the run is for. The real clock, since such a service knows no other.
 */
import { randomBytes } from 'node:crypto';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { buildApp } from '../../src/app.ts';
import { makeLog } from '../../src/http/logging.ts';
import type { OwnerSql } from '../../src/store/database.ts';
import { openEmbedded } from '../../src/store/embedded.ts';
import { migrate } from '../../src/store/migrate.ts';
import { withPrisma, type Store } from '../../src/store/open.ts';
import { testCipher } from './columnKeys.ts';
import { clinicOn, TestClock } from './clinic.ts';
import { databaseKind, testDatabase } from './database.ts';
import { stockedShop, type Shop } from './job.ts';

export interface Grounds<Prepared> {
  /** To be spoken to by `shopAt(shop, address)`: the service that prepared it is gone. */
  readonly shop: Shop;
  readonly prepared: Prepared;
  /** What a service process needs in its environment. */
  readonly env: Readonly<Record<string, string>>;
  /** Embedded: where the record lies; for tests of the folder itself. */
  readonly folder: string;
  /** Reads the record as its owner, in one moment of it. Embedded: no service may be running. */
  look<T>(read: (sql: OwnerSql) => Promise<T>): Promise<T>;
  /**
   * For the moment after a kill: takes the record as the killed process left it, so that it
   * can be read while the next service is already at work on the original.
   */
  asLeft(): { look<T>(read: (sql: OwnerSql) => Promise<T>): Promise<T> };
  remove(): Promise<void>;
}

class WallClock extends TestClock {
  override readonly now = (): Date => new Date();
}

/** Founds a clinic, stocks its shop, and does what else a test begins with. */
export async function foundedGrounds<Prepared>(
  prepare: (shop: Shop) => Promise<Prepared>,
): Promise<Grounds<Prepared>> {
  const jwtSecret = randomBytes(48).toString('base64');
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'castbook-grounds-'));
  const removeFolder = () => {
    fs.rmSync(folder, { recursive: true, force: true });
  };
  if (databaseKind === 'embedded') {
    const store = withPrisma(await openEmbedded(folder), testCipher);
    await migrate(store);
    const made = await prepareOn(store, jwtSecret, prepare);
    await store.close();
    return {
      ...made,
      env: { DATA_DIR: folder, JWT_SECRET: jwtSecret },
      folder,
      look: (read) => lookInto(folder, read),
      asLeft: () => {
        const copy = `${folder}-as-left`;
        fs.cpSync(folder, copy, { recursive: true });
        return {
          look: (read) =>
            lookInto(copy, read).finally(() => {
              fs.rmSync(copy, { recursive: true });
            }),
        };
      },
      remove: async () => {
        removeFolder();
      },
    };
  }
  const database = await testDatabase();
  const made = await prepareOn(database.store, jwtSecret, prepare);
  const look = <T>(read: (sql: OwnerSql) => Promise<T>) => inOneMoment(database.store, read);
  return {
    ...made,
    env: { DATABASE_URL: database.url ?? '', DATA_DIR: folder, JWT_SECRET: jwtSecret },
    folder,
    look,
    asLeft: () => ({ look }),
    remove: async () => {
      await database.close();
      removeFolder();
    },
  };
}

async function prepareOn<Prepared>(
  store: Store,
  jwtSecret: string,
  prepare: (shop: Shop) => Promise<Prepared>,
): Promise<{ shop: Shop; prepared: Prepared }> {
  const clock = new WallClock(new Date().toISOString());
  const app = await buildApp({
    store,
    config: {
      jwtSecret,
      publicUrl: 'https://castbook.test',
      trustProxy: false,
      requestsPerMinute: 1_000_000,
      signInsPerMinute: 1_000_000,
    },
    log: makeLog('silent'),
    now: clock.now,
  });
  const address = await app.listen({ port: 0, host: '127.0.0.1' });
  const close = () => app.close();
  const clinic = await clinicOn(
    { app, store, clock, address, logLines: [], close },
    'KL',
    'Europe/Vienna',
  );
  const shop = await stockedShop(clinic, { today: clock.now().toISOString().slice(0, 10) });
  const prepared = await prepare(shop);
  await close();
  return { shop, prepared };
}

async function lookInto<T>(folder: string, read: (sql: OwnerSql) => Promise<T>): Promise<T> {
  const store = withPrisma(await openEmbedded(folder), testCipher);
  try {
    return await inOneMoment(store, read);
  } finally {
    await store.close();
  }
}

const inOneMoment = <T>(store: Store, read: (sql: OwnerSql) => Promise<T>): Promise<T> =>
  store.ownerTransaction(async (sql) => {
    await sql.script('set transaction isolation level repeatable read');
    return read(sql);
  });

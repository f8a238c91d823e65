/** A prepared database and copies of it, on either PostgreSQL; and the bare way to each copy. */
import { randomBytes } from 'node:crypto';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import pg from 'pg';
import type { SqlDriverAdapterFactory } from '@prisma/driver-adapter-utils';
import { silentLog, type Database, type DatabaseKind } from '../../src/store/database.ts';
import { openEmbedded } from '../../src/store/embedded.ts';
import { migrate } from '../../src/store/migrate.ts';
import { columnCipher } from '../../src/store/columnCipher.ts';
import { withPrisma, type Store } from '../../src/store/open.ts';
import { openServer } from '../../src/store/server.ts';
import { databaseOn, onServer } from '../../tests/support/template.ts';
import { endsOrBegins, type Statement } from './statements.ts';

/** As the service opens it by default. */
const POOL_MAX = 10;

/** What is measured encrypts as the service does; the record is thrown away. */
const CIPHER = columnCipher([{ id: 'bench', bytes: randomBytes(32) }]);

export interface BareDatabase {
  /** The statements of one request, on one connection, with nothing between the driver and the route. */
  send(statements: readonly Statement[]): Promise<void>;
  close(): Promise<void>;
}

type Around = (factory: SqlDriverAdapterFactory) => SqlDriverAdapterFactory;

const serviceOn = (database: Database, over: Around = (factory) => factory): Store =>
  withPrisma({ ...database, adapter: over(database.adapter) }, CIPHER);

/** One database that everything is prepared in, and copied from. */
export interface Source {
  readonly kind: DatabaseKind;
  /** Migrated; to be closed before the first copy is made. */
  open(): Promise<Store>;
  /** @param over put around the adapter that the service is given */
  copyForService(over?: Around): Promise<Store>;
  copyForBareRoute(): Promise<BareDatabase>;
  /** Takes everything away again. */
  remove(): Promise<void>;
}

/** @param serverUrl of a server on which databases may be made */
export function onAServer(serverUrl: string): Source {
  const run = `castbook_bench_${randomBytes(4).toString('hex')}`;
  const made: string[] = [];
  const make = async (template: string): Promise<string> => {
    const name = `${run}_${String(made.length)}`;
    made.push(name);
    await onServer(serverUrl, `create database ${name} template ${template}`);
    return databaseOn(serverUrl, name);
  };
  const open = (url: string, over?: Around): Store =>
    serviceOn(openServer(url, { log: silentLog, poolMax: POOL_MAX }), over);
  const source = `${run}_0`;
  return {
    kind: 'server',
    open: async () => {
      const store = open(await make('template0'));
      await migrate(store);
      return store;
    },
    copyForService: async (over) => open(await make(source), over),
    copyForBareRoute: async () => {
      const pool = new pg.Pool({ connectionString: await make(source), max: POOL_MAX });
      // `end` does not wait for the last good-bye, and the database is dropped right after.
      pool.on('error', () => undefined);
      const nameOf = names();
      return {
        send: async (statements) => {
          const client = await pool.connect();
          try {
            for (const { sql, params } of statements) {
              await client.query({ name: nameOf(sql), text: sql, values: [...params] });
            }
          } finally {
            client.release();
          }
        },
        close: () => pool.end(),
      };
    },
    remove: async () => {
      for (const name of made.reverse()) {
        await onServer(serverUrl, `drop database if exists ${name} with (force)`);
      }
    },
  };
}

/** Prepared once per connection, as by the service. */
function names(): (sql: string) => string {
  const known = new Map<string, string>();
  return (sql) => {
    const name = known.get(sql) ?? `bare_${String(known.size)}`;
    known.set(sql, name);
    return name;
  };
}

/** In folders that reach the disk at each commit, as the service keeps them. */
export function onEmbedded(): Source {
  const home = fs.mkdtempSync(path.join(os.tmpdir(), 'castbook-bench-'));
  const source = path.join(home, 'source');
  let copies = 0;
  const copy = (): string => {
    const folder = path.join(home, `copy-${String((copies += 1))}`);
    fs.cpSync(source, folder, { recursive: true });
    return folder;
  };
  return {
    kind: 'embedded',
    open: async () => {
      const store = withPrisma(await openEmbedded(source), CIPHER);
      await migrate(store);
      return store;
    },
    copyForService: async (over) => serviceOn(await openEmbedded(copy()), over),
    copyForBareRoute: async () => {
      const database = await openEmbedded(copy());
      return {
        // PGlite writes BEGIN and COMMIT itself.
        send: (statements) =>
          database.ownerTransaction(async (tx) => {
            for (const statement of statements) {
              if (!endsOrBegins(statement)) await tx.query(statement.sql, statement.params);
            }
          }),
        close: () => database.close(),
      };
    },
    remove: () => fs.promises.rm(home, { recursive: true, force: true }),
  };
}

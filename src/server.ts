/**
 * The running service: opens the store, brings it to this program's schema, listens, and
 * stops in order. `node --import tsx src/server.ts`; scripts/start.ts adds the demo.
 */
import type { FastifyInstance } from 'fastify';
import type { Logger } from 'pino';
import { buildApp } from './app.ts';
import { ConfigProblem, readConfig, type Config } from './config.ts';
import { runLongWork } from './features/longWork/runner.ts';
import { runHeadSigning } from './features/record/headRunner.ts';
import { headSigner } from './features/record/signer.ts';
import { makeLog } from './http/logging.ts';
import { columnCipher } from './store/columnCipher.ts';
import { isToRotate, prepareColumns, rotateKeys } from './store/columnKeys.ts';
import { listenToChanges } from './store/changes.ts';
import { migrate } from './store/migrate.ts';
import { openDatabase, openStore, type Store } from './store/open.ts';
import { StoreProblem } from './store/storeProblem.ts';

export interface Service {
  readonly app: FastifyInstance;
  readonly store: Store;
  /** Where it listens, as http://127.0.0.1:8080. */
  readonly address: string;
  /** Takes no more requests, finishes those under way, closes the store. */
  stop(): Promise<void>;
}

/** Opens the store, migrates it, and sees to it that contact data stand encrypted. @throws StoreProblem */
export async function openMigratedStore(config: Config, log: Logger): Promise<Store> {
  const {
    databaseUrl,
    migrationDatabaseUrl,
    databasePool: poolMax,
    dataFolder,
    columnKeys,
  } = config;
  if (migrationDatabaseUrl !== undefined) {
    const owner = await openDatabase({ databaseUrl: migrationDatabaseUrl, dataFolder, log });
    try {
      await migrate(owner);
      await prepareColumns(owner, columnCipher(columnKeys), log);
    } finally {
      await owner.close();
    }
  }
  const store = await openStore({ databaseUrl, dataFolder, poolMax, log, columnKeys });
  try {
    if (migrationDatabaseUrl === undefined) {
      const applied = await migrate(store);
      if (applied.length > 0) log.info({ applied }, 'migrated');
      await prepareColumns(store, store.cipher, log);
    }
  } catch (failure) {
    await store.close();
    throw failure;
  }
  return store;
}

/**
 * How long requests under way may take once the service is told to stop, and with them
 * clients that never send the rest: Docker kills ten seconds after SIGTERM.
 */
const STOP_WITHIN_MS = 8_000;

/** Listens with an open store; the clock is the machine's. */
export async function serve(config: Config, store: Store, log: Logger): Promise<Service> {
  const changes = listenToChanges(store, log);
  const app = await buildApp({ store, config, log, changes });
  const address = await app.listen({ port: config.port, host: config.host });
  const rotation = store.kind === 'embedded' ? rotateBesides(store, log) : undefined;
  const now = () => new Date();
  const runner = runLongWork({ store, changes, log, now });
  if (config.headSigningKey === undefined) {
    log.warn('HEAD_SIGNING_KEY is missing: no head of the record is signed (R11)');
  }
  const signing =
    config.headSigningKey === undefined
      ? undefined
      : runHeadSigning({ store, log, now, signer: headSigner(config.headSigningKey) });
  return {
    app,
    store,
    address,
    stop: async () => {
      const late = setTimeout(() => {
        log.warn('stopping takes too long: connections are cut');
        app.server.closeAllConnections();
      }, STOP_WITHIN_MS);
      await Promise.all([runner.stop(), signing?.stop(), app.close(), rotation?.stop()]);
      clearTimeout(late);
      await changes.close();
      await store.close();
    },
  };
}

/**
 * The embedded record is this process' alone, so no script can put it under a new key meanwhile:
 * the service does it itself, a batch at a time between its requests.
 */
function rotateBesides(store: Store, log: Logger): { stop: () => Promise<void> } {
  const end = new AbortController();
  const rotate = async () => {
    if (!(await isToRotate(store.raw, store.cipher))) return;
    const { written, retired } = await rotateKeys(store, new Date(), {
      signal: end.signal,
      batch: 100,
    });
    log.info({ written, retired }, 'keys rotated');
  };
  const under = rotate().catch((err: unknown) => {
    log.warn({ err }, 'keys could not be rotated; what was done counts, the next start goes on');
  });
  return {
    stop: () => {
      end.abort();
      return under;
    },
  };
}

/** Ends the process in order on SIGTERM and SIGINT; a second signal ends it at once. */
export function stopOnSignals(service: Service, log: Logger): void {
  let stopping = false;
  const stop = (signal: NodeJS.Signals) => {
    if (stopping) process.exit(1);
    stopping = true;
    log.info({ signal }, 'stopping');
    service.stop().then(
      () => {
        log.info('stopped');
        process.exitCode = 0;
      },
      (err: unknown) => {
        log.error({ err }, 'could not stop in order');
        process.exit(1);
      },
    );
  };
  process.on('SIGTERM', stop);
  process.on('SIGINT', stop);
}

/** Words for whoever starts the service; undefined where the failure is none that has words. */
export const startProblem = (failure: unknown): string | undefined =>
  failure instanceof ConfigProblem || failure instanceof StoreProblem ? failure.message : undefined;

async function main(): Promise<void> {
  const config = readConfig();
  const log = makeLog(config.logLevel);
  const store = await openMigratedStore(config, log);
  const service = await serve(config, store, log);
  stopOnSignals(service, log);
  log.info({ address: service.address, database: store.describe }, 'listening');
}

if (process.argv[1] === import.meta.filename) {
  main().catch((failure: unknown) => {
    process.stderr.write(`${startProblem(failure) ?? String(failure)}\n`);
    process.exitCode = 1;
  });
}

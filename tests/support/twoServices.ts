/**
 * Two services on one record, each with its own log, its own listener and, on a server, its own
 * connections. The embedded database is one process' own: there the two share the store.
 */
import { randomBytes } from 'node:crypto';
import type { FastifyInstance } from 'fastify';
import { buildApp, type AppParts } from '../../src/app.ts';
import { makeLog } from '../../src/http/logging.ts';
import { silentLog } from '../../src/store/database.ts';
import { withPrisma, type Store } from '../../src/store/open.ts';
import { openServer } from '../../src/store/server.ts';
import { testCipher } from './columnKeys.ts';
import { clinicOn, TestClock, type TestClinic } from './clinic.ts';
import { testDatabase } from './database.ts';

export interface Service {
  readonly app: FastifyInstance;
  readonly store: Store;
  readonly address: string;
  close(): Promise<void>;
}

export interface TwoServices {
  /** The clinic, spoken to at the first. */
  readonly clinic: TestClinic;
  readonly first: Service;
  readonly second: Service;
  /** One more on the same record. */
  another(parts?: Partial<AppParts>): Promise<Service>;
  close(): Promise<void>;
}

export async function twoServices(parts: Partial<AppParts> = {}): Promise<TwoServices> {
  const database = await testDatabase();
  const clock = new TestClock('2026-03-02T09:00:00Z');
  const jwtSecret = randomBytes(48).toString('base64');
  const running = new Set<Service>();
  const another = async (own: Partial<AppParts> = parts): Promise<Service> => {
    const store =
      database.url === undefined
        ? database.store
        : withPrisma(openServer(database.url, { log: silentLog, poolMax: 5 }), testCipher);
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
      ...own,
    });
    const address = await app.listen({ port: 0, host: '127.0.0.1' });
    const service: Service = {
      app,
      store,
      address,
      close: async () => {
        if (!running.delete(service)) return;
        await app.close();
        if (store !== database.store) await store.close();
      },
    };
    running.add(service);
    return service;
  };
  const [first, second] = [await another(), await another()];
  const close = async () => {
    for (const service of [...running]) await service.close();
    await database.close();
  };
  const spoken = { app: first.app, store: database.store, clock, address: first.address };
  const clinic = await clinicOn({ ...spoken, logLines: [], close }, 'KL', 'Europe/Vienna');
  return { clinic, first, second, another, close };
}

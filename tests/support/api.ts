/** The service on a database of its own, with a founded clinic, for a test file. */
import { randomBytes, type KeyObject } from 'node:crypto';
import { buildApp } from '../../src/app.ts';
import { makeLog } from '../../src/http/logging.ts';
import type { Outward } from '../../src/access/openidFetch.ts';
import type { Store } from '../../src/store/open.ts';
import { clinicOn, TestClock, type TestClinic } from './clinic.ts';
import { testDatabase } from './database.ts';

export * from './clinic.ts';

interface TestClinicOptions {
  readonly at?: string;
  readonly numberPrefix?: string;
  readonly timeZone?: string;
  readonly requestsPerMinute?: number;
  readonly signInsPerMinute?: number;
  /** Signs heads of the record; none are signed without it. */
  readonly headSigningKey?: KeyObject;
  readonly requestsPerPersonPerMinute?: number;
  readonly requestWithinMs?: number;
  /** By which providers are asked, where plain http to this machine is allowed. */
  readonly outward?: Outward;
  readonly publicUrl?: string;
  /** Left out: any that is free. */
  readonly port?: number;
  /** Stands in for parts of the store, to see what happens when they fail. */
  readonly tampered?: (store: Store) => Store;
}

/** A clinic on a service of its own; `close()` it in afterAll. */
export async function testClinic({
  at = '2026-03-02T09:00:00Z',
  numberPrefix = 'KL',
  timeZone = 'Europe/Vienna',
  requestsPerMinute = 1_000_000,
  signInsPerMinute = 1_000_000,
  headSigningKey,
  requestsPerPersonPerMinute = 1_000_000,
  requestWithinMs,
  outward,
  publicUrl = 'https://castbook.test',
  port = 0,
  tampered = (store) => store,
}: TestClinicOptions = {}): Promise<TestClinic> {
  const database = await testDatabase();
  const store = tampered(database.store);
  const clock = new TestClock(at);
  const logLines: string[] = [];
  const app = await buildApp({
    store,
    config: {
      jwtSecret: randomBytes(48).toString('base64'),
      publicUrl,
      trustProxy: false,
      requestsPerMinute,
      signInsPerMinute,
      headSigningKey,
      requestsPerPersonPerMinute,
      openId: { allowedHosts: [], loopbackHttp: outward !== undefined },
    },
    ...(requestWithinMs === undefined ? {} : { requestWithinMs }),
    log: makeLog('trace', { write: (line) => void logLines.push(line) }),
    now: clock.now,
    ...(outward === undefined ? {} : { outward }),
  });
  const address = await app.listen({ port, host: '127.0.0.1' });
  const close = async () => {
    await app.close();
    await database.close();
  };
  const service = { app, store: database.store, clock, address, logLines, close };
  return clinicOn(service, numberPrefix, timeZone);
}

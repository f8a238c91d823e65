/**
 * A connection of its own that listens. PostgreSQL keeps nothing for a listener that is away,
 * so one whose connection was renewed is told to look at everything again.
 */
import pg from 'pg';
import { waitAfter } from './backoff.ts';
import type { StoreLog } from './database.ts';

const CONNECTION_WAIT_MS = 20_000;
/** A dead connection (a pulled cable, a firewall that forgot it) says nothing by itself. Common practice, no source. */
const STILL_THERE_EVERY_MS = 30_000;

export interface Listener {
  /** @param payload of a NOTIFY; empty: some may have been missed, look again */
  readonly heard: (payload: string) => void;
  readonly lost: () => void;
}

/**
 * Listens until it is stopped; a lost connection is renewed with growing waits.
 * @param channel checked
 * @returns stops
 */
export async function listenOn(
  connectionString: string,
  channel: string,
  { heard, lost }: Listener,
  log: StoreLog,
): Promise<() => Promise<void>> {
  let stopped = false;
  let failures = 0;
  let waiting: NodeJS.Timeout | undefined;
  let asking: NodeJS.Timeout | undefined;
  let client: pg.Client;

  const start = async () => {
    const fresh = new pg.Client({
      connectionString,
      keepAlive: true,
      connectionTimeoutMillis: CONNECTION_WAIT_MS,
      query_timeout: CONNECTION_WAIT_MS,
      application_name: 'castbook listening',
    });
    client = fresh;
    fresh.on('notification', ({ payload }) => {
      heard(payload ?? '');
    });
    fresh.on('error', (err) => {
      log.warn({ err, channel }, 'the listening connection was lost');
    });
    try {
      await fresh.connect();
      await fresh.query(`LISTEN ${channel}`);
    } catch (error) {
      await fresh.end().catch(() => undefined);
      throw error;
    }
    if (stopped) return fresh.end();
    failures = 0;
    fresh.once('end', () => {
      clearInterval(asking);
      if (stopped) return;
      lost();
      again();
    });
    asking = setInterval(() => {
      // Its failure ends the connection, and with it comes all the rest.
      fresh.query('select 1 as answers').catch(() => fresh.end().catch(() => undefined));
    }, STILL_THERE_EVERY_MS);
    asking.unref();
  };
  const again = () => {
    if (stopped) return;
    waiting = setTimeout(
      () => {
        start().then(
          () => {
            if (!stopped) heard('');
          },
          (err: unknown) => {
            log.warn({ err, channel }, 'listening could not be renewed yet');
            again();
          },
        );
      },
      waitAfter((failures += 1)),
    );
    waiting.unref();
  };

  await start();
  return async () => {
    stopped = true;
    clearTimeout(waiting);
    clearInterval(asking);
    await client.end().catch(() => undefined);
  };
}

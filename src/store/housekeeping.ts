/**
 * The embedded PostgreSQL runs without autovacuum and without a checkpointer: left alone, its
 * log and the dead versions of rows grow for as long as the service runs. This does their work
 * now and then: after so much new log, never inside a transaction (PGlite queues it for the
 * one connection like any other statement), and never two at once.
 */
import type { PGlite } from '@electric-sql/pglite';
import type { StoreLog } from './database.ts';

export interface Housekeeping {
  /** Told after every statement or transaction that may have written. */
  noteWrite(): void;
  /** Stops, once what is under way has ended. */
  stop(): Promise<void>;
}

/** Asking for the size of the log costs a statement, so it is asked once in so many writes. */
const LOOK_EVERY_WRITES = 64;
/** And at least this often where something was written, so that a quiet evening ends tidy. */
const LOOK_EVERY_MS = 60_000;
/** New log that calls for a checkpoint and a vacuum. Common practice, no source. */
const LOG_BYTES = 24 * 1024 * 1024;

export function startHousekeeping(pglite: PGlite, log: StoreLog): Housekeeping {
  let writes = 0;
  let doneAt = 0;
  let stopped = false;
  let underWay: Promise<void> | undefined;

  const written = async () => {
    const { rows } = await pglite.query<{ bytes: string }>(
      `select pg_wal_lsn_diff(pg_current_wal_insert_lsn(), '0/0')::text as bytes`,
    );
    return Number(rows[0]?.bytes);
  };
  const work = async () => {
    const before = await written();
    if (doneAt === 0) doneAt = before;
    if (before - doneAt < LOG_BYTES || stopped) return;
    // Vacuum first: the checkpoint then carries its pages too and frees the log behind both.
    await pglite.exec('VACUUM (ANALYZE)');
    // eslint-disable-next-line @typescript-eslint/no-unnecessary-condition -- close() may have come meanwhile
    if (!stopped) await pglite.exec('CHECKPOINT');
    doneAt = await written();
  };
  const look = () => {
    if (stopped || underWay !== undefined || writes === 0) return;
    writes = 0;
    underWay = work()
      .catch((err: unknown) => {
        if (!stopped) log.warn({ err }, 'housekeeping of the embedded database failed');
      })
      .finally(() => (underWay = undefined));
  };
  const timer = setInterval(look, LOOK_EVERY_MS);
  timer.unref();

  return {
    noteWrite: () => {
      writes += 1;
      if (writes >= LOOK_EVERY_WRITES) look();
    },
    stop: async () => {
      stopped = true;
      clearInterval(timer);
      await underWay;
    },
  };
}

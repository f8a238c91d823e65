import { z } from 'zod';
import { judgeRecordedAt } from '../domain/benchTime.ts';
import { saidIn, tellsInstants } from '../domain/saidIn.ts';
import type { Role } from '../domain/words.ts';
import { writeEvents, type NewEvent } from './events.ts';
import { asRefusal, isWorthAnotherTry } from './failures.ts';
import type { Store } from './open.ts';
import { orRefuse, Refused } from './refused.ts';
import { parseRows } from './rows.ts';
import type { Tx } from './tx.ts';

export type { Tx } from './tx.ts';

/** Who asks, as the access token says. */
export interface Caller {
  readonly clinicId: string;
  readonly personId: string;
  readonly printedName: string;
  readonly roles: readonly Role[];
  /** The session in which it is asked; none for work that was asked before. */
  readonly familyId?: string;
}

/** One act of one person at one time: a transaction, its facts, its events. */
export interface Act {
  readonly tx: Tx;
  readonly clinicId: string;
  readonly by: Caller;
  readonly at: Date;
  /** When it was recorded at the bench, where the request says so: at the latest `at`. */
  readonly benchAt: Date | null;
  /** Notes an event; all are written at the end of the transaction, together (R11). */
  record(event: NewEvent): void;
}

/** A transaction in one clinic's scope (R12), without a person: sign-in, start-up, reports. */
export async function inClinic<T>(
  store: Store,
  clinicId: string,
  work: (tx: Tx) => Promise<T>,
): Promise<T> {
  for (let attempt = 1; ; attempt += 1) {
    try {
      return await store.prisma.$transaction(async (tx) => {
        await enterClinic(tx, clinicId);
        return work(tx);
      });
    } catch (failure) {
      if (attempt < 4 && isWorthAnotherTry(failure)) continue;
      throw await saidAtClinic(store, clinicId, asRefusal(failure));
    }
  }
}

/**
 * Performs an act: opens the transaction, sets the clinic, does the work, writes
 * the events. A refusal or a failure leaves nothing behind.
 * @param recordedAt when the person recorded it, where that was said
 */
export const perform = <T>(
  store: Store,
  caller: Caller,
  at: Date,
  work: (act: Act) => Promise<T>,
  recordedAt?: Date,
): Promise<T> => inClinic(store, caller.clinicId, (tx) => actOn(tx, caller, at, work, recordedAt));

/**
 * As `perform`, by whomever the transaction itself finds: for work that was asked before.
 * @returns undefined where it finds nobody; nothing is done then
 */
export const performFor = <T>(
  store: Store,
  clinicId: string,
  at: Date,
  find: (tx: Tx) => Promise<Caller | undefined>,
  work: (act: Act) => Promise<T>,
): Promise<T | undefined> =>
  inClinic(store, clinicId, async (tx) => {
    const caller = await find(tx);
    return caller === undefined ? undefined : actOn(tx, caller, at, work);
  });

async function actOn<T>(
  tx: Tx,
  by: Caller,
  at: Date,
  work: (act: Act) => Promise<T>,
  recordedAt?: Date,
): Promise<T> {
  const { clinicId, personId } = by;
  const events: NewEvent[] = [];
  const benchAt = recordedAt === undefined ? null : orRefuse(judgeRecordedAt(recordedAt, at));
  const value = await work({
    tx,
    clinicId,
    by,
    at,
    benchAt,
    record: (event) => void events.push(benchAt === null ? event : noted(event, benchAt)),
  });
  await writeEvents(tx, { clinicId, personId, at }, events);
  return value;
}

const ZoneRow = z.object({ timeZone: z.string() });

/** A refusal that tells an instant tells it in the clinic's zone (R16); the transaction that it ended is over. */
async function saidAtClinic(store: Store, clinicId: string, failure: unknown): Promise<unknown> {
  if (!(failure instanceof Refused) || !failure.reasons.some(tellsInstants)) return failure;
  const [row] = parseRows(
    ZoneRow,
    await store.prisma.$transaction(async (tx) => {
      await enterClinic(tx, clinicId);
      return tx.$queryRaw`select time_zone as "timeZone" from clinic where id = ${clinicId}::uuid`;
    }),
  );
  if (row === undefined) return failure;
  const said = failure.reasons.map((made) => saidIn(row.timeZone, made));
  return new Refused(said, { cause: failure });
}

/** An event tells beside its own time, that of arrival, when it was recorded. */
const noted = (event: NewEvent, benchAt: Date): NewEvent => ({
  ...event,
  data: { ...event.data, recordedAt: benchAt.toISOString() },
});

/** When the work was done, as far as is known. */
export const workedAt = ({ at, benchAt }: Pick<Act, 'at' | 'benchAt'>): Date => benchAt ?? at;

/** Role and clinic in one statement, until the transaction ends. */
async function enterClinic(tx: Tx, clinicId: string): Promise<void> {
  await tx.$queryRaw`select set_config('role', 'castbook_app', true), set_config('app.clinic', ${clinicId}, true)`;
}

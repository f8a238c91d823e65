import type { Role } from '../domain/words.ts';
import { writeEvents, type NewEvent } from './events.ts';
import { asRefusal, isWorthAnotherTry } from './failures.ts';
import type { Store } from './open.ts';
import type { Tx } from './tx.ts';

export type { Tx } from './tx.ts';

/** Who asks, as the access token says. */
export interface Caller {
  readonly clinicId: string;
  readonly personId: string;
  readonly printedName: string;
  readonly roles: readonly Role[];
}

/** One act of one person at one time: a transaction, its facts, its events. */
export interface Act {
  readonly tx: Tx;
  readonly clinicId: string;
  readonly by: Caller;
  readonly at: Date;
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
      throw asRefusal(failure);
    }
  }
}

/**
 * Performs an act: opens the transaction, sets the clinic, does the work, writes
 * the events. A refusal or a failure leaves nothing behind.
 */
export const perform = <T>(
  store: Store,
  caller: Caller,
  at: Date,
  work: (act: Act) => Promise<T>,
): Promise<T> => inClinic(store, caller.clinicId, (tx) => actOn(tx, caller, at, work));

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

async function actOn<T>(tx: Tx, by: Caller, at: Date, work: (act: Act) => Promise<T>): Promise<T> {
  const { clinicId, personId } = by;
  const events: NewEvent[] = [];
  const value = await work({ tx, clinicId, by, at, record: (event) => void events.push(event) });
  await writeEvents(tx, { clinicId, personId, at }, events);
  return value;
}

/** Role and clinic in one statement, until the transaction ends. */
async function enterClinic(tx: Tx, clinicId: string): Promise<void> {
  await tx.$queryRaw`select set_config('role', 'castbook_app', true), set_config('app.clinic', ${clinicId}, true)`;
}

import { z } from 'zod';
import { judgeRecordedAt } from '../domain/benchTime.ts';
import { reason } from '../domain/reasons/index.ts';
import { saidIn, tellsInstants } from '../domain/saidIn.ts';
import { rolesWithin, type Reach } from '../domain/secondFactor.ts';
import { ROLES, type Role } from '../domain/words.ts';
import type { ColumnCipher } from './columnCipher.ts';
import { writeEvents, type NewEvent } from './events.ts';
import { asRefusal, isWorthAnotherTry } from './failures.ts';
import type { Store } from './open.ts';
import { orRefuse, Refused } from './refused.ts';
import { parseRows } from './rows.ts';
import type { Tx } from './tx.ts';

export type { Tx } from './tx.ts';

/** Who asks, as the access token says; `inSession` compares it with what stands. */
export interface Caller {
  readonly clinicId: string;
  readonly personId: string;
  readonly printedName: string;
  readonly roles: readonly Role[];
  /** The session that is asked from; none where the service itself does what was asked before. */
  readonly familyId?: string;
  /** What the sign-in reaches; left out: all that its roles may. */
  readonly reach?: Reach;
}

/** One act of one person at one time: a transaction, its facts, its events. */
export interface Act {
  readonly tx: Tx;
  readonly clinicId: string;
  readonly by: Caller;
  readonly at: Date;
  /** For what single columns keep encrypted. */
  readonly cipher: ColumnCipher;
  /** When it was recorded at the bench, where the request says so: at the latest `at`. */
  readonly benchAt: Date | null;
  /** Notes an event; all are written at the end of the transaction, together (R11). */
  record(event: NewEvent): void;
}

/** A transaction in one clinic's scope (R12), without a person: sign-in, start-up, reports. */
export const inClinic = <T>(
  store: Store,
  clinicId: string,
  work: (tx: Tx) => Promise<T>,
): Promise<T> => within(store, { clinicId }, work);

/**
 * A transaction in the caller's clinic, if the caller's session stands at this moment.
 * @throws Refused 'session-ended', 'access-changed'
 */
export const inSession = <T>(
  store: Store,
  caller: Caller,
  work: (tx: Tx) => Promise<T>,
): Promise<T> => within(store, caller, work);

/** Where a transaction is, and for whom where somebody asks. */
type Scope = Caller | { readonly clinicId: string };

async function within<T>(store: Store, scope: Scope, work: (tx: Tx) => Promise<T>): Promise<T> {
  const { clinicId } = scope;
  for (let attempt = 1; ; attempt += 1) {
    try {
      return await store.prisma.$transaction(async (tx) => {
        if ('familyId' in scope) await enterInSession(tx, scope);
        else await enterClinic(tx, clinicId);
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
): Promise<T> =>
  inSession(store, caller, (tx) => actOn(tx, store.cipher, caller, at, work, recordedAt));

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
    return caller === undefined ? undefined : actOn(tx, store.cipher, caller, at, work);
  });

async function actOn<T>(
  tx: Tx,
  cipher: ColumnCipher,
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
    cipher,
    benchAt,
    record: (event) => void events.push(benchAt === null ? event : noted(event, benchAt)),
  });
  await writeEvents(tx, { clinicId, personId, at, cipher }, events);
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

const StandingRow = z.object({ roles: z.array(z.enum(ROLES)).nullable() });

/**
 * As `enterClinic`, and in the same statement what the session is worth at this moment: a
 * token says for ten minutes what has been true, so an ended session, a person who left and
 * a role that was taken would go on for as long.
 */
async function enterInSession(
  tx: Tx,
  { clinicId, personId, familyId = '', reach = 'whole', roles }: Caller,
): Promise<void> {
  const [standing] = parseRows(
    StandingRow,
    await tx.$queryRaw`select set_config('role', 'castbook_app', true), set_config('app.clinic', ${clinicId}, true),
      session_roles(${clinicId}::uuid, ${familyId}::uuid, ${personId}::uuid) as roles`,
  );
  if (standing?.roles == null) throw new Refused([reason('session-ended', {})]);
  // By PIN a token has of the person's roles only those of the bench.
  const now = rolesWithin(reach, standing.roles);
  if (now.length !== roles.length || !roles.every((role) => now.includes(role))) {
    throw new Refused([reason('access-changed', {})]);
  }
}

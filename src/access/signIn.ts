/**
 * Signing in, staying signed in, and proving again who one is.
 *
 * Every attempt is counted as failed before the password is looked at and the count ended
 * when it was right, so that a hundred attempts at once are not a hundred guesses. The
 * costly hash is computed outside any transaction.
 */
import { setTimeout as wait } from 'node:timers/promises';
import { v7 as uuidv7 } from 'uuid';
import type { EventKind } from '../domain/eventKinds.ts';
import { reason, type Reason } from '../domain/reasons/index.ts';
import { inClinic, type Caller, type Tx } from '../store/act.ts';
import { writeEvents } from '../store/events.ts';
import type { Store } from '../store/open.ts';
import { personById, type PersonRow } from '../store/people.ts';
import { Refused } from '../store/refused.ts';
import {
  endFamily,
  enterClinicOf,
  familyOfUsedToken,
  forgiveUsedToken,
  lockSignInName,
  NOBODY,
  spendRefreshToken,
  writeFailures,
  writeRefreshToken,
  writeSuccess,
  type SignInName,
} from '../store/signIns.ts';
import { lockedForS, lockedUntil, type Strangers } from './lockOut.ts';
import { hashPassword, isOutdated, passwordFits } from './passwords.ts';
import {
  clinicOfRefreshToken,
  newRefreshToken,
  refreshTokenSha256,
  type SignedIn,
} from './tokens.ts';

/** A working day without a sign-in in between; after thirty days the password is asked again (NIST SP 800-63B-4, AAL1, from memory). */
const IDLE_MS = 12 * 3_600_000;
const FAMILY_MS = 30 * 24 * 3_600_000;

/** A refusal takes at least this long, whether the name exists or not. */
const REFUSAL_MS = 250;

export interface SignInResult {
  readonly caller: SignedIn;
  readonly person: PersonRow;
  readonly refreshToken: string;
}

/**
 * Signs a person in by address and password.
 * @throws Refused 'sign-in-failed', 'sign-in-locked'
 */
export async function signIn(
  store: Store,
  strangers: Strangers,
  { email, password }: { email: string; password: string },
  at: Date,
): Promise<SignInResult> {
  const began = performance.now();
  const untilDue = () => wait(Math.max(0, REFUSAL_MS - (performance.now() - began)));
  const attempt = await inClinic(store, NOBODY, async (tx) => {
    const who = await enterClinicOf(tx, email);
    return { who, ...(await countAttempt(tx, who.clinicId, who.personId, at)) };
  });
  const { who, name } = attempt;
  const waitS = name === undefined ? strangers.attempt(email, at) : attempt.waitS;
  const fits = await passwordFits(name?.passwordHash, password);
  if (waitS !== undefined) {
    await untilDue();
    throw new Refused([reason('sign-in-locked', { retryAfterS: waitS })]);
  }
  if (name === undefined || !fits || !name.active) {
    if (name !== undefined) await noteFailure(store, who, null, 'sign_in', attempt.failures, at);
    await untilDue();
    throw new Refused([reason('sign-in-failed', {})]);
  }
  const betterHash = isOutdated(name.passwordHash) ? await hashPassword(password) : null;
  return inClinic(store, who.clinicId, async (tx) => {
    const { clinicId, personId } = who;
    const still = await writeSuccess(tx, clinicId, personId, name.passwordHash, betterHash);
    const person = await personById(tx, clinicId, personId);
    if (still === 0 || person === undefined) throw new Refused([reason('sign-in-failed', {})]);
    const familyId = uuidv7();
    const begins = { familyId, familyBegan: at, id: null };
    const result = await beginSession(tx, clinicId, person, begins, at);
    await writeEvents(tx, { clinicId, personId, at }, [
      { kind: 'person.signed_in', subjectKind: 'person', subjectId: personId, data: { familyId } },
    ]);
    return result;
  });
}

/**
 * An answer can be lost: the page was reloaded, the network went. Who shows the same token
 * again so soon, and has not used what it gave, gets another pair. Common practice, no source.
 */
const LOST_ANSWER_MS = 30_000;

/**
 * Gives a new pair of tokens for a refresh token, once; and once more within
 * `LOST_ANSWER_MS`, where the pair that it gave was not used: that one then counts as used.
 * So there is never more than one token of a family that counts. Any other that was used
 * before ends its whole family: somebody else may have it. Where a thief gets the second
 * pair the owner's next refresh shows a used token, where the owner gets it the thief's does:
 * either way it comes to light, and ends for both.
 * @throws Refused 'refresh-token-not-valid', 'refresh-token-reused'
 */
export async function refresh(store: Store, token: string, at: Date): Promise<SignInResult> {
  const clinicId = clinicOfRefreshToken(token);
  if (clinicId === undefined) throw new Refused([reason('refresh-token-not-valid', {})]);
  const sha256 = refreshTokenSha256(token);
  // A reuse must end the family for good, so it is an outcome of this transaction, not a refusal that rolls it back.
  const outcome = await inClinic(store, clinicId, async (tx): Promise<SignInResult | Reason> => {
    const spent = await spendRefreshToken(tx, clinicId, sha256, at);
    if (spent === undefined) {
      const since = new Date(at.getTime() - LOST_ANSWER_MS);
      const forgiven = await forgiveUsedToken(tx, clinicId, sha256, since, at);
      if (forgiven === undefined) return endReusedFamily(tx, clinicId, sha256, at);
      return goOn(tx, clinicId, forgiven, at, 'person.refresh_token_shown_again');
    }
    return goOn(tx, clinicId, spent, at);
  });
  if ('code' in outcome) throw new Refused([outcome]);
  return outcome;
}

/** The next pair of a family, with the roles of now. @param event noted where it is not the usual way */
async function goOn(
  tx: Tx,
  clinicId: string,
  shown: Family & { readonly id: string; readonly personId: string },
  at: Date,
  event?: EventKind,
): Promise<SignInResult | Reason> {
  const { personId, familyId } = shown;
  const person = await personById(tx, clinicId, personId);
  if (!person?.active) return reason('refresh-token-not-valid', {});
  const result = await beginSession(tx, clinicId, person, shown, at);
  if (event !== undefined) {
    await writeEvents(tx, { clinicId, personId, at }, [
      { kind: event, subjectKind: 'person', subjectId: personId, data: { familyId } },
    ]);
  }
  return result;
}

async function endReusedFamily(
  tx: Tx,
  clinicId: string,
  sha256: string,
  at: Date,
): Promise<Reason> {
  const used = await familyOfUsedToken(tx, clinicId, sha256);
  if (used === undefined) return reason('refresh-token-not-valid', {});
  const { personId, familyId } = used;
  const ended = await endFamily(tx, clinicId, familyId, at);
  if (ended > 0) {
    await writeEvents(tx, { clinicId, personId: null, at }, [
      {
        kind: 'person.refresh_token_reused',
        subjectKind: 'person',
        subjectId: personId,
        data: { familyId, ended },
      },
    ]);
  }
  return reason('refresh-token-reused', {});
}

/** A sign-in with all the tokens that came of it. */
interface Family {
  readonly familyId: string;
  readonly familyBegan: Date;
  /** Of the token that was shown; null where it begins. */
  readonly id: string | null;
}

async function beginSession(
  tx: Tx,
  clinicId: string,
  person: PersonRow,
  { familyId, familyBegan, id }: Family,
  at: Date,
): Promise<SignInResult> {
  const refreshToken = newRefreshToken(clinicId);
  await writeRefreshToken(tx, {
    clinicId,
    personId: person.id,
    familyId,
    cameFromId: id,
    tokenSha256: refreshTokenSha256(refreshToken),
    issuedAt: at,
    expiresAt: new Date(Math.min(at.getTime() + IDLE_MS, familyBegan.getTime() + FAMILY_MS)),
  });
  const { id: personId, printedName, roles } = person;
  return { caller: { clinicId, personId, printedName, roles, familyId }, person, refreshToken };
}

declare const proven: unique symbol;

/** Somebody whose password has just been checked, at this very act (21 CFR 11.200). */
export interface Reauthenticated {
  readonly [proven]: true;
  readonly clinicId: string;
  readonly personId: string;
  readonly printedName: string;
}

/**
 * Checks the caller's own password again. To be called before the transaction that signs.
 * @param occasion what a wrong password is refused as
 * @throws Refused `occasion`, 'sign-in-locked'
 */
export async function reauthenticate(
  store: Store,
  caller: Caller,
  password: string,
  at: Date,
  occasion: 'signature-not-verified' | 'password-not-verified' = 'signature-not-verified',
): Promise<Reauthenticated> {
  const { clinicId, personId } = caller;
  const { name, waitS, failures } = await inClinic(store, clinicId, (tx) =>
    countAttempt(tx, clinicId, personId, at),
  );
  if (waitS !== undefined) throw new Refused([reason('sign-in-locked', { retryAfterS: waitS })]);
  const fits = await passwordFits(name?.passwordHash, password);
  if (name !== undefined && fits && name.active) {
    const still = await inClinic(store, clinicId, (tx) =>
      writeSuccess(tx, clinicId, personId, name.passwordHash, null),
    );
    // The one place that makes the brand.
    if (still > 0) return { clinicId, personId, printedName: name.printedName } as Reauthenticated;
  }
  await noteFailure(store, caller, personId, occasion, failures, at);
  throw new Refused([reason(occasion, {})]);
}

interface Attempt {
  readonly name: SignInName | undefined;
  /** Seconds still locked; the attempt is then not counted. */
  readonly waitS: number | undefined;
  readonly failures: number;
}

async function countAttempt(
  tx: Tx,
  clinicId: string,
  personId: string,
  at: Date,
): Promise<Attempt> {
  const name = await lockSignInName(tx, clinicId, personId);
  const before = name?.failedSignIns ?? 0;
  const waitS = lockedForS(name?.lockedUntil ?? null, at);
  if (waitS !== undefined) return { name, waitS, failures: before };
  const failures = before + 1;
  await writeFailures(tx, clinicId, personId, failures, lockedUntil(failures, at));
  return { name, waitS: undefined, failures };
}

const noteFailure = (
  store: Store,
  { clinicId, personId }: { clinicId: string; personId: string },
  by: string | null,
  occasion: string,
  failures: number,
  at: Date,
): Promise<void> =>
  inClinic(store, clinicId, (tx) =>
    writeEvents(tx, { clinicId, personId: by, at }, [
      {
        kind: 'person.sign_in_failed',
        subjectKind: 'person',
        subjectId: personId,
        data: { occasion, failures, lockedUntil: lockedUntil(failures, at)?.toISOString() ?? null },
      },
    ]),
  );

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
import { reachOf, rolesWithin } from '../domain/secondFactor.ts';
import type { SignInWay } from '../domain/words.ts';
import { inClinic, inSession, type Caller, type Tx } from '../store/act.ts';
import { textSha256, writeEvents } from '../store/events.ts';
import type { Store } from '../store/open.ts';
import { spendProof } from '../store/openid.ts';
import { personById, type PersonRow } from '../store/people.ts';
import { Refused } from '../store/refused.ts';
import { confirmedFactorOf, secondFactorAskedBy } from '../store/secondFactors.ts';
import { endSession, useSession, writeSession, type UsedSession } from '../store/sessions.ts';
import {
  enterClinicOf,
  familyOfUsedToken,
  forgiveUsedToken,
  lockSignInName,
  NOBODY,
  spendRefreshToken,
  takeFailureBack,
  writeFailures,
  writeRefreshToken,
  writeSuccess,
  type SignInName,
} from '../store/signIns.ts';
import { takeCode } from './secondFactorCodes.ts';
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

/** Somebody who has proved who they are, by whatever way: enough to begin a session. */
export interface Proof {
  readonly clinicId: string;
  readonly personId: string;
  readonly how: SignInWay;
  /** A code of the second factor was typed; by PIN: for the sign-in that the PIN came from. */
  readonly withSecondFactor?: boolean;
  /** The PIN of a bench device that it was proved by. */
  readonly pin?: { readonly id: string; readonly goodUntil: Date };
  /** Whether what was proved still counts, asked in the transaction that begins the session. */
  readonly stillHolds: (tx: Tx) => Promise<boolean>;
}

/**
 * Signs a person in by address and password.
 * @param device as domain/devices.ts tells it
 * @throws Refused 'sign-in-failed', 'sign-in-locked', 'second-factor-asked', 'second-factor-wrong'
 */
export async function signIn(
  store: Store,
  strangers: Strangers,
  { device, oneTimeCode, ...given }: GivenToSignIn,
  at: Date,
): Promise<SignInResult> {
  const proof = await provePassword(store, strangers, given, at);
  const strong = await proveSecondFactor(store, proof, oneTimeCode, at);
  return beginSession(store, strong, device, at);
}

export interface GivenToSignIn {
  readonly email: string;
  readonly password: string;
  readonly oneTimeCode?: string | undefined;
  readonly device: string;
}

/** A right password, and the attempt that it was: a wrong code leaves it counted as failed. */
export interface PasswordProof extends Proof {
  readonly failures: number;
}

/**
 * The second step, for whoever has a second factor. Asked for the code nothing is counted; a
 * wrong one leaves the attempt counted, and the name locked like after wrong passwords.
 * @throws Refused 'second-factor-asked', 'second-factor-wrong'
 */
export async function proveSecondFactor(
  store: Store,
  proof: PasswordProof,
  oneTimeCode: string | undefined,
  at: Date,
): Promise<Proof> {
  const { clinicId, personId, failures } = proof;
  const outcome = await inClinic(store, clinicId, async (tx) => {
    const factor = await confirmedFactorOf(tx, store.cipher, clinicId, personId);
    if (factor === undefined) return 'none';
    if (oneTimeCode === undefined) {
      await takeFailureBack(tx, clinicId, personId, lockedUntil(failures, at));
      return 'asked';
    }
    return (await takeCode(tx, proof, factor, oneTimeCode, at)) ? 'right' : 'wrong';
  });
  switch (outcome) {
    case 'none': {
      // Who adds one at this moment signs other devices out: the two wait for each other at the person's row.
      const stillHolds = async (tx: Tx) =>
        (await proof.stillHolds(tx)) &&
        (await confirmedFactorOf(tx, store.cipher, clinicId, personId)) === undefined;
      return { ...proof, stillHolds };
    }
    case 'right':
      return { ...proof, withSecondFactor: true };
    case 'asked':
      throw new Refused([reason('second-factor-asked', {})]);
    case 'wrong':
      await noteFailure(store, proof, null, 'second_factor', failures, at);
      throw new Refused([reason('second-factor-wrong', {})]);
  }
}

/**
 * Finds who has an address, and whether the password is theirs.
 * @throws Refused 'sign-in-failed', 'sign-in-locked'
 */
export async function provePassword(
  store: Store,
  strangers: Strangers,
  { email, password }: { email: string; password: string },
  at: Date,
): Promise<PasswordProof> {
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
  const passwordHash = name?.passwordHash ?? null;
  if (name === undefined || passwordHash === null || !fits || !name.active) {
    if (name !== undefined) await noteFailure(store, who, null, 'sign_in', attempt.failures, at);
    await untilDue();
    throw new Refused([reason('sign-in-failed', {})]);
  }
  const { clinicId, personId } = who;
  const betterHash = isOutdated(passwordHash) ? await hashPassword(password) : null;
  const stillHolds = async (tx: Tx) =>
    (await writeSuccess(tx, clinicId, personId, passwordHash, betterHash)) > 0;
  return { clinicId, personId, how: 'password', stillHolds, failures: attempt.failures };
}

/**
 * Begins a session of somebody who has proved who they are.
 * @throws Refused 'sign-in-failed' where the proof no longer counts, or the person left meanwhile
 */
export const beginSession = (
  store: Store,
  { clinicId, personId, how, withSecondFactor = false, pin, stillHolds }: Proof,
  device: string,
  at: Date,
): Promise<SignInResult> =>
  inClinic(store, clinicId, async (tx) => {
    const holds = await stillHolds(tx);
    const person = await personById(tx, clinicId, personId);
    if (!holds || person?.active !== true) {
      throw new Refused([reason(how === 'pin' ? 'pin-ended' : 'sign-in-failed', {})]);
    }
    const familyId = uuidv7();
    const begins = { clinicId, id: familyId, personId, how, device, beganAt: at };
    await writeSession(tx, { ...begins, withSecondFactor, benchPinId: pin?.id });
    const session = {
      id: familyId,
      beganAt: at,
      byPin: pin !== undefined,
      withSecondFactor,
      goodUntil: pin?.goodUntil ?? null,
    };
    const result = await nextPair(tx, clinicId, person, session, null, at);
    await writeEvents(tx, { clinicId, personId, at }, [
      {
        kind: 'person.signed_in',
        subjectKind: 'person',
        subjectId: personId,
        data: { familyId, how, device, withSecondFactor },
      },
    ]);
    return result;
  });

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
  shown: { readonly id: string; readonly personId: string; readonly familyId: string },
  at: Date,
  event?: EventKind,
): Promise<SignInResult | Reason> {
  const { personId, familyId } = shown;
  const used = await useSession(tx, clinicId, familyId, at);
  const person = await personById(tx, clinicId, personId);
  if (used === undefined || !person?.active) return reason('refresh-token-not-valid', {});
  const session = { id: familyId, ...used };
  const result = await nextPair(tx, clinicId, person, session, shown.id, at);
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
  const ended = await endSession(tx, familyId, { clinicId, at, byId: null });
  if (ended > 0) {
    await writeEvents(tx, { clinicId, personId: null, at }, [
      {
        kind: 'person.refresh_token_reused',
        subjectKind: 'person',
        subjectId: personId,
        data: { familyId },
      },
    ]);
  }
  return reason('refresh-token-reused', {});
}

/** @param cameFromId the token that was shown for it; null where the session begins */
async function nextPair(
  tx: Tx,
  clinicId: string,
  person: PersonRow,
  session: UsedSession & { readonly id: string },
  cameFromId: string | null,
  at: Date,
): Promise<SignInResult> {
  const refreshToken = newRefreshToken(clinicId);
  const familyId = session.id;
  await writeRefreshToken(tx, {
    clinicId,
    personId: person.id,
    familyId,
    cameFromId,
    tokenSha256: refreshTokenSha256(refreshToken),
    issuedAt: at,
    expiresAt: new Date(
      Math.min(
        at.getTime() + IDLE_MS,
        session.beganAt.getTime() + FAMILY_MS,
        session.goodUntil?.getTime() ?? Infinity,
      ),
    ),
  });
  const { id: personId, printedName } = person;
  const reach = reachOf(session, await secondFactorAskedBy(tx, clinicId), person.roles);
  const roles = rolesWithin(reach, person.roles);
  const caller = { clinicId, personId, printedName, roles, familyId, reach };
  return { caller, person: { ...person, roles }, refreshToken };
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
 * @throws Refused `occasion`, 'own-password-missing', 'sign-in-locked', 'session-ended'
 */
export async function reauthenticate(
  store: Store,
  caller: Caller,
  password: string,
  at: Date,
  occasion: 'signature-not-verified' | 'password-not-verified' = 'signature-not-verified',
): Promise<Reauthenticated> {
  const { clinicId, personId } = caller;
  const { name, waitS, failures } = await inSession(store, caller, (tx) =>
    countAttempt(tx, clinicId, personId, at),
  );
  if (waitS !== undefined) throw new Refused([reason('sign-in-locked', { retryAfterS: waitS })]);
  if (name?.passwordHash === null) {
    // Nothing was guessed at: who signs in by the organisation alone is not locked out for it.
    await inClinic(store, clinicId, (tx) =>
      takeFailureBack(tx, clinicId, personId, lockedUntil(failures, at)),
    );
    throw new Refused([reason('own-password-missing', {})]);
  }
  const fits = await passwordFits(name?.passwordHash, password);
  const proved = name?.passwordHash ?? null;
  if (name !== undefined && proved !== null && fits && name.active) {
    const still = await inClinic(store, clinicId, (tx) =>
      writeSuccess(tx, clinicId, personId, proved, null),
    );
    // While the password was looked at, it was changed elsewhere, or the person left.
    if (still === 0) throw new Refused([reason('session-ended', {})]);
    // This, and the one below, are the places that make the brand.
    return { clinicId, personId, printedName: name.printedName } as Reauthenticated;
  }
  await noteFailure(store, caller, personId, occasion, failures, at);
  throw new Refused([reason(occasion, {})]);
}

/**
 * Asks the caller's own password again for what an open screen alone may not do. Prepares a route.
 * @throws Refused 'password-not-verified', 'own-password-missing', 'sign-in-locked', 'session-ended'
 */
export async function askPasswordAgain({
  body,
  store,
  caller,
  at,
}: {
  readonly body: { readonly currentPassword: string };
  readonly store: Store;
  readonly caller: Caller;
  readonly at: Date;
}): Promise<void> {
  await reauthenticate(store, caller, body.currentPassword, at, 'password-not-verified');
}

/**
 * Takes the fresh word of the organisation's provider in the place of the caller's password,
 * for one signature. To be called before the transaction that signs; a signature that is then
 * refused has spent it.
 * @throws Refused 'openid-proof-not-valid'
 */
export async function reauthenticateByProvider(
  store: Store,
  caller: SignedIn,
  { proofId, browserSecret }: { proofId: string; browserSecret: string },
  at: Date,
): Promise<Reauthenticated> {
  const { clinicId, personId, familyId } = caller;
  const browserSha256 = textSha256(browserSecret);
  const proof = { id: proofId, browserSha256, personId, familyId };
  const printedName = await inClinic(store, clinicId, (tx) => spendProof(tx, clinicId, proof, at));
  if (printedName === undefined) throw new Refused([reason('openid-proof-not-valid', {})]);
  return { clinicId, personId, printedName } as Reauthenticated;
}

interface Attempt {
  readonly name: SignInName | undefined;
  /** Seconds still locked; the attempt is then not counted. */
  readonly waitS: number | undefined;
  readonly failures: number;
}

export async function countAttempt(
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

export const noteFailure = (
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

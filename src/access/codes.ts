/**
 * One-time codes, by which a person sets a password that nobody else ever knew: the first, or
 * the next after a reset. A code is kept as a hash of the same kind as a password (NIST
 * SP 800-63B-4 has look-up secrets below 112 bits salted and hashed so). Each try is counted
 * before it is looked at, and an address that nobody has takes the same way and the same
 * time to the same answer.
 */
import { randomBytes } from 'node:crypto';
import { setTimeout as wait } from 'node:timers/promises';
import { CODE_BYTES, codeAsMeant, codeFrom, grouped } from '../domain/oneTimeCodes.ts';
import { reason } from '../domain/reasons/index.ts';
import {
  countCodeTry,
  endGuessedCode,
  setPasswordByCode,
  type TriedCode,
} from '../store/accessCodes.ts';
import { inClinic, type Tx } from '../store/act.ts';
import { writeEvents } from '../store/events.ts';
import type { Store } from '../store/open.ts';
import { endSessions } from '../store/sessions.ts';
import { Refused, refuseIfAny } from '../store/refused.ts';
import { enterClinicOf, NOBODY } from '../store/signIns.ts';
import { againstPassword, hashPassword, passwordFits } from './passwords.ts';

export interface NewCode {
  /** In groups, as it is handed over; kept nowhere. */
  readonly code: string;
  readonly codeHash: string;
}

/** Hashing takes tens of milliseconds on purpose: never inside a transaction. */
export async function newCode(): Promise<NewCode> {
  const code = codeFrom(randomBytes(CODE_BYTES));
  return { code: grouped(code), codeHash: await hashPassword(code) };
}

/** A refusal takes at least this long, whether the address exists or not. */
const REFUSAL_MS = 250;

/**
 * Sets a password by a one-time code, and uses that up. All sessions of the person end.
 * A password that is unfit leaves the code open.
 * @throws Refused 'code-not-valid', 'password-unfit', 'password-common'
 */
export async function passwordByCode(
  store: Store,
  { email, code, newPassword }: { email: string; code: string; newPassword: string },
  at: Date,
): Promise<void> {
  // What can be said without knowing who it is, is said whoever it is.
  refuseIfAny(againstPassword(newPassword, '/newPassword', [email]));
  const began = performance.now();
  const refuse = async (): Promise<never> => {
    await wait(Math.max(0, REFUSAL_MS - (performance.now() - began)));
    throw new Refused([reason('code-not-valid', {})]);
  };
  const { who, tried } = await inClinic(store, NOBODY, async (tx) => {
    const named = await enterClinicOf(tx, email);
    return { who: named, tried: await countCodeTry(tx, named.clinicId, named.personId, at) };
  });
  const fits = await passwordFits(tried?.codeHash, codeAsMeant(code));
  if (tried === undefined) return refuse();
  if (!fits || !tried.active) {
    await noteWrongCode(store, who, tried, at);
    return refuse();
  }
  const context = [email, tried.printedName, tried.clinicName];
  refuseIfAny(againstPassword(newPassword, '/newPassword', context));
  const passwordHash = await hashPassword(newPassword);
  const set = await inClinic(store, who.clinicId, (tx) =>
    spendCode(tx, who, tried, passwordHash, at),
  );
  if (!set) await refuse();
}

interface Who {
  readonly clinicId: string;
  readonly personId: string;
}

async function spendCode(
  tx: Tx,
  who: Who,
  { id: codeId, purpose }: TriedCode,
  passwordHash: string,
  at: Date,
): Promise<boolean> {
  const { clinicId, personId } = who;
  const set = await setPasswordByCode(tx, { ...who, codeId }, passwordHash, at);
  if (set === 0) return false;
  await endSessions(tx, personId, { clinicId, at, byId: personId });
  await writeEvents(tx, { clinicId, personId, at }, [
    {
      kind: 'person.password_set',
      subjectKind: 'person',
      subjectId: personId,
      data: { purpose },
    },
  ]);
  return true;
}

const noteWrongCode = (
  store: Store,
  { clinicId, personId }: Who,
  { id, tries }: TriedCode,
  at: Date,
): Promise<void> =>
  inClinic(store, clinicId, async (tx) => {
    const ended = await endGuessedCode(tx, clinicId, id, at);
    await writeEvents(tx, { clinicId, personId: null, at }, [
      {
        kind: 'person.code_refused',
        subjectKind: 'person',
        subjectId: personId,
        data: { tries, ended: ended > 0 },
      },
    ]);
  });

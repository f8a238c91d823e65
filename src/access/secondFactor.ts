/** Proving again who one is with password and code, where a second factor is to be changed. */
import { reason } from '../domain/reasons/index.ts';
import { inClinic, type Caller } from '../store/act.ts';
import type { Store } from '../store/open.ts';
import { Refused } from '../store/refused.ts';
import { confirmedFactorOf } from '../store/secondFactors.ts';
import { writeSuccess } from '../store/signIns.ts';
import { takeCode } from './secondFactorCodes.ts';
import { passwordFits } from './passwords.ts';
import { countAttempt, noteFailure } from './signIn.ts';

/**
 * Checks the caller's password and a code, as one attempt: a right password alone ends no
 * count of failures, or codes could be guessed one after the other behind it.
 * @throws Refused 'sign-in-locked', 'password-not-verified', 'second-factor-missing', 'code-not-verified'
 */
export async function reauthenticateWithCode(
  store: Store,
  caller: Caller,
  { currentPassword, oneTimeCode }: { currentPassword: string; oneTimeCode: string },
  at: Date,
): Promise<void> {
  const { clinicId, personId } = caller;
  const { name, waitS, failures } = await inClinic(store, clinicId, (tx) =>
    countAttempt(tx, clinicId, personId, at),
  );
  if (waitS !== undefined) throw new Refused([reason('sign-in-locked', { retryAfterS: waitS })]);
  const fits = await passwordFits(name?.passwordHash, currentPassword);
  const outcome = await inClinic(store, clinicId, async (tx) => {
    if (!fits || name?.active !== true || name.passwordHash === null)
      return 'password-not-verified';
    const factor = await confirmedFactorOf(tx, store.cipher, clinicId, personId);
    if (factor === undefined) return 'second-factor-missing';
    const taken = await takeCode(tx, caller, factor, oneTimeCode, at);
    if (!taken) return 'code-not-verified';
    const still = await writeSuccess(tx, clinicId, personId, name.passwordHash, null);
    return still > 0 ? 'proven' : 'password-not-verified';
  });
  if (outcome === 'proven') return;
  await noteFailure(store, caller, personId, outcome, failures, at);
  throw new Refused([reason(outcome, {})]);
}

/** A person's second factor: added with a first code, renewed, turned off; reset by an administrator. */
import { v7 as uuidv7 } from 'uuid';
import { codeSha256, newRecoveryCodes, stepTyped } from '../../access/secondFactorCodes.ts';
import type { SignedIn } from '../../access/tokens.ts';
import { base32Of, keyUri, newSecret } from '../../access/totp.ts';
import { qrCodeSvg } from '../../documents/code.ts';
import { reason } from '../../domain/reasons/index.ts';
import { mustHaveSecondFactor } from '../../domain/secondFactor.ts';
import type { Act } from '../../store/act.ts';
import { lockPerson, personById } from '../../store/people.ts';
import { Refused } from '../../store/refused.ts';
import {
  confirmedFactorOf,
  confirmSecondFactor,
  endSecondFactor,
  recoveryCodesLeft,
  secondFactorAskedBy,
  secondFactorOf,
  writeRecoveryCodes,
  writeSecondFactor,
} from '../../store/secondFactors.ts';
import { endedBy, endSessions, strengthenSession } from '../../store/sessions.ts';

/** So long a secret that was shown waits for its first code; common practice, no source. */
const CONFIRM_WITHIN_MINUTES = 15;

export async function readSecondFactor(act: Act) {
  const { personId } = act.by;
  const factor = await confirmedFactorOf(act.tx, act.cipher, act.clinicId, personId);
  const person = await personById(act.tx, act.clinicId, personId);
  const asked = await secondFactorAskedBy(act.tx, act.clinicId);
  return {
    added: factor !== undefined,
    addedAt: factor?.confirmedAt ?? null,
    asked: mustHaveSecondFactor(asked, person?.roles ?? []),
    recoveryCodesLeft:
      factor === undefined ? null : await recoveryCodesLeft(act.tx, act.clinicId, factor.id),
  };
}

/** Makes a new secret and shows it. One that was begun before and not confirmed ends. */
export async function beginSecondFactor(act: Act) {
  const { clinicId, by } = act;
  await lockPerson(act.tx, clinicId, by.personId);
  const before = await secondFactorOf(act.tx, act.cipher, clinicId, by.personId);
  if (before?.confirmedAt != null) throw new Refused([reason('second-factor-there', {})]);
  if (before !== undefined) await endSecondFactor(act.tx, by.personId, endedBy(act), 'begun_anew');
  const id = uuidv7();
  const secret = newSecret();
  await writeSecondFactor(act, id, secret);
  const clinic = await act.tx.clinic.findUniqueOrThrow({
    where: { id: clinicId },
    select: { name: true },
  });
  const person = await personById(act.tx, clinicId, by.personId);
  const uri = keyUri(secret, clinic.name, person?.email ?? by.printedName);
  return {
    keyUri: uri,
    secret: base32Of(secret),
    qrSvg: qrCodeSvg(uri),
    minutes: CONFIRM_WITHIN_MINUTES,
  };
}

/**
 * Confirms what was begun by a first code: from now on it is asked. Other devices are signed
 * out; this sign-in counts as begun with it.
 * @returns the recovery codes, which nobody sees again
 */
export async function confirmSecond(
  act: Act,
  caller: SignedIn,
  oneTimeCode: string,
): Promise<{ recoveryCodes: string[] }> {
  const { clinicId, at } = act;
  const { personId, familyId } = caller;
  await lockPerson(act.tx, clinicId, personId);
  const factor = await secondFactorOf(act.tx, act.cipher, clinicId, personId);
  const latest = at.getTime() - CONFIRM_WITHIN_MINUTES * 60_000;
  if (factor === undefined || (factor.confirmedAt === null && factor.begunAt.getTime() < latest)) {
    throw new Refused([reason('second-factor-not-begun', { minutes: CONFIRM_WITHIN_MINUTES })]);
  }
  if (factor.confirmedAt !== null) throw new Refused([reason('second-factor-there', {})]);
  // Whoever guesses here confirms a secret that was shown to themselves: nothing to count.
  const step = stepTyped(factor, oneTimeCode, at);
  if (step === undefined) throw new Refused([reason('code-not-verified', {}, '/oneTimeCode')]);
  await confirmSecondFactor(act, factor.id, step);
  const recoveryCodes = await giveRecoveryCodes(act, factor.id);
  await endSessions(act.tx, personId, endedBy(act), familyId);
  await strengthenSession(act.tx, clinicId, familyId);
  act.record({
    kind: 'person.second_factor_added',
    subjectKind: 'person',
    subjectId: personId,
    data: {},
  });
  return { recoveryCodes };
}

/** Turns one's own off, after password and code; other devices are signed out. */
export async function removeSecondFactor(act: Act, caller: SignedIn): Promise<void> {
  const { clinicId } = act;
  const { personId, familyId } = caller;
  await lockPerson(act.tx, clinicId, personId);
  const ended = await endSecondFactor(act.tx, personId, endedBy(act), 'turned_off');
  if (ended === 0) throw new Refused([reason('second-factor-missing', {})]);
  await endSessions(act.tx, personId, endedBy(act), familyId);
  act.record({
    kind: 'person.second_factor_removed',
    subjectKind: 'person',
    subjectId: personId,
    data: {},
  });
}

/** New recovery codes in the place of those that were left. */
export async function renewRecoveryCodes(act: Act): Promise<{ recoveryCodes: string[] }> {
  const { personId } = act.by;
  await lockPerson(act.tx, act.clinicId, personId);
  const factor = await confirmedFactorOf(act.tx, act.cipher, act.clinicId, personId);
  if (factor === undefined) throw new Refused([reason('second-factor-missing', {})]);
  const recoveryCodes = await giveRecoveryCodes(act, factor.id);
  act.record({
    kind: 'person.recovery_codes_made',
    subjectKind: 'person',
    subjectId: personId,
    data: {},
  });
  return { recoveryCodes };
}

async function giveRecoveryCodes(act: Act, factorId: string): Promise<string[]> {
  const recoveryCodes = newRecoveryCodes();
  await writeRecoveryCodes(act, factorId, recoveryCodes.map(codeSha256));
  return recoveryCodes;
}

/** For whoever has lost phone and codes: ends the second factor of somebody else, and their sign-ins. */
export async function resetSecondFactor(act: Act, personId: string): Promise<void> {
  const { clinicId } = act;
  if (personId === act.by.personId) throw new Refused([reason('own-second-factor-not-reset', {})]);
  await lockPerson(act.tx, clinicId, personId);
  if ((await personById(act.tx, clinicId, personId)) === undefined) {
    throw new Refused([reason('person-unknown', {})]);
  }
  const ended = await endSecondFactor(act.tx, personId, endedBy(act), 'reset');
  if (ended === 0) throw new Refused([reason('second-factor-missing', {})]);
  await endSessions(act.tx, personId, endedBy(act));
  act.record({
    kind: 'person.second_factor_reset',
    subjectKind: 'person',
    subjectId: personId,
    data: {},
  });
}

/** The short PIN of a bench device: set after a full sign-in there, taken off. */
import { deviceSha256 } from '../../access/benchPin.ts';
import type { SignedIn } from '../../access/tokens.ts';
import { pinGoodUntil, whyEasy } from '../../domain/benchPin.ts';
import { reason } from '../../domain/reasons/index.ts';
import type { Act } from '../../store/act.ts';
import { endBenchPin, writeBenchPin } from '../../store/benchPins.ts';
import { loadClinic } from '../../store/clinic.ts';
import { Refused } from '../../store/refused.ts';
import { openSession } from '../../store/sessions.ts';

/** @throws Refused 'pin-too-easy' */
export function refuseEasyPin(pin: string): void {
  const why = whyEasy(pin);
  if (why !== undefined) throw new Refused([reason('pin-too-easy', { why }, '/pin')]);
}

export async function setBenchPin(
  act: Act,
  { familyId, personId, printedName }: SignedIn,
  deviceSecret: string,
  pinHash: string,
) {
  const { clinicId, at } = act;
  const { pinHours, benchLockMinutes } = await loadClinic(act.tx, clinicId);
  const session = await openSession(act.tx, clinicId, familyId);
  if (session === undefined) throw new Refused([reason('session-ended', {})]);
  const goodUntil = pinGoodUntil(session.beganAt, pinHours);
  if (goodUntil <= at) throw new Refused([reason('pin-needs-fresh-sign-in', { hours: pinHours })]);
  const of = { clinicId, personId, deviceSha256: deviceSha256(deviceSecret) };
  await endBenchPin(act.tx, of, 'set_anew', at);
  await writeBenchPin(act, {
    sessionId: familyId,
    deviceSha256: of.deviceSha256,
    pinHash,
    goodUntil,
  });
  act.record({
    kind: 'person.pin_set',
    subjectKind: 'person',
    subjectId: personId,
    data: { familyId, goodUntil: goodUntil.toISOString() },
  });
  return { clinicId, personId, printedName, goodUntil, lockMinutes: benchLockMinutes };
}

/** Ends one's own PIN on the device that is named; where there is none, nothing is to be done. */
export async function takeOffBenchPin(act: Act, deviceSecret: string): Promise<void> {
  const { clinicId, by, at } = act;
  const of = { clinicId, personId: by.personId, deviceSha256: deviceSha256(deviceSecret) };
  if ((await endBenchPin(act.tx, of, 'taken_off', at)) === 0) return;
  act.record({
    kind: 'person.pin_ended',
    subjectKind: 'person',
    subjectId: by.personId,
    data: { how: 'taken_off' },
  });
}

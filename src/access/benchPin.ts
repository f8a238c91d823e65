/**
 * Unlocking a bench device by a short PIN. The hash is over the PIN and the device's own 256
 * bits, so a copy of the database gives no PIN to guess at; and who has the device has five tries.
 */
import { createHash } from 'node:crypto';
import { PIN_TRIES } from '../domain/benchPin.ts';
import { reason } from '../domain/reasons/index.ts';
import { inClinic } from '../store/act.ts';
import {
  countPinTry,
  endTriedPin,
  pinWasRight,
  type PinOf,
  type TriedPin,
} from '../store/benchPins.ts';
import { writeEvents, type NewEvent } from '../store/events.ts';
import type { Store } from '../store/open.ts';
import { Refused } from '../store/refused.ts';
import { hashPassword, passwordFits } from './passwords.ts';
import { beginSession, type Proof, type SignInResult } from './signIn.ts';

/** Enough for 256 random bits: there is nothing to guess. */
export const deviceSha256 = (deviceSecret: string): string =>
  createHash('sha256').update(deviceSecret, 'utf8').digest('hex');

/** Takes tens of milliseconds on purpose: never inside a transaction. */
export const hashPin = (pin: string, deviceSecret: string): Promise<string> =>
  hashPassword(both(pin, deviceSecret));

const both = (pin: string, deviceSecret: string): string => `${pin} ${deviceSecret}`;

/**
 * Signs a person in by the PIN that they set on this device. The try is counted before it is
 * looked at, so that a hundred at once are no more than five.
 * @throws Refused 'pin-wrong', 'pin-ended'
 */
export async function signInByPin(
  store: Store,
  given: { clinicId: string; personId: string; deviceSecret: string; pin: string; device: string },
  at: Date,
): Promise<SignInResult> {
  const { clinicId, personId, deviceSecret, pin, device } = given;
  const of = { clinicId, personId, deviceSha256: deviceSha256(deviceSecret) };
  const tried = await inClinic(store, clinicId, (tx) => countPinTry(tx, of, at));
  if (tried === undefined) throw new Refused([reason('pin-ended', {})]);
  if (!(await passwordFits(tried.pinHash, both(pin, deviceSecret)))) {
    const ended = await noteWrongPin(store, of, tried, at);
    const triesLeft = PIN_TRIES - tried.tries;
    throw new Refused([ended ? reason('pin-ended', {}) : reason('pin-wrong', { triesLeft })]);
  }
  const { id: benchPinId, withSecondFactor, goodUntil } = tried;
  const proof: Proof = {
    clinicId,
    personId,
    how: 'pin',
    withSecondFactor,
    pin: { id: benchPinId, goodUntil },
    stillHolds: async (tx) => (await pinWasRight(tx, clinicId, benchPinId, at)) > 0,
  };
  return beginSession(store, proof, device, at);
}

/** @returns whether it was the last try */
const noteWrongPin = (store: Store, of: PinOf, { id, tries }: TriedPin, at: Date) =>
  inClinic(store, of.clinicId, async (tx) => {
    const { clinicId, personId } = of;
    const ended = tries >= PIN_TRIES && (await endTriedPin(tx, clinicId, id, at)) > 0;
    const subject = { subjectKind: 'person', subjectId: personId } as const;
    const events: NewEvent[] = [
      { kind: 'person.sign_in_failed', ...subject, data: { occasion: 'pin', failures: tries } },
    ];
    if (ended) events.push({ kind: 'person.pin_ended', ...subject, data: { how: 'tries' } });
    await writeEvents(tx, { clinicId, personId: null, at }, events);
    return ended;
  });

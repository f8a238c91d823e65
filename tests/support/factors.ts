/** People who sign in with a second factor, and bench devices with a PIN, as tests meet them. */
import { randomBytes } from 'node:crypto';
import { expect } from 'vitest';
import type { Role } from '../../src/domain/words.ts';
import { PASSWORD, takeOn as takeOnIn, type Client, type TestClinic } from './clinic.ts';
import { codeAt } from './authenticator.ts';

export type NewPerson = Awaited<ReturnType<typeof takeOn>>;

/** Somebody new, so that one example's failures are not another's. */
export const takeOn = (clinic: TestClinic, ...roles: Role[]) => takeOnIn(clinic, { roles });

export const signInAs = (clinic: TestClinic, email: string, more: object = {}) =>
  clinic.stranger.post('/api/v1/sign-in', { email, password: PASSWORD, ...more });

export interface SignedInPerson extends NewPerson {
  readonly client: Client;
  readonly refreshToken: string;
}

export async function signedInAnew(
  clinic: TestClinic,
  person: NewPerson,
  more: object = {},
): Promise<SignedInPerson> {
  const { body } = await signInAs(clinic, person.email, more).expect(200);
  const { accessToken, refreshToken } = body as { accessToken: string; refreshToken: string };
  return { ...person, client: clinic.bearing(accessToken), refreshToken };
}

/** An authenticator app with its secret, and the ten codes on paper. */
export interface App {
  readonly secret: string;
  readonly recoveryCodes: readonly string[];
  /** The code that it shows now. */
  now(): string;
}

/** Adds a second factor; the clock is moved on afterwards, so that the next code is a fresh one. */
export async function enrol(clinic: TestClinic, client: Client): Promise<App> {
  const begun = await client
    .post('/api/v1/me/second-factor', { currentPassword: PASSWORD })
    .expect(201);
  const secret = (begun.body as { secret: string }).secret;
  const now = () => codeAt(secret, clinic.clock.now());
  const confirmed = await client
    .post('/api/v1/me/second-factor/confirmation', { oneTimeCode: now() })
    .expect(201);
  clinic.clock.pass(1);
  return {
    secret,
    now,
    recoveryCodes: (confirmed.body as { recoveryCodes: string[] }).recoveryCodes,
  };
}

export const newDevice = (): string => randomBytes(32).toString('base64url');

export const PIN = '739152';

export const setPin = (client: Client, deviceSecret: string, pin = PIN) =>
  client.post('/api/v1/me/bench-pin', { pin, deviceSecret });

export const byPin = (
  clinic: TestClinic,
  { id: personId }: { readonly id: string },
  deviceSecret: string,
  pin = PIN,
) =>
  clinic.stranger.post('/api/v1/sign-in/pin', {
    clinicId: clinic.clinicId,
    personId,
    deviceSecret,
    pin,
  });

export async function eventsAbout(clinic: TestClinic, personId: string): Promise<string[]> {
  const rows = await clinic.store.raw<{ kind: string }>(
    'select kind from event where subject_id = $1 order by seq',
    [personId],
  );
  return rows.map(({ kind }) => kind);
}

/** Sets whom the clinic asks, as its administrator would; straight, so that it asks nobody on the way. */
export const askSecondFactorOf = (
  clinic: TestClinic,
  who: 'nobody' | 'administrators_and_signers' | 'everybody',
) =>
  clinic.store.raw('update clinic set second_factor_for = $1 where id = $2', [
    who,
    clinic.clinicId,
  ]);

/** Of an answer that refuses: its status and its code. */
export const expectProblem = (
  answer: { readonly status: number; readonly body: { readonly code?: string } },
  status: number,
  code: string,
): void => {
  expect({ status: answer.status, code: answer.body.code }).toEqual({ status, code });
};

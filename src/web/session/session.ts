/**
 * Who is signed in. The access token lives in memory only; the refresh token in the
 * tab's own storage, so that a reload keeps the person signed in and a closed tab
 * does not. Two refreshes at once would end the sign-in, so there is only ever one: in this
 * page, and across a reload that comes while one is under way.
 */
import { signal } from '@preact/signals';
import type { components } from '../../generated/api.ts';
import { LONGEST_WAIT_MS, reach, Unreachable } from '../offline/reach.ts';
import { said, type ProblemBody, type Sent } from '../words/said.ts';
import { deviceSecret, forgetPin, keepLocked, locked, type DevicePin } from './device.ts';
import { forgetKnown, keepKnown, knownPerson } from './known.ts';

type Tokens = components['schemas']['Tokens'];
export type Person = Tokens['person'];
export type Role = Person['roles'][number];

const KEPT_AS = 'castbook.refresh';

/** Undefined until it is known whether a kept sign-in still holds. */
export const person = signal<Person | null | undefined>(undefined);
/**
 * True after a sign-in ended by itself: the person is asked again, in front of the page, which
 * stays as it was with all that was typed on it.
 */
export const endedByItself = signal(false);

let accessToken: string | null = null;
let refreshing: Promise<string | null> | null = null;
/** Requests that wait for who sent them to sign in again. */
let waiting: { readonly of: string; readonly goOn: (token: string | null) => void }[] = [];

/** What the sign-in may: all, the bench's work by PIN, or only adding a second factor. */
export const reachOfSignIn = signal<Tokens['reach']>('whole');

export const currentToken = (): string | null => accessToken;

function keep(tokens: Tokens): string {
  accessToken = tokens.accessToken;
  sessionStorage.setItem(KEPT_AS, tokens.refreshToken);
  keepKnown(tokens.person);
  person.value = tokens.person;
  reachOfSignIn.value = tokens.reach;
  keepLocked(false);
  endedByItself.value = false;
  letGo(tokens);
  return tokens.accessToken;
}

/** What waited goes on where the same person is back, else it ends as refused. */
function letGo(tokens: Tokens | null): void {
  const released = waiting;
  waiting = [];
  for (const { of, goOn } of released) {
    goOn(tokens?.person.id === of ? tokens.accessToken : null);
  }
}

/** The token of the same person, signed in again after a sign-in ended by itself; else null. */
export function signedInAgain(): Promise<string | null> {
  const of = person.value?.id;
  if (!(endedByItself.value || locked.value) || of === undefined) return Promise.resolve(null);
  return new Promise((goOn) => waiting.push({ of, goOn }));
}

/** @param stays the page behind the sign-in, with what was typed on it */
function forget(stays = false): void {
  accessToken = null;
  sessionStorage.removeItem(KEPT_AS);
  forgetKnown();
  endedByItself.value = stays;
  if (!stays) person.value = null;
}

/** What stands against a sign-in: a code of the catalogue, and its words. */
export interface Against {
  readonly code: string;
  readonly detail: string;
}

/** @returns null where signed in */
export const signIn = (given: {
  email: string;
  password: string;
  oneTimeCode?: string;
}): Promise<Against | null> => begin('/api/v1/sign-in', given);

/** Unlocks this device by the PIN that the person set on it. @returns null where unlocked */
export async function unlock(
  { clinicId, personId }: DevicePin,
  pin: string,
): Promise<Against | null> {
  const given = { clinicId, personId, pin, deviceSecret: deviceSecret() };
  const against = await begin('/api/v1/sign-in/pin', given);
  if (against?.code === 'pin-ended') forgetPin(personId);
  return against;
}

async function begin(url: string, given: object): Promise<Against | null> {
  const answer = await post(url, given);
  if (!answer.ok) return said((await answer.json()) as Sent);
  keep((await answer.json()) as Tokens);
  return null;
}

/**
 * Locks the device: nothing that signs in is left on it. The page behind stays, as after a
 * sign-in that ended by itself. A sign-in by PIN is ended; a full one is what the PIN hangs on.
 */
export function lock(): void {
  const token = accessToken;
  const byPin = reachOfSignIn.value === 'bench';
  accessToken = null;
  sessionStorage.removeItem(KEPT_AS);
  forgetKnown();
  endedByItself.value = false;
  keepLocked(true);
  if (byPin && token !== null) void askSignOut(token);
}

/** @returns null where the password is set, else the problem's words */
export async function setPasswordByCode(
  email: string,
  code: string,
  newPassword: string,
): Promise<string | null> {
  const answer = await post('/api/v1/sign-in/code', { email, code, newPassword });
  if (answer.ok) return null;
  const { detail, wayOut } = said((await answer.json()) as Sent);
  return `${detail} ${wayOut}`;
}

/** With what the organisation's provider sent back. @returns null where signed in, else the problem */
export async function signInByProvider(
  shown: components['schemas']['OpenIdReturnInput'],
): Promise<ProblemBody | null> {
  const answer = await post('/api/v1/sign-in/openid', shown);
  if (!answer.ok) return (await answer.json()) as ProblemBody;
  keep((await answer.json()) as Tokens);
  return null;
}

export async function signOut(): Promise<void> {
  const token = accessToken;
  forget();
  letGo(null);
  if (token !== null) await askSignOut(token);
}

const askSignOut = (token: string): Promise<unknown> =>
  fetch('/api/v1/sign-out', {
    method: 'POST',
    headers: { authorization: `Bearer ${token}`, 'idempotency-key': crypto.randomUUID() },
  }).catch(() => undefined);

/** Who was known goes on without the service, for a while; nobody else does. */
export function goOnAsKnown(): void {
  const known = knownPerson();
  if (known === null) forget();
  else person.value = known;
}

/**
 * A fresh access token by the kept refresh token; null where the sign-in has ended.
 * @throws Unreachable where the service cannot say
 */
export function refresh(): Promise<string | null> {
  refreshing ??= navigator.locks.request('castbook.refresh', refreshOnce).finally(() => {
    refreshing = null;
  });
  return refreshing;
}

async function refreshOnce(): Promise<string | null> {
  const refreshToken = sessionStorage.getItem(KEPT_AS);
  // Whoever is behind the lock comes back by it, and not otherwise.
  if (locked.value) {
    person.value ??= null;
    return null;
  }
  if (refreshToken === null) {
    forget(person.value != null);
    return null;
  }
  const answer = await post('/api/v1/sign-in/refresh', { refreshToken });
  if (answer.ok) return keep((await answer.json()) as Tokens);
  // Busy or down it has not said that the sign-in has ended.
  if (answer.status === 429 || answer.status >= 500) throw new Unreachable(String(answer.status));
  forget(person.value != null);
  return null;
}

const post = (url: string, body: object): Promise<Response> =>
  reach(
    new Request(url, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify(body),
      signal: AbortSignal.timeout(LONGEST_WAIT_MS),
    }),
  );

export const may = (...roles: readonly Role[]): boolean =>
  person.value?.roles.some((role) => roles.includes(role)) === true;

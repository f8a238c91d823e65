/**
 * Who is signed in. The access token lives in memory only; the refresh token in the
 * tab's own storage, so that a reload keeps the person signed in and a closed tab
 * does not. Two refreshes at once would end the sign-in, so there is only ever one: in this
 * page, and across a reload that comes while one is under way.
 */
import { signal } from '@preact/signals';
import type { components } from '../../generated/api.ts';
import { LONGEST_WAIT_MS, reach, Unreachable } from '../offline/reach.ts';
import { forgetKnown, keepKnown, knownPerson } from './known.ts';

type Tokens = components['schemas']['Tokens'];
export type Person = Tokens['person'];
export type Role = Person['roles'][number];

const KEPT_AS = 'castbook.refresh';

/** Undefined until it is known whether a kept sign-in still holds. */
export const person = signal<Person | null | undefined>(undefined);
/** True after a sign-in ended by itself: what was typed stays, and the person is asked again. */
export const endedByItself = signal(false);

let accessToken: string | null = null;
let refreshing: Promise<string | null> | null = null;

export const currentToken = (): string | null => accessToken;

function keep(tokens: Tokens): string {
  accessToken = tokens.accessToken;
  sessionStorage.setItem(KEPT_AS, tokens.refreshToken);
  keepKnown(tokens.person);
  person.value = tokens.person;
  endedByItself.value = false;
  return tokens.accessToken;
}

function forget(): void {
  accessToken = null;
  sessionStorage.removeItem(KEPT_AS);
  forgetKnown();
  person.value = null;
}

/** @returns null where signed in, else the problem's words */
export async function signIn(email: string, password: string): Promise<string | null> {
  const answer = await post('/api/v1/sign-in', { email, password });
  if (!answer.ok) return ((await answer.json()) as { detail: string }).detail;
  keep((await answer.json()) as Tokens);
  return null;
}

export async function signOut(): Promise<void> {
  const token = accessToken;
  forget();
  if (token === null) return;
  await fetch('/api/v1/sign-out', {
    method: 'POST',
    headers: { authorization: `Bearer ${token}`, 'idempotency-key': crypto.randomUUID() },
  }).catch(() => undefined);
}

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
  if (refreshToken === null) {
    forget();
    return null;
  }
  const answer = await post('/api/v1/sign-in/refresh', { refreshToken });
  if (answer.ok) return keep((await answer.json()) as Tokens);
  // Busy or down it has not said that the sign-in has ended.
  if (answer.status === 429 || answer.status >= 500) throw new Unreachable(String(answer.status));
  endedByItself.value = person.value != null;
  forget();
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

/**
 * Signing in by the account that somebody has with their organisation (OpenID Connect):
 * whom a provider's word stands for here, and how fresh it must be to sign with.
 */
import { reason, type Reason } from './reasons/index.ts';
import { granted, refused, type Verdict } from './verdict.ts';

/** How long one may take at the provider. */
export const ATTEMPT_MS = 10 * 60_000;
/** How long the provider's fresh word may stand in the place of the password, for one signature. */
export const PROOF_MS = 3 * 60_000;
/** How long an administrator's invitation waits. Common practice, no source. */
export const INVITED_MS = 14 * 24 * 3_600_000;
/** By how much two clocks may differ. */
export const CLOCKS_DIFFER_S = 60;

const LOOPBACK = new Set(['localhost', '127.0.0.1', '[::1]']);

/**
 * What is against an issuer's address (OpenID Connect Discovery 1.0, section 4.1 and Core 1.0,
 * section 2: https, no query, no fragment).
 * @param loopbackHttp whether plain http to the very machine is allowed
 */
export function againstIssuer(issuer: string, loopbackHttp: boolean, field: string): Reason[] {
  const unfit = (why: string) => [reason('openid-issuer-unfit', { why }, field)];
  if (!URL.canParse(issuer)) return unfit('it is no address');
  const { protocol, hostname, username, password, search, hash } = new URL(issuer);
  if (protocol !== 'https:' && !(protocol === 'http:' && loopbackHttp && LOOPBACK.has(hostname))) {
    return unfit('it does not begin with https');
  }
  if (username !== '' || password !== '') return unfit('it names a user');
  if (search !== '' || hash !== '' || /[?#]/.test(issuer))
    return unfit('it has a query or a fragment');
  return [];
}

/** What a provider says of whoever signed in there. */
export interface ProviderSays {
  readonly email: string | undefined;
  readonly emailVerified: boolean;
}

/** A person whose link, or whose invitation, may be meant. */
export interface Meant {
  readonly active: boolean;
  readonly email: string;
  /** Null where the link stands already. */
  readonly invitedUntil: Date | null;
}

/**
 * Whether a provider's word lets this person in. An invitation is taken up by the address that
 * the provider vouches for, and by no other.
 */
export function letsIn(meant: Meant, says: ProviderSays, at: Date): boolean {
  if (!meant.active) return false;
  if (meant.invitedUntil === null) return true;
  return (
    says.emailVerified &&
    says.email?.trim().toLowerCase() === meant.email &&
    at.getTime() < meant.invitedUntil.getTime()
  );
}

/**
 * Whether somebody signed in at the provider just now, for this very signature (21 CFR
 * 11.200): `auth_time` (OpenID Connect Core 1.0, section 2), whole seconds since 1970.
 * Without it the provider may have taken an older sign-in for a new one.
 */
export function judgeFreshSignIn(authTimeS: number | undefined, begunAt: Date): Verdict<null> {
  if (authTimeS === undefined) return refused([reason('openid-not-fresh', { told: false })]);
  const fresh = authTimeS >= Math.floor(begunAt.getTime() / 1000) - CLOCKS_DIFFER_S;
  return fresh ? granted(null) : refused([reason('openid-not-fresh', { told: true })]);
}

/** Why a provider was not reached, or what it says of itself is not taken. */
export const UNREACHED_WORDS = {
  not_https: 'an address of it does not begin with https',
  not_public: 'an address of it is not in the public network',
  unknown_name: 'its name is not known',
  redirect: 'it sends elsewhere',
  too_large: 'its answer is too large',
  too_slow: 'it takes too long',
  unreachable: 'there is no connection to it',
  not_well: 'it does not answer as it should',
  other_issuer: 'it calls itself by another address',
  too_little: 'it cannot do what is needed here (code flow with S256)',
} as const;
export type Unreached = keyof typeof UNREACHED_WORDS;

/** Why a provider's answer is not taken: our words, never those of the provider. */
export const NOT_TAKEN_WORDS = {
  called_off: 'the sign-in was called off there',
  failed: 'it reports a failure',
  code: 'it does not take the code',
  client: 'it does not take our client id and secret',
  state: 'it belongs to another sign-in',
  issuer: 'it comes from another issuer',
  audience: 'it is made for somebody else',
  nonce: 'it belongs to another sign-in',
  time: 'it is of another time',
  signature: 'its signature is not the provider’s',
  unreadable: 'it is incomplete or cannot be read',
} as const;
export type NotTaken = keyof typeof NOT_TAKEN_WORDS;

/**
 * Speaking with a provider: authorization code flow with PKCE (RFC 7636, S256), state, nonce
 * and the `iss` of the answer (RFC 9207), by openid-client, which is certified for it. Every
 * request goes through the guarded fetch, the ID token's signature is checked although it
 * comes over TLS, and time is the one passed in. What goes wrong becomes a word of ours.
 */
import * as client from 'openid-client';
import {
  CLOCKS_DIFFER_S,
  NOT_TAKEN_WORDS,
  UNREACHED_WORDS,
  type NotTaken,
  type ProviderSays,
  type Unreached,
} from '../domain/openid.ts';
import { reason } from '../domain/reasons/index.ts';
import { Refused } from '../store/refused.ts';
import { OutwardProblem, type Outward } from './openidFetch.ts';

export interface ProviderAccess {
  readonly issuer: string;
  readonly clientId: string;
  readonly clientSecret: string;
}

/** What is kept from the way there to the way back. */
export interface WayThere {
  readonly state: string;
  readonly nonce: string;
  readonly codeVerifier: string;
}

/** What the provider's page sent back with the browser (RFC 6749, 4.1.2; RFC 9207). */
export interface CameBack {
  readonly state: string;
  readonly code?: string | undefined;
  readonly iss?: string | undefined;
  readonly error?: string | undefined;
}

export interface Known extends ProviderSays {
  readonly issuer: string;
  readonly subject: string;
  /** Whole seconds since 1970. */
  readonly authTimeS: number | undefined;
  /** The provider says that it asked for more than one factor: `mfa` among its `amr` (RFC 8176, § 2). */
  readonly severalFactors: boolean;
}

export interface OpenIdClient {
  /** Reads what a provider says of itself. @throws Refused 'openid-provider-unreachable' */
  discover(access: ProviderAccess, at: Date): Promise<client.Configuration>;
  /** The provider's page. @param anew whether somebody signed in there must sign in again */
  pageOf(config: client.Configuration, way: WayThere, anew: boolean): Promise<string>;
  /**
   * Who signed in there, for a code.
   * @param wantsEmail asks for the e-mail address too, where the ID token does not say it
   * @throws Refused 'openid-answer-refused', 'openid-provider-unreachable'
   */
  redeem(
    config: client.Configuration,
    way: WayThere,
    back: CameBack,
    wantsEmail: boolean,
  ): Promise<Known>;
}

/** @param redirectUri exactly as it is entered at the provider */
export function openIdClient(
  outward: Outward,
  loopbackHttp: boolean,
  redirectUri: string,
): OpenIdClient {
  return {
    discover: (access, at) => asked(() => discover(outward, loopbackHttp, access, at)),
    pageOf: async (config, { state, nonce, codeVerifier }, anew) =>
      client.buildAuthorizationUrl(config, {
        redirect_uri: redirectUri,
        scope: 'openid email',
        state,
        nonce,
        code_challenge: await client.calculatePKCECodeChallenge(codeVerifier),
        code_challenge_method: 'S256',
        ...(anew ? { prompt: 'login', max_age: '0' } : {}),
      }).href,
    redeem: (config, way, back, wantsEmail) =>
      redeemed(async () => {
        const tokens = await client.authorizationCodeGrant(config, addressOf(redirectUri, back), {
          expectedState: way.state,
          expectedNonce: way.nonce,
          pkceCodeVerifier: way.codeVerifier,
          idTokenExpected: true,
        });
        const claims = tokens.claims();
        if (claims === undefined) throw notTaken('unreadable');
        const known: Known = {
          issuer: claims.iss,
          subject: claims.sub,
          authTimeS: claims.auth_time,
          severalFactors: Array.isArray(claims['amr']) && claims['amr'].includes('mfa'),
          ...emailIn(claims),
        };
        if (!wantsEmail || known.email !== undefined || !hasUserInfo(config)) return known;
        const more = await client.fetchUserInfo(config, tokens.access_token, claims.sub);
        return { ...known, ...emailIn(more) };
      }),
  };
}

async function discover(
  outward: Outward,
  loopbackHttp: boolean,
  { issuer, clientId, clientSecret }: ProviderAccess,
  at: Date,
): Promise<client.Configuration> {
  const config = await client.discovery(
    new URL(issuer),
    clientId,
    {
      client_secret: clientSecret,
      [client.clockSkew]: Math.round((at.getTime() - Date.now()) / 1000),
      [client.clockTolerance]: CLOCKS_DIFFER_S,
    },
    // The provider says below which way it takes the secret.
    (server, ...given) => authenticate(clientSecret, server)(server, ...given),
    {
      [client.customFetch]: (url, { method, headers, body, signal }) =>
        outward.fetch(url, { method, headers, body, signal }),
      execute: [
        client.enableNonRepudiationChecks,
        // The guard says which plain http there may be: to this very machine, where that is set.
        // eslint-disable-next-line @typescript-eslint/no-deprecated -- marked so only to stand out: plain http is for this machine
        ...(loopbackHttp ? [client.allowInsecureRequests] : []),
      ],
    },
  );
  const { issuer: itself, code_challenge_methods_supported: challenges } = config.serverMetadata();
  const { authorization_endpoint: page, token_endpoint, jwks_uri } = config.serverMetadata();
  if (itself !== issuer) throw unreached('other_issuer');
  if (page === undefined || token_endpoint === undefined || jwks_uri === undefined) {
    throw unreached('too_little');
  }
  if (challenges?.includes('S256') === false) throw unreached('too_little');
  // The browser is sent there, not we; but nowhere that is not the web.
  if (!isWebAddress(page, loopbackHttp)) throw unreached('not_https');
  return config;
}

/** OpenID Connect Discovery 1.0, section 3: left out, it is client_secret_basic. */
function authenticate(secret: string, server: client.ServerMetadata): client.ClientAuth {
  const methods = server.token_endpoint_auth_methods_supported ?? ['client_secret_basic'];
  return methods.includes('client_secret_basic')
    ? client.ClientSecretBasic(secret)
    : client.ClientSecretPost(secret);
}

const isWebAddress = (address: string, loopbackHttp: boolean): boolean =>
  URL.canParse(address) &&
  ['https:', ...(loopbackHttp ? ['http:'] : [])].includes(new URL(address).protocol);

const hasUserInfo = (config: client.Configuration): boolean =>
  config.serverMetadata().userinfo_endpoint !== undefined;

function addressOf(redirectUri: string, back: CameBack): URL {
  const address = new URL(redirectUri);
  for (const name of ['code', 'state', 'iss', 'error'] as const) {
    const value = back[name];
    if (value !== undefined) address.searchParams.set(name, value);
  }
  return address;
}

/** An address counts as the provider's word only where it says so in so many letters: `true`. */
const emailIn = ({ email, email_verified }: Readonly<Record<string, unknown>>): ProviderSays => ({
  email: typeof email === 'string' ? email : undefined,
  emailVerified: email_verified === true,
});

const unreached = (fault: Unreached): Refused =>
  new Refused([reason('openid-provider-unreachable', { why: UNREACHED_WORDS[fault] })]);
const notTaken = (fault: NotTaken): Refused =>
  new Refused([reason('openid-answer-refused', { why: NOT_TAKEN_WORDS[fault] })]);

async function asked<T>(work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (failure) {
    if (failure instanceof Refused) throw failure;
    throw unreached(outwardFaultOf(failure) ?? discoveryFaultOf(failure));
  }
}

async function redeemed<T>(work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (failure) {
    if (failure instanceof Refused) throw failure;
    const outside = outwardFaultOf(failure);
    // What the library or the provider says stays out of the refusal and of the log.
    throw outside === undefined ? notTaken(answerFaultOf(failure)) : unreached(outside);
  }
}

/** A failure and what it came of. */
function* causesOf(failure: unknown): Generator<Error & { code?: unknown }> {
  for (let each = failure; each instanceof Error; each = each.cause) yield each;
}

function outwardFaultOf(failure: unknown): Unreached | undefined {
  for (const each of causesOf(failure)) {
    if (each instanceof OutwardProblem) return each.fault;
    if (each.code === 'OAUTH_HTTP_REQUEST_FORBIDDEN') return 'not_https';
    if (each.code === 'OAUTH_REQUEST_PROTOCOL_FORBIDDEN') return 'not_https';
    if (each.code === 'OAUTH_TIMEOUT') return 'too_slow';
  }
  return undefined;
}

function discoveryFaultOf(failure: unknown): Unreached {
  for (const { code } of causesOf(failure)) {
    if (code === 'OAUTH_JSON_ATTRIBUTE_COMPARISON_FAILED') return 'other_issuer';
  }
  return 'not_well';
}

const FAULT_OF_CLAIM: Readonly<Record<string, NotTaken>> = {
  iss: 'issuer',
  aud: 'audience',
  azp: 'audience',
  nonce: 'nonce',
};

function answerFaultOf(failure: unknown): NotTaken {
  for (const each of causesOf(failure)) {
    if (each instanceof client.AuthorizationResponseError) {
      return each.error === 'access_denied' ? 'called_off' : 'failed';
    }
    if (each instanceof client.WWWAuthenticateChallengeError) return 'client';
    if (each instanceof client.ResponseBodyError) {
      if (each.error === 'invalid_grant') return 'code';
      return each.error === 'invalid_client' ? 'client' : 'failed';
    }
    if (each.code === 'OAUTH_JWT_TIMESTAMP_CHECK_FAILED') return 'time';
    if (each.code === 'OAUTH_KEY_SELECTION_FAILED') return 'signature';
    const claim = claimOf(each);
    if (claim !== undefined && claim in FAULT_OF_CLAIM)
      return FAULT_OF_CLAIM[claim] ?? 'unreadable';
    if (/signature verification failed|signature algorithm|"alg"/i.test(each.message))
      return 'signature';
    if (each.message.includes('"iss"')) return 'issuer';
    if (each.message.includes('"state"')) return 'state';
  }
  return 'unreadable';
}

/** Of a claim that is not what it must be, the library says which beside the failure. */
function claimOf({ cause }: Error): string | undefined {
  const claim = (cause as { claim?: unknown } | undefined)?.claim;
  return typeof claim === 'string' ? claim : undefined;
}

/**
 * A provider that does what no certified one does: each fault at the place where a test wants
 * it. Signed with jose, which openid-client reads with; what is right is tested at a real one.
 */
import { exportJWK, generateKeyPair, SignJWT, type CryptoKey, type JWTPayload } from 'jose';
import http, { type IncomingMessage, type ServerResponse } from 'node:http';
import { listening } from './openidProvider.ts';

export interface Faults {
  /** Changes of what it says of itself. */
  discovery?: (document: Record<string, unknown>) => Record<string, unknown>;
  /** Changes of the ID token's claims. */
  claims?: (claims: JWTPayload) => JWTPayload;
  /** Whether the ID token is signed by the key that it publishes, by another, or by none. */
  signedBy?: 'itself' | 'another key' | 'nobody' | 'the client secret';
  /** Answers in the place of the whole. */
  answer?: (path: string, response: ServerResponse) => boolean;
}

export interface FakeProvider {
  readonly issuer: string;
  /** What goes wrong from now on. */
  faults: Faults;
  /** Paths that were asked, with what was sent. */
  readonly asked: string[];
  /** What its page would send back with the browser. */
  goThere(page: string): Record<string, string>;
  close(): Promise<void>;
}

const CODE = 'a-code-that-the-fake-gave';

export async function fakeOpenIdProvider(clientSecret: string): Promise<FakeProvider> {
  const own = await generateKeyPair('RS256');
  const strange = await generateKeyPair('RS256');
  const jwk = { ...(await exportJWK(own.publicKey)), kid: 'k1', alg: 'RS256', use: 'sig' };
  const server = http.createServer((request, response) => void answer(request, response));
  const issuer = await listening(server);
  let nonce = '';
  const fake: FakeProvider = {
    issuer,
    faults: {},
    asked: [],
    goThere: (page) => {
      const asked = new URL(page).searchParams;
      nonce = asked.get('nonce') ?? '';
      return { code: CODE, state: asked.get('state') ?? '', iss: issuer };
    },
    close: () =>
      new Promise((done) => {
        server.close(() => {
          done();
        });
        server.closeAllConnections();
      }),
  };

  async function idToken(nonce: string): Promise<string> {
    const now = Math.floor(Date.now() / 1000);
    const { claims = (given) => given, signedBy = 'itself' } = fake.faults;
    const payload = claims({
      iss: issuer,
      aud: 'castbook',
      sub: 'fake-1',
      nonce,
      iat: now,
      exp: now + 300,
      auth_time: now,
      email: 'fake@kl.example',
      email_verified: true,
    });
    if (signedBy === 'nobody') {
      const part = (value: object) => Buffer.from(JSON.stringify(value)).toString('base64url');
      return `${part({ alg: 'none' })}.${part(payload)}.`;
    }
    const signing = new SignJWT(payload);
    if (signedBy === 'the client secret') {
      const secret = new TextEncoder().encode(clientSecret.padEnd(32, '0'));
      return signing.setProtectedHeader({ alg: 'HS256' }).sign(secret);
    }
    const key: CryptoKey = signedBy === 'itself' ? own.privateKey : strange.privateKey;
    return signing.setProtectedHeader({ alg: 'RS256', kid: 'k1' }).sign(key);
  }

  async function answer(request: IncomingMessage, response: ServerResponse): Promise<void> {
    const url = new URL(request.url ?? '/', issuer);
    let sent = '';
    for await (const chunk of request) sent += String(chunk);
    fake.asked.push(`${url.pathname} ${sent}`);
    if (fake.faults.answer?.(url.pathname, response) === true) return;
    const json = (value: object, status = 200) =>
      response.writeHead(status, { 'content-type': 'application/json' }).end(JSON.stringify(value));
    if (url.pathname === '/.well-known/openid-configuration') {
      const { discovery = (given: Record<string, unknown>) => given } = fake.faults;
      json(
        discovery({
          issuer,
          authorization_endpoint: `${issuer}/auth`,
          token_endpoint: `${issuer}/token`,
          jwks_uri: `${issuer}/jwks`,
          response_types_supported: ['code'],
          subject_types_supported: ['public'],
          id_token_signing_alg_values_supported: ['RS256'],
          code_challenge_methods_supported: ['S256'],
          authorization_response_iss_parameter_supported: true,
        }),
      );
    } else if (url.pathname === '/jwks') json({ keys: [jwk] });
    else if (url.pathname === '/token') {
      json({ access_token: 'a', token_type: 'Bearer', id_token: await idToken(nonce) });
    } else json({}, 404);
  }

  return fake;
}

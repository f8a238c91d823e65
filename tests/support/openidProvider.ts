/** A real, certified OpenID Connect provider on this machine, and somebody who signs in at its pages. */
import { randomUUID } from 'node:crypto';
import http, { type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import Provider from 'oidc-provider';

export const CLIENT = { id: 'castbook', secret: 'kept-by-the-clinic-and-its-provider' } as const;

export interface Account {
  readonly email: string;
  readonly verified: boolean;
}

export interface TestProvider {
  readonly issuer: string;
  /** Who has an account there, by the name typed at its page, which is the subject too. */
  readonly accounts: Map<string, Account>;
  close(): Promise<void>;
}

/** @param redirectUri as a clinic would enter it there */
export async function openIdProvider(redirectUri: string): Promise<TestProvider> {
  const server = http.createServer();
  const issuer = await listening(server);
  const accounts = new Map<string, Account>();
  // The package says on each start which Node it wants; it works on ours.
  const { warn } = console;
  console.warn = () => undefined;
  const provider = new Provider(issuer, {
    clients: [
      {
        client_id: CLIENT.id,
        client_secret: CLIENT.secret,
        redirect_uris: [redirectUri],
        response_types: ['code'],
        grant_types: ['authorization_code'],
      },
    ],
    pkce: { required: () => true },
    claims: { openid: ['sub'], email: ['email', 'email_verified'], auth_time: null },
    findAccount: (_context, subject) => ({
      accountId: subject,
      claims: () => {
        const { email, verified } = accounts.get(subject) ?? { email: '', verified: false };
        return { sub: subject, email, email_verified: verified };
      },
    }),
    cookies: { keys: [randomUUID()] },
    features: { devInteractions: { enabled: true } },
  });
  console.warn = warn;
  const answer = provider.callback();
  server.on('request', (request, response) => void answer(request, response));
  return {
    issuer,
    accounts,
    close: () =>
      new Promise((done) => {
        server.close(() => {
          done();
        });
        server.closeAllConnections();
      }),
  };
}

/** Starts to listen on a free port of this machine. @returns its address */
export const listening = (server: Server): Promise<string> =>
  new Promise((done) => {
    server.listen(0, '127.0.0.1', () => {
      done(`http://127.0.0.1:${String((server.address() as AddressInfo).port)}`);
    });
  });

/**
 * Goes to the provider's page as a browser would, signs in there as that account, consents, and
 * stops where the provider sends it back.
 * @returns what stands in the address of return
 */
export async function signInThere(page: string, as: string): Promise<Record<string, string>> {
  const cookies = new Map<string, string>();
  const visit = async (url: string, form?: Record<string, string>): Promise<Response> => {
    const answer = await fetch(url, {
      method: form === undefined ? 'GET' : 'POST',
      redirect: 'manual',
      headers: { cookie: [...cookies].map(([name, value]) => `${name}=${value}`).join('; ') },
      ...(form === undefined ? {} : { body: new URLSearchParams(form) }),
    });
    for (const set of answer.headers.getSetCookie()) {
      const [, name = '', value = ''] = /^([^=]+)=([^;]*)/.exec(set) ?? [];
      cookies.set(name, value);
    }
    return answer;
  };
  const origin = new URL(page).origin;
  let answer = await visit(page);
  for (let steps = 0; steps < 12; steps += 1) {
    const to = answer.headers.get('location');
    if (to === null) {
      const html = await answer.text();
      const action = /action="([^"]+)"/.exec(html)?.[1];
      const prompt = /name="prompt" value="([^"]+)"/.exec(html)?.[1];
      if (action === undefined || prompt === undefined) throw new Error(`no form: ${html}`);
      answer = await visit(
        new URL(action, origin).href,
        prompt === 'login' ? { prompt, login: as, password: 'any' } : { prompt },
      );
      continue;
    }
    const next = new URL(to, origin);
    if (next.origin !== origin) return Object.fromEntries(next.searchParams);
    answer = await visit(next.href);
  }
  throw new Error('the provider never sent back');
}

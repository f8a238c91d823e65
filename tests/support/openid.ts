/** A clinic whose people sign in by an organisation: what its browser does. */
import { createHash, randomBytes } from 'node:crypto';
import http from 'node:http';
import { expect } from 'vitest';
import type { Role } from '../../src/domain/words.ts';
import type { TestClinic, TestPerson } from './clinic.ts';
import { PASSWORD } from './clinic.ts';
import { CLIENT, listening } from './openidProvider.ts';

export const REDIRECT_URI = 'https://castbook.test/sign-in/openid';

/** A browser tab's secret and its hash. */
export function tabSecret(): { browserSecret: string; browserSha256: string } {
  const browserSecret = randomBytes(32).toString('base64url');
  return { browserSecret, browserSha256: createHash('sha256').update(browserSecret).digest('hex') };
}

/** Enters the provider, as an administrator does. */
export async function enterProvider(
  clinic: TestClinic,
  issuer: string,
  changes: object = {},
): Promise<void> {
  const admin = clinic.as('administrator');
  const { body } = await admin.get('/api/v1/openid-provider').expect(200);
  await admin
    .post('/api/v1/openid-provider', {
      version: (body as { version: number }).version,
      issuer,
      clientId: CLIENT.id,
      clientSecret: CLIENT.secret,
      buttonName: 'Sign in with the hospital',
      active: true,
      ...changes,
    })
    .expect(201);
}

/** What stands in the address of return. */
export type Back = Readonly<Record<string, string>>;

/** From the button to the provider's page. */
export async function begin(clinic: TestClinic, prefix = 'KL') {
  const tab = tabSecret();
  const { body } = await clinic.stranger
    .post('/api/v1/sign-in/openid/begin', { prefix, browserSha256: tab.browserSha256 })
    .expect(200);
  return { ...tab, page: (body as { address: string }).address };
}

/** From the provider's page back. */
export const finish = (clinic: TestClinic, back: Back, browserSecret: string) =>
  clinic.stranger.post('/api/v1/sign-in/openid', { back: known(back), browserSecret });

/** A browser hands over these, and nothing else that stands in the address. */
export const known = ({ state, code, iss, error }: Back) =>
  Object.fromEntries(
    Object.entries({ state, code, iss, error }).filter(([, value]) => value !== undefined),
  );

/** Links an account with a person who is signed in, from the settings. */
export async function link(
  clinic: TestClinic,
  who: Role | TestPerson,
  goThere: (page: string) => Promise<Back>,
) {
  const tab = tabSecret();
  const { body } = await clinic
    .as(who)
    .post('/api/v1/me/openid/link/begin', {
      currentPassword: PASSWORD,
      browserSha256: tab.browserSha256,
    })
    .expect(200);
  const back = await goThere((body as { address: string }).address);
  return clinic
    .as(who)
    .post('/api/v1/me/openid/link', { back: known(back), browserSecret: tab.browserSecret });
}

/** The code of a refusal, whatever the answer is. */
export const codeOf = (answer: { body: unknown }): string =>
  (answer.body as { code?: string }).code ?? '';

export const expectRefused = (answer: { status: number; body: unknown }, code: string): void => {
  expect({ code: codeOf(answer), refused: answer.status >= 400 }).toEqual({ code, refused: true });
};

/** A port of this machine that nobody listens on, and the address that a service will have there. */
export async function freeAddress(): Promise<{ port: number; publicUrl: string }> {
  const server = http.createServer();
  const publicUrl = await listening(server);
  await new Promise((done) => server.close(done));
  return { port: Number(new URL(publicUrl).port), publicUrl };
}

/**
 * What must be asked before a request, so that it can say what the service gave for it: the
 * version of a record, the provider's page, a code. Until then a mark stands in its place.
 */
import type { FakeProvider } from '../../support/fakeOpenIdProvider.ts';
import { isStranger, signInOf, type Knock } from './callers.ts';
import type { Request } from './bind.ts';
import { mark, PROOF_TO_COME, TAB, TAB_SHA256, VERSION_TO_COME } from './marks.ts';
import type { Side } from './world.ts';

export interface Asking {
  readonly own: Side;
  readonly knock: Knock;
  readonly permission: string;
  readonly provider: FakeProvider;
  /** Sends as somebody of the clinic, and gives what was answered. */
  readonly ask: (
    method: string,
    url: string,
    body?: object,
    as?: Knock,
  ) => Promise<Record<string, unknown>>;
}

/** The request as it is sent. */
export async function filledIn(request: Request, asking: Asking): Promise<Request> {
  const { body } = request;
  if (body === undefined) return request;
  const path = request.url.split('?')[0] ?? '';
  let text = body;
  const put = (from: string, to: unknown): void => {
    const written = JSON.stringify(to);
    text = text.replaceAll(from, () => written.replaceAll(/^"|"$/g, ''));
  };
  if (text.includes(String(VERSION_TO_COME))) {
    put(String(VERSION_TO_COME), versionIn(await asking.ask('GET', path), text));
  }
  if (text.includes(mark('state'))) {
    for (const [name, value] of Object.entries(await wayBack(asking))) {
      if (name === 'state' || name === 'code' || name === 'iss') put(mark(name), value);
    }
  }
  if (text.includes(PROOF_TO_COME)) {
    const sign = { ...asking, permission: 'POST /api/v1/me/openid/sign' };
    const back = await wayBack(sign);
    const { proofId } = await asking.ask('POST', '/api/v1/me/openid/sign', {
      back,
      browserSecret: TAB,
    });
    if (typeof proofId === 'string') put(PROOF_TO_COME, proofId);
  }
  if (text.includes(mark('oneTimeCode'))) put(mark('oneTimeCode'), await codeOf(asking));
  if (text.includes(mark('refreshToken'))) put(mark('refreshToken'), await refreshToken(asking));
  if (text.includes(mark('accessCode'))) {
    const { id, email } = asking.own.invited;
    const { code } = await asking.ask(
      'POST',
      `/api/v1/people/${id}/code`,
      { currentPassword: asking.own.staff.passwordOf('administrator') },
      'administrator',
    );
    put(mark('accessCode'), code ?? 'none');
    put(mark('invitedEmail'), email);
  }
  return text === body ? request : { ...request, body: text };
}

/** Of a list that is written as a whole, or of the route that has the same socket and suspension. */
function versionIn(answer: Record<string, unknown>, body: string): number {
  const { version, items } = answer as { version?: number; items?: readonly unknown[] };
  if (version !== undefined) return version;
  try {
    const meant = JSON.parse(body) as Record<string, unknown>;
    const same = (items as readonly Record<string, unknown>[] | undefined)?.find(
      ({ socketKind, suspension }) =>
        socketKind === meant['socketKind'] && suspension === meant['suspension'],
    );
    return Number(same?.['version'] ?? 1);
  } catch {
    return 1;
  }
}

/** To the provider's page and back, as the browser of who asks. */
async function wayBack({ own, knock, permission, provider, ask }: Asking) {
  const browser = { browserSha256: TAB_SHA256 };
  const begun = permission.endsWith('/link')
    ? await ask('POST', '/api/v1/me/openid/link/begin', {
        ...browser,
        currentPassword: own.staff.passwordOf(knock),
      })
    : permission.endsWith('/sign')
      ? await ask('POST', '/api/v1/me/openid/sign/begin', browser)
      : await ask('POST', '/api/v1/sign-in/openid/begin', { ...browser, prefix: own.prefix });
  const { address } = begun;
  // Before anybody is signed in: somebody who has an account there.
  const whose = permission === 'POST /api/v1/sign-in/openid' ? 'prosthetist' : knock;
  own.signsInThere(whose);
  return typeof address === 'string' ? provider.goThere(address) : {};
}

/** A code that counts: of who has no second factor yet, after its secret was shown, and after it was confirmed. */
async function codeOf({ own, knock, permission, ask }: Asking): Promise<string> {
  const { staff } = own;
  if (!isStranger(knock) && !staff.hasFactor(knock)) {
    const { secret } = await ask('POST', '/api/v1/me/second-factor', {
      currentPassword: staff.passwordOf(knock),
    });
    if (typeof secret === 'string') staff.setSecret(knock, secret);
    if (!permission.endsWith('/confirmation')) {
      const { recoveryCodes } = await ask('POST', '/api/v1/me/second-factor/confirmation', {
        oneTimeCode: staff.codeOf(knock),
      });
      if (recoveryCodes !== undefined) staff.factorConfirmed(knock);
    }
  }
  return staff.codeOf(knock);
}

async function refreshToken({ own, knock, ask }: Asking): Promise<string> {
  const who = signInOf(knock)?.way === 'whole' ? knock : 'auditor';
  const { email, password } = {
    email: own.staff.emailOf(who),
    password: own.staff.passwordOf(who),
  };
  const { refreshToken: token } = await ask('POST', '/api/v1/sign-in', { email, password });
  return typeof token === 'string' ? token : 'none';
}

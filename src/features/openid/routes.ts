import {
  beginFor,
  beginSignIn,
  buttonOf,
  finishFor,
  finishSignIn,
  finishToSign,
  type OpenIdParts,
} from '../../access/openid.ts';
import { askPasswordAgain } from '../../access/signIn.ts';
import type { AccessTokens } from '../../access/tokens.ts';
import { deviceOf } from '../../domain/devices.ts';
import type { Api } from '../../http/api.ts';
import { OwnPassword } from '../../http/fields.ts';
import { pairOf } from '../people/tokens.ts';
import { Tokens } from '../people/schemas.ts';
import { readProvider, saveProvider, tryIssuer } from './provider.ts';
import {
  BeginLink,
  BeginSignIn,
  BeginToSign,
  LinkParams,
  OpenIdButton,
  OpenIdLinkView,
  OpenIdProviderView,
  OwnOpenIdLink,
  PersonParams,
  ProofView,
  ProviderPage,
  Return,
  TryIssuer,
  WriteOpenIdProvider,
} from './schemas.ts';
import { invite, linkOwn, proveToSign, readLink, readOwnLink, unlink } from './service.ts';

/** Before anybody is known. */
export function openIdSignInRoutes(api: Api, parts: OpenIdParts, tokens: AccessTokens): void {
  api.open(
    {
      method: 'GET',
      url: '/api/v1/sign-in/openid/:prefix',
      name: 'readOpenIdButton',
      tag: 'Sign-in',
      summary: 'The organisation’s button behind a sign-in link',
      description:
        'A clinic’s link says which provider is meant, so that no address of anybody needs to be asked, and none can be tried.',
      params: LinkParams,
      answer: OpenIdButton,
    },
    async ({ params }) => ({ buttonName: await buttonOf(api.store, params.prefix) }),
  );
  api.open(
    {
      method: 'POST',
      url: '/api/v1/sign-in/openid/begin',
      name: 'beginOpenIdSignIn',
      tag: 'Sign-in',
      summary: 'Begin to sign in by the organisation',
      description:
        'Gives the page of the provider (OpenID Connect, code flow with PKCE). Good once, for ten minutes, with the secret of the browser that began.',
      body: BeginSignIn,
      answer: ProviderPage,
      limit: 'sign-in',
      alsoRefuses: [404, 409],
    },
    async ({ body, at }) => ({ address: await beginSignIn(parts, body, at) }),
  );
  api.open(
    {
      method: 'POST',
      url: '/api/v1/sign-in/openid',
      name: 'signInByOpenId',
      tag: 'Sign-in',
      summary: 'Sign in by the organisation',
      description:
        'What the provider sent back with the browser, and the secret that it kept. Tokens stand in the answer only, never in an address.',
      body: Return,
      answer: Tokens,
      limit: 'sign-in',
      alsoRefuses: [409],
    },
    async ({ body, userAgent, at }) =>
      pairOf(tokens, await finishSignIn(parts, body, deviceOf(userAgent), at), at),
  );
}

/** One's own account of the organisation, and other people's. */
export function openIdLinkRoutes(api: Api, parts: OpenIdParts): void {
  api.read(
    {
      url: '/api/v1/me/openid',
      name: 'readOwnOpenIdLink',
      tag: 'People',
      summary: 'Whether an account of the organisation is linked with me',
      answer: OwnOpenIdLink,
    },
    (act) => readOwnLink(act),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/me/openid/link/begin',
      name: 'beginOpenIdLink',
      tag: 'People',
      summary: 'Begin to link my account of the organisation',
      description: 'Needs the present password. Gives the page of the provider.',
      body: BeginLink,
      answer: ProviderPage,
      status: 200,
      prepare: async (asked) => {
        await askPasswordAgain(asked);
        const { body, caller, at } = asked;
        const { browserSha256 } = body;
        return beginFor(parts, caller, { purpose: 'link', browserSha256 }, at);
      },
    },
    async (_act, { prepared }) => ({ address: prepared }),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/me/openid/link',
      name: 'linkOpenId',
      tag: 'People',
      summary: 'Link my account of the organisation',
      description: 'An account stands for one person of the clinic, and a person has one.',
      body: Return,
      answer: OwnOpenIdLink,
      prepare: ({ body, caller, at }) => finishFor(parts, caller, 'link', body, at),
    },
    (act, { prepared }) => linkOwn(act, prepared.known),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/me/openid/unlink',
      name: 'unlinkOwnOpenId',
      tag: 'People',
      summary: 'Unlink my account of the organisation',
      description: 'Needs the present password; signs my other devices out.',
      body: OwnPassword,
      prepare: askPasswordAgain,
    },
    (act, { caller }) => unlink(act, caller.personId, caller.familyId),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/me/openid/sign/begin',
      name: 'beginOpenIdToSign',
      tag: 'People',
      summary: 'Begin to prove by the organisation who signs',
      description: 'Gives the page of the provider, which asks anew whoever is signed in there.',
      body: BeginToSign,
      answer: ProviderPage,
      status: 200,
      prepare: ({ body: { browserSha256 }, caller, at }) =>
        beginFor(parts, caller, { purpose: 'sign', browserSha256 }, at),
    },
    async (_act, { prepared }) => ({ address: prepared }),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/me/openid/sign',
      name: 'proveOpenIdToSign',
      tag: 'People',
      summary: 'Prove by the organisation who signs',
      description:
        'Where the provider has just asked for it, stands in the place of the password of one signature: in this sign-in, within three minutes, with the secret that the browser keeps.',
      body: Return,
      answer: ProofView,
      prepare: ({ body, caller, at }) => finishToSign(parts, caller, body, at),
    },
    (act, { prepared }) => proveToSign(act, prepared.known, prepared.attemptId),
  );
  api.read(
    {
      url: '/api/v1/people/:personId/openid',
      name: 'readOpenIdLink',
      tag: 'People',
      summary: 'Whether an account of the organisation is linked with a person',
      params: PersonParams,
      answer: OpenIdLinkView,
    },
    (act, { params }) => readLink(act, params.personId),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/people/:personId/openid/invitation',
      name: 'inviteByOpenId',
      tag: 'People',
      summary: 'Have a person sign in by the organisation',
      description:
        'Needs the own password of the administrator. The first sign-in whose e-mail address the provider calls verified, and that is the person’s, links the account; within fourteen days, once.',
      params: PersonParams,
      body: OwnPassword,
      answer: OpenIdLinkView,
      prepare: askPasswordAgain,
    },
    (act, { params }) => invite(act, params.personId),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/people/:personId/openid/unlink',
      name: 'unlinkOpenId',
      tag: 'People',
      summary: 'Unlink a person’s account of the organisation, or take an invitation back',
      description: 'Signs the person out everywhere.',
      params: PersonParams,
    },
    (act, { params }) => unlink(act, params.personId),
  );
}

export interface ProviderSettings extends OpenIdParts {
  readonly publicUrl: string;
  readonly loopbackHttp: boolean;
}

/** What an administrator enters. */
export function openIdProviderRoutes(api: Api, settings: ProviderSettings): void {
  const { client, publicUrl, loopbackHttp } = settings;
  api.read(
    {
      url: '/api/v1/openid-provider',
      name: 'readOpenIdProvider',
      tag: 'Clinic',
      summary: 'The organisation’s provider by which people may sign in',
      answer: OpenIdProviderView,
    },
    (act) => readProvider(act, publicUrl),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/openid-provider',
      name: 'writeOpenIdProvider',
      tag: 'Clinic',
      summary: 'Enter or change the organisation’s provider',
      description:
        'From the version that was read. The client secret is kept encrypted, is never shown again, and goes to the issuer only that it was entered for.',
      body: WriteOpenIdProvider,
      answer: OpenIdProviderView,
    },
    (act, { body }) => saveProvider(act, settings, body),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/openid-provider/trial',
      name: 'tryOpenIdIssuer',
      tag: 'Clinic',
      summary: 'Try whether a provider answers at an address',
      description:
        'Reads what it says of itself; nothing is kept of it. Refused, it says what is wrong.',
      body: TryIssuer,
      prepare: ({ body, at }) => tryIssuer(client, body.issuer, loopbackHttp, at),
    },
    () => Promise.resolve(),
  );
}

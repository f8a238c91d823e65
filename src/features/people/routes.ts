import { newCode, passwordByCode } from '../../access/codes.ts';
import { Strangers } from '../../access/lockOut.ts';
import { askPasswordAgain, reauthenticate, refresh, signIn } from '../../access/signIn.ts';
import type { AccessTokens } from '../../access/tokens.ts';
import { deviceOf } from '../../domain/devices.ts';
import type { Api } from '../../http/api.ts';
import { OwnPassword } from '../../http/fields.ts';
import {
  AddPerson,
  BenchPeople,
  ChangePassword,
  ChangePerson,
  GivenCode,
  InvitedPerson,
  MeView,
  People,
  PasswordByCode,
  PasswordSet,
  PeopleQuery,
  PersonParams,
  PersonSessionParams,
  PersonView,
  Refresh,
  Sessions,
  SessionParams,
  SignIn,
  Tokens,
} from './schemas.ts';
import { pairOf } from './tokens.ts';
import {
  changeOwnPassword,
  changePerson,
  fitPasswordHash,
  giveCode,
  invitePerson,
  listBenchPeople,
  listPeople,
  readMe,
  readPerson,
  signOut,
} from './service.ts';
import { endSessionOf, endSessionsOf, listSessions } from './sessions.ts';

export function signInRoutes(api: Api, tokens: AccessTokens): void {
  const strangers = new Strangers();

  api.open(
    {
      method: 'POST',
      url: '/api/v1/sign-in',
      name: 'signIn',
      tag: 'Sign-in',
      summary: 'Sign in',
      description:
        'Gives an access token (ten minutes) and a refresh token (twelve hours, renewed by use for thirty days at most). Five wrong passwords lock the name for a minute, each further one twice as long, up to an hour; names of nobody are locked alike. Who has a second factor is asked for its code: send all again with `oneTimeCode`; wrong codes count like wrong passwords. `reach` says what the sign-in may: `enrolment` only adds the second factor that the clinic asks for.',
      body: SignIn,
      answer: Tokens,
      limit: 'sign-in',
    },
    async ({ body, userAgent, at }) => {
      const given = { ...body, device: deviceOf(userAgent) };
      return pairOf(tokens, await signIn(api.store, strangers, given, at), at);
    },
  );
  api.open(
    {
      method: 'POST',
      url: '/api/v1/sign-in/refresh',
      name: 'refreshSignIn',
      tag: 'Sign-in',
      summary: 'Stay signed in',
      description:
        'Gives a new pair for a refresh token, once. A token shown a second time ends every token of its sign-in: somebody else may have it.',
      body: Refresh,
      answer: Tokens,
    },
    async ({ body, at }) => pairOf(tokens, await refresh(api.store, body.refreshToken, at), at),
  );
  api.open(
    {
      method: 'POST',
      url: '/api/v1/sign-in/code',
      name: 'setPasswordByCode',
      tag: 'Sign-in',
      summary: 'Set a password by a one-time code',
      description:
        'The code is one that an administrator gave; it works once. Then sign in with the password. An address that nobody has, a wrong code and one that has ended are answered alike. Needs fifteen characters; what is common, repeats itself, follows the keyboard or is made of names known here is refused.',
      body: PasswordByCode,
      answer: PasswordSet,
      limit: 'sign-in',
    },
    async ({ body, at }) => {
      await passwordByCode(api.store, body, at);
      return { passwordSet: true as const };
    },
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/sign-out',
      name: 'signOut',
      tag: 'Sign-in',
      summary: 'Sign out',
      description:
        'Ends this sign-in: neither its refresh token nor its access token opens anything from now on.',
    },
    (act, { caller }) => signOut(act, caller.familyId),
  );
}

export function peopleRoutes(api: Api): void {
  api.read(
    { url: '/api/v1/me', name: 'readMe', tag: 'People', summary: 'Who am I', answer: MeView },
    (act) => readMe(act),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/me/password',
      name: 'changeOwnPassword',
      tag: 'People',
      summary: 'Change my password',
      description:
        'Needs the present password; signs my other devices out. Fifteen characters at least; what is common, repeats itself, follows the keyboard or is made of names known here is refused (NIST SP 800-63B-4).',
      body: ChangePassword,
      prepare: async ({ body, store, caller, at }) => {
        const { currentPassword, newPassword } = body;
        await reauthenticate(store, caller, currentPassword, at, 'password-not-verified');
        return fitPasswordHash(store, caller, newPassword, '/newPassword');
      },
    },
    (act, { prepared, caller }) => changeOwnPassword(act, prepared, caller.familyId),
  );
  api.read(
    {
      url: '/api/v1/bench-people',
      name: 'listBenchPeople',
      tag: 'People',
      summary: 'Who may be named as the second person of an operation',
      description: 'Active technicians and prosthetists, by printed name; nothing else of them.',
      answer: BenchPeople,
    },
    (act) => listBenchPeople(act),
  );
  api.read(
    {
      url: '/api/v1/people',
      name: 'listPeople',
      tag: 'People',
      summary: 'The people of the clinic, by printed name',
      query: PeopleQuery,
      answer: People,
    },
    (act, { query }) => listPeople(act, query),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/people',
      name: 'addPerson',
      tag: 'People',
      summary: 'Invite a person',
      description:
        'Needs the own password of the administrator. Answers a one-time code, once, which the person sets a first password with (`POST /api/v1/sign-in/code`): before that nobody signs in as them, and nobody else ever knows it. It ends after 72 hours, by use, by another code, after ten wrong tries, and when the person leaves.',
      body: AddPerson,
      answer: InvitedPerson,
      versioned: true,
      shownOnce: ['code'],
      prepare: async (asked) => {
        await askPasswordAgain(asked);
        return newCode();
      },
    },
    (act, { body: { email, printedName, roles }, prepared }) =>
      invitePerson(act, { email, printedName, roles }, prepared),
  );
  api.read(
    {
      url: '/api/v1/people/:personId',
      name: 'readPerson',
      tag: 'People',
      summary: 'One person',
      params: PersonParams,
      answer: PersonView,
      versioned: true,
    },
    (act, { params }) => readPerson(act, params.personId),
  );
  api.write(
    {
      method: 'PATCH',
      url: '/api/v1/people/:personId',
      name: 'changePerson',
      tag: 'People',
      summary: 'Change a person: name, roles, whether active',
      description:
        'Roles, and letting somebody back in, need the own password of the administrator. Who is no longer active is signed out everywhere. Nobody is ever deleted (R10). Nobody takes their own access as administrator away, and the clinic keeps one.',
      params: PersonParams,
      body: ChangePerson,
      answer: PersonView,
      versioned: true,
      prepare: async ({ body: { currentPassword }, ...asked }) => {
        if (currentPassword === undefined) return;
        await askPasswordAgain({ ...asked, body: { currentPassword } });
      },
    },
    (act, { params, body: { currentPassword: _asked, ...change }, expectedVersion }) =>
      changePerson(act, params.personId, change, expectedVersion),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/people/:personId/code',
      name: 'giveCode',
      tag: 'People',
      summary: 'Give a person a one-time code for a new password',
      description:
        'Needs the own password of the administrator: whoever has the code becomes that person. Answers the code, once. The present password and every sign-in of the person end at once, and so does a code that was given before: a reset is asked for when the password may be in other hands. Nobody gives one to themselves.',
      params: PersonParams,
      body: OwnPassword,
      answer: GivenCode,
      shownOnce: ['code'],
      prepare: async (asked) => {
        await askPasswordAgain(asked);
        return newCode();
      },
    },
    (act, { params, prepared }) => giveCode(act, params.personId, prepared),
  );
}

export function sessionRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/me/sessions',
      name: 'listOwnSessions',
      tag: 'Sign-in',
      summary: 'Where I am signed in',
      description: 'The last used first. What has idled for twelve hours is not among them.',
      answer: Sessions,
    },
    (act, { caller }) => listSessions(act, caller.personId, caller.familyId),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/me/sessions/:sessionId/end',
      name: 'endOwnSession',
      tag: 'Sign-in',
      summary: 'Sign me out there',
      description: 'Its next request is refused, and its live stream ends.',
      params: SessionParams,
    },
    (act, { params, caller }) => endSessionOf(act, caller.personId, params.sessionId),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/me/sessions/end-others',
      name: 'endOtherSessions',
      tag: 'Sign-in',
      summary: 'Sign me out everywhere but here',
    },
    (act, { caller }) => endSessionsOf(act, caller.personId, caller.familyId),
  );
  api.read(
    {
      url: '/api/v1/people/:personId/sessions',
      name: 'listSessions',
      tag: 'Sign-in',
      summary: 'Where a person is signed in',
      params: PersonParams,
      answer: Sessions,
    },
    (act, { params, caller }) => listSessions(act, params.personId, caller.familyId),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/people/:personId/sessions/:sessionId/end',
      name: 'endSession',
      tag: 'Sign-in',
      summary: 'Sign a person out there',
      params: PersonSessionParams,
    },
    (act, { params }) => endSessionOf(act, params.personId, params.sessionId),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/people/:personId/sessions/end-all',
      name: 'endSessions',
      tag: 'Sign-in',
      summary: 'Sign a person out everywhere',
      params: PersonParams,
    },
    (act, { params }) => endSessionsOf(act, params.personId),
  );
}

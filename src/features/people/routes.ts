import { Strangers } from '../../access/lockOut.ts';
import type { SecretSeal } from '../../access/secretSeal.ts';
import { reauthenticate, refresh, signIn } from '../../access/signIn.ts';
import type { AccessTokens } from '../../access/tokens.ts';
import { deviceOf } from '../../domain/devices.ts';
import type { Api } from '../../http/api.ts';
import {
  AddPerson,
  BenchPeople,
  ChangePassword,
  ChangePerson,
  MeView,
  People,
  PeopleQuery,
  PersonParams,
  PersonView,
  Refresh,
  ResetPassword,
  SignIn,
  Tokens,
} from './schemas.ts';
import { pairOf } from './tokens.ts';
import {
  addPerson,
  changeOwnPassword,
  changePerson,
  fitPasswordHash,
  listBenchPeople,
  listPeople,
  readMe,
  readPerson,
  resetPassword,
  signOut,
} from './service.ts';

export function signInRoutes(api: Api, tokens: AccessTokens, seal: SecretSeal): void {
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
      return pairOf(tokens, await signIn(api.store, strangers, seal, given, at), at);
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
  api.write(
    {
      method: 'POST',
      url: '/api/v1/sign-out',
      name: 'signOut',
      tag: 'Sign-in',
      summary: 'Sign out',
      description: 'Ends the refresh tokens of this sign-in; the access token dies of age.',
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
      description: 'Needs the present password; signs my other devices out.',
      body: ChangePassword,
      prepare: async ({ body, store, caller, at }) => {
        const { currentPassword, newPassword } = body;
        await reauthenticate(store, caller, currentPassword, at, 'password-not-verified');
        return fitPasswordHash(newPassword, '/newPassword');
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
      summary: 'Add a person',
      body: AddPerson,
      answer: PersonView,
      versioned: true,
      prepare: ({ body }) => fitPasswordHash(body.initialPassword, '/initialPassword'),
    },
    (act, { body: { email, printedName, roles }, prepared }) =>
      addPerson(act, { email, printedName, roles, passwordHash: prepared }),
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
        'Who is no longer active is signed out everywhere. Nobody is ever deleted (R10). Nobody takes their own access as administrator away, and the clinic keeps one.',
      params: PersonParams,
      body: ChangePerson,
      answer: PersonView,
      versioned: true,
    },
    (act, { params, body, expectedVersion }) =>
      changePerson(act, params.personId, body, expectedVersion),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/people/:personId/password',
      name: 'resetPassword',
      tag: 'People',
      summary: "Set a person's password",
      description: 'Ends a lock and signs the person out everywhere.',
      params: PersonParams,
      body: ResetPassword,
      prepare: ({ body }) => fitPasswordHash(body.newPassword, '/newPassword'),
    },
    (act, { params, prepared }) => resetPassword(act, params.personId, prepared),
  );
}

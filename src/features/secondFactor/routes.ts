import { reauthenticateWithCode } from '../../access/secondFactor.ts';
import { askPasswordAgain } from '../../access/signIn.ts';
import type { Api } from '../../http/api.ts';
import { OwnPassword } from '../../http/fields.ts';
import {
  ConfirmSecondFactor,
  PasswordAndCode,
  PersonParams,
  RecoveryCodes,
  SecondFactorBegun,
  SecondFactorView,
} from './schemas.ts';
import {
  beginSecondFactor,
  confirmSecond,
  readSecondFactor,
  removeSecondFactor,
  renewRecoveryCodes,
  resetSecondFactor,
} from './service.ts';

export function secondFactorRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/me/second-factor',
      name: 'readSecondFactor',
      tag: 'Sign-in',
      summary: 'My second factor: whether there is one, and whether it is asked of me',
      answer: SecondFactorView,
    },
    (act) => readSecondFactor(act),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/me/second-factor',
      name: 'beginSecondFactor',
      tag: 'Sign-in',
      summary: 'Begin to add a second factor',
      description:
        'Needs the present password. Answers a secret for an authenticator app (TOTP, RFC 6238: SHA-1, six figures, 30 s), once; it counts after a first code has confirmed it.',
      body: OwnPassword,
      answer: SecondFactorBegun,
      answerOnce: true,
      prepare: askPasswordAgain,
    },
    (act) => beginSecondFactor(act),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/me/second-factor/confirmation',
      name: 'confirmSecondFactor',
      tag: 'Sign-in',
      summary: 'Confirm my second factor by a first code',
      description:
        'Signs my other devices out, and answers ten recovery codes, once. Renew the sign-in afterwards: the next access token says what it may.',
      body: ConfirmSecondFactor,
      answer: RecoveryCodes,
      answerOnce: true,
    },
    (act, { body, caller }) => confirmSecond(act, caller, body.oneTimeCode),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/me/second-factor/recovery-codes',
      name: 'renewRecoveryCodes',
      tag: 'Sign-in',
      summary: 'Make new recovery codes',
      description: 'Needs password and code; those that were left no longer count.',
      body: PasswordAndCode,
      answer: RecoveryCodes,
      answerOnce: true,
      prepare: ({ body, store, caller, at }) => reauthenticateWithCode(store, caller, body, at),
    },
    (act) => renewRecoveryCodes(act),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/me/second-factor/removal',
      name: 'removeSecondFactor',
      tag: 'Sign-in',
      summary: 'Turn my second factor off',
      description: 'Needs password and code, a recovery code too; signs my other devices out.',
      body: PasswordAndCode,
      prepare: ({ body, store, caller, at }) => reauthenticateWithCode(store, caller, body, at),
    },
    (act, { caller }) => removeSecondFactor(act, caller),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/people/:personId/second-factor/reset',
      name: 'resetSecondFactor',
      tag: 'People',
      summary: "Reset a person's second factor",
      description:
        'Needs the own password of the administrator. For who has lost phone and recovery codes. Signs the person out everywhere; where the clinic asks for one, the next sign-in adds a new one. Be sure who asks.',
      params: PersonParams,
      body: OwnPassword,
      prepare: askPasswordAgain,
    },
    (act, { params }) => resetSecondFactor(act, params.personId),
  );
}

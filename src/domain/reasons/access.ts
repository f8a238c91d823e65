import { entry } from './reason.ts';

/** Refusals about who is asking and what that person may do. */
export const ACCESS_REASONS = {
  'not-signed-in': entry<Record<never, never>>({
    rule: null,
    kind: 'unidentified',
    title: 'Not signed in',
    words: () => 'This needs an access token that the service has issued.',
    wayOut: () => 'Sign in at POST /api/v1/sign-in and send "Authorization: Bearer <accessToken>".',
  }),
  'token-expired': entry<Record<never, never>>({
    rule: null,
    kind: 'unidentified',
    title: 'The access token has expired',
    words: () => 'Access tokens are good for ten minutes; this one is older.',
    wayOut: () => 'Get a new one at POST /api/v1/sign-in/refresh, or sign in again.',
  }),
  'session-ended': entry<Record<never, never>>({
    rule: null,
    kind: 'unidentified',
    title: 'This sign-in has been ended',
    words: () => 'This sign-in was ended: by signing out, by yourself elsewhere, or for you.',
    wayOut: () => 'Sign in again.',
  }),
  'access-changed': entry<Record<never, never>>({
    rule: null,
    kind: 'unidentified',
    title: 'Your roles have changed',
    words: () => 'Your roles are others than when this access token was given.',
    wayOut: () => 'Get a new one at POST /api/v1/sign-in/refresh, or sign in again.',
  }),
  'session-unknown': entry<Record<never, never>>({
    rule: null,
    kind: 'absent',
    title: 'No such sign-in',
    words: () => 'There is no such sign-in, or it has ended already.',
    wayOut: () => 'Read the list of sign-ins again.',
  }),
  'role-may-not': entry<{ roles: readonly string[] }>({
    rule: null,
    kind: 'forbidden',
    title: 'Your role may not do this',
    words: (f) => `This is for: ${f.roles.join(', ')}.`,
    wayOut: () => 'Ask somebody with such a role, or the administrator for the role.',
  }),
  'sign-in-failed': entry<Record<never, never>>({
    rule: null,
    kind: 'unidentified',
    title: 'E-mail address or password is wrong',
    words: () => 'No active person has this e-mail address with this password.',
    wayOut: () => 'Check both; an administrator can give you a code for a new password.',
  }),
  'sign-in-locked': entry<{ retryAfterS: number }>({
    rule: null,
    kind: 'conflict',
    title: 'Too many failed attempts',
    words: (f) =>
      `After too many wrong passwords this name is locked for another ${f.retryAfterS} s.`,
    wayOut: () => 'Wait; each further wrong password doubles the wait, up to an hour.',
  }),
  'code-not-valid': entry<Record<never, never>>({
    rule: null,
    kind: 'unidentified',
    title: 'The code does not count',
    words: () =>
      'No active person has this e-mail address with this code: a code works once, for 72 hours, and not after ten wrong tries.',
    wayOut: () => 'Check both; an administrator can give you another code.',
  }),
  'refresh-token-not-valid': entry<Record<never, never>>({
    rule: null,
    kind: 'unidentified',
    title: 'The refresh token is not valid',
    words: () => 'The refresh token is unknown, expired or ended by a sign-out.',
    wayOut: () => 'Sign in again.',
  }),
  'refresh-token-reused': entry<Record<never, never>>({
    rule: null,
    kind: 'unidentified',
    title: 'The refresh token was used before',
    words: () =>
      'Each refresh token works once. This one was shown again, so every token of that sign-in has been ended.',
    wayOut: () => 'Sign in again. If it was not you or your own device, change your password.',
  }),
  'signature-not-verified': entry<Record<never, never>>({
    rule: 'R8',
    kind: 'forbidden',
    title: 'The signature is not verified',
    words: () => 'Signing needs your own password at the moment of signing; this one is not it.',
    wayOut: () => 'Type your password again. Wrong ones count as failed sign-ins.',
  }),
  'signed-content-changed': entry<Record<never, never>>({
    rule: 'R8',
    kind: 'conflict',
    title: 'What you saw is not what stands now',
    words: () => 'What would be signed has changed since it was shown to you. Nothing was signed.',
    wayOut: () => 'Read what stands now, and sign that.',
  }),
  'password-not-verified': entry<Record<never, never>>({
    rule: null,
    kind: 'forbidden',
    title: 'Your password is wrong',
    words: () => 'This is done only with your own password, as it is at present.',
    wayOut: () => 'Type your password again. Wrong ones count as failed sign-ins.',
  }),
  'own-password-missing': entry<Record<never, never>>({
    rule: null,
    kind: 'forbidden',
    title: 'You have no password here',
    words: () => 'This is done only with your own password, and you sign in by your organisation.',
    wayOut: () =>
      'Have an administrator give you a one-time code, and set a password by it. Where there is none, whoever runs the service gives one.',
  }),
  'password-unfit': entry<{ shortest: number; longest: number }>({
    rule: null,
    kind: 'invalid',
    title: 'The password is too short or too long',
    words: (f) => `A password has ${f.shortest} to ${f.longest} characters.`,
    wayOut: () => 'Take a sentence or several words; any characters will do.',
  }),
  'password-common': entry<Record<never, never>>({
    rule: null,
    kind: 'invalid',
    title: 'The password is easily guessed',
    words: () =>
      'This password is among the first to be guessed: it is common, repeats itself, follows the keyboard, or is made of names that are known here.',
    wayOut: () => 'Take several words that have nothing to do with each other, or with you.',
  }),
  'person-has-left': entry<Record<never, never>>({
    rule: null,
    kind: 'rule',
    title: 'This person no longer works here',
    words: () => 'A one-time code is for people who work here; this one is marked as having left.',
    wayOut: () => 'Mark the person as working here first.',
  }),
  'own-code-by-another': entry<Record<never, never>>({
    rule: null,
    kind: 'rule',
    title: 'Nobody gives themselves a code',
    words: () => 'A code for your own password would let whoever holds your device set it.',
    wayOut: () => 'Change your password with the present one, or ask another administrator.',
  }),
  'person-unknown': entry<Record<never, never>>({
    rule: null,
    kind: 'absent',
    title: 'No such person',
    words: () => 'There is no such person in this clinic.',
    wayOut: () => 'See the list of the clinic’s people.',
  }),
  'email-is-taken': entry<Record<never, never>>({
    rule: null,
    kind: 'conflict',
    title: 'The e-mail address is taken',
    words: () => 'Somebody signs in with this e-mail address already.',
    wayOut: () => 'Give another address, or change the person who has it.',
  }),
  'last-administrator': entry<Record<never, never>>({
    rule: null,
    kind: 'rule',
    title: 'The clinic needs an administrator',
    words: () => 'This would leave the clinic without an active administrator.',
    wayOut: () => 'Make somebody else administrator first.',
  }),
  'own-access-kept': entry<Record<never, never>>({
    rule: null,
    kind: 'rule',
    title: 'Nobody takes away their own access',
    words: () =>
      'This would take your own role as administrator away, or sign you out for good: a slip that you could not undo.',
    wayOut: () => 'Ask another administrator to do it.',
  }),
};

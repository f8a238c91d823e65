import { entry } from './reason.ts';

/** Refusals about the second factor, and about the short PIN of a bench phone. */
export const SECOND_FACTOR_REASONS = {
  'second-factor-asked': entry<Record<never, never>>({
    rule: null,
    kind: 'unidentified',
    title: 'The second factor is asked',
    words: () => 'This person signs in with a code as well; the password alone is not enough.',
    wayOut: () =>
      'Type the code that your authenticator app shows now, or one of your recovery codes.',
  }),
  'second-factor-wrong': entry<Record<never, never>>({
    rule: null,
    kind: 'unidentified',
    title: 'The code is wrong',
    words: () => 'This code does not count: it is another one’s, too old, or was used before.',
    wayOut: () =>
      'Wait for the next code of your app and type that. Wrong ones count as failed sign-ins. If the phone’s clock is wrong, set it by the network.',
  }),
  'code-not-verified': entry<Record<never, never>>({
    rule: null,
    kind: 'forbidden',
    title: 'The code is not verified',
    words: () => 'This code does not count: it is another one’s, too old, or was used before.',
    wayOut: () =>
      'Wait for the next code of your app and type that. Wrong ones count as failed sign-ins.',
  }),
  'second-factor-required': entry<Record<never, never>>({
    rule: null,
    kind: 'forbidden',
    title: 'Your clinic asks you for a second factor',
    words: () =>
      'Until you have added a second factor, this sign-in can do nothing else: your clinic asks people with your roles for one.',
    wayOut: () => 'Add it with an authenticator app; then go on.',
  }),
  'second-factor-there': entry<Record<never, never>>({
    rule: null,
    kind: 'conflict',
    title: 'You have a second factor already',
    words: () => 'A second factor has been added for you before; nobody has two.',
    wayOut: () => 'Turn it off first, with your password and a code.',
  }),
  'second-factor-missing': entry<Record<never, never>>({
    rule: null,
    kind: 'conflict',
    title: 'There is no second factor',
    words: () => 'This person has no second factor that could be changed.',
    wayOut: () => 'See the settings; a second factor may be added there.',
  }),
  'second-factor-not-begun': entry<{ minutes: number }>({
    rule: null,
    kind: 'conflict',
    title: 'No second factor is being added',
    words: (f) =>
      `Nothing was begun that this code could confirm, or more than ${f.minutes} minutes ago.`,
    wayOut: () => 'Begin again: read the new code into your app.',
  }),
  'own-second-factor-not-reset': entry<Record<never, never>>({
    rule: null,
    kind: 'rule',
    title: 'Nobody resets their own second factor',
    words: () => 'A reset needs no code, so it is somebody else’s to give.',
    wayOut: () =>
      'Turn yours off with password and code, by a recovery code too; or ask another administrator.',
  }),
  'shown-once': entry<Record<never, never>>({
    rule: null,
    kind: 'conflict',
    title: 'This was shown once',
    words: () => 'This request was done before. What it showed is kept nowhere to be shown again.',
    wayOut: () => 'If you have not seen it, begin again.',
  }),
  'signing-needs-second-factor': entry<Record<never, never>>({
    rule: 'R8',
    kind: 'forbidden',
    title: 'Signing needs a sign-in with the second factor',
    words: () =>
      'Your clinic asks signers for a second factor, and this sign-in was begun without it. Nothing was signed.',
    wayOut: () => 'Sign out, and sign in with password and code; then sign.',
  }),
  'signing-not-by-pin': entry<Record<never, never>>({
    rule: 'R8',
    kind: 'forbidden',
    title: 'Nobody signs after unlocking by PIN',
    words: () => 'A signature needs a full sign-in of the person who signs. Nothing was signed.',
    wayOut: () => 'Lock the bench, sign in with your password, and sign then.',
  }),
  'session-not-the-signers': entry<Record<never, never>>({
    rule: 'R8',
    kind: 'forbidden',
    title: 'This sign-in is not the signer’s own',
    words: () =>
      'A signature is given in an open sign-in of the very person who signs. Nothing was signed.',
    wayOut: () => 'Sign in as yourself, and sign then.',
  }),
  'not-by-pin': entry<Record<never, never>>({
    rule: null,
    kind: 'forbidden',
    title: 'This needs a full sign-in',
    words: () => 'Who has unlocked the bench by PIN does the bench’s work there, and no more.',
    wayOut: () => 'Sign in with e-mail address and password.',
  }),
  'pin-too-easy': entry<{ why: string }>({
    rule: null,
    kind: 'invalid',
    title: 'The PIN is too easy to guess',
    words: (f) => `This PIN would be among the first to be guessed: ${f.why}.`,
    wayOut: () => 'Take six figures that nobody would think of: no row, no repetition, no date.',
  }),
  'pin-wrong': entry<{ triesLeft: number }>({
    rule: null,
    kind: 'unidentified',
    title: 'The PIN is wrong',
    words: (f) => `This is not the PIN. Tries left: ${f.triesLeft}.`,
    wayOut: () => 'Type it again, or sign in with your password.',
  }),
  'pin-ended': entry<Record<never, never>>({
    rule: null,
    kind: 'unidentified',
    title: 'There is no PIN that counts here',
    words: () =>
      'On this device the person has no PIN, or it has ended: by time, by wrong tries, or because the sign-in that it came from was ended.',
    wayOut: () => 'Sign in with your password; a new PIN may be set then.',
  }),
  'pin-needs-fresh-sign-in': entry<{ hours: number }>({
    rule: null,
    kind: 'rule',
    title: 'A PIN is set after a fresh sign-in',
    words: (f) => `A PIN is good for ${f.hours} h from the sign-in, and yours is older.`,
    wayOut: () => 'Sign out, sign in with your password, and set the PIN then.',
  }),
};

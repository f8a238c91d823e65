import { entry } from './reason.ts';

/** Refusals about signing in by an organisation's account. */
export const OPENID_REASONS = {
  'openid-not-available': entry<Record<never, never>>({
    rule: null,
    kind: 'absent',
    title: 'No sign-in by an organisation here',
    words: () => 'Behind this link nobody signs in by the account of an organisation.',
    wayOut: () =>
      'Sign in with e-mail address and password, or ask the administrator for the link.',
  }),
  'openid-issuer-unfit': entry<{ why: string }>({
    rule: null,
    kind: 'invalid',
    title: 'The issuer’s address cannot be used',
    words: (f) => `This address cannot be an issuer’s: ${f.why}.`,
    wayOut: () => 'Give the address as the provider writes it, https, without anything after it.',
  }),
  'openid-secret-needed': entry<Record<never, never>>({
    rule: null,
    kind: 'invalid',
    title: 'The client secret is needed',
    words: () =>
      'A client secret belongs to one issuer and one client; the one that is kept is not sent to another.',
    wayOut: () => 'Give the client secret that the provider made for this client.',
  }),
  'openid-provider-unreachable': entry<{ why: string }>({
    rule: null,
    kind: 'conflict',
    title: 'The organisation’s sign-in cannot be reached',
    words: (f) => `The provider could not be asked: ${f.why}.`,
    wayOut: () =>
      'Sign in with your password, or try again; tell the administrator if it stays so.',
  }),
  'openid-answer-refused': entry<{ why: string }>({
    rule: null,
    kind: 'unidentified',
    title: 'The organisation’s answer does not count',
    words: (f) => `What came back from the provider is not taken: ${f.why}.`,
    wayOut: () => 'Begin the sign-in again; tell the administrator if it stays so.',
  }),
  'openid-attempt-not-valid': entry<Record<never, never>>({
    rule: null,
    kind: 'unidentified',
    title: 'This sign-in is over',
    words: () =>
      'A sign-in by the organisation is good once, for ten minutes, in the browser that began it.',
    wayOut: () => 'Begin the sign-in again.',
  }),
  'openid-not-linked': entry<Record<never, never>>({
    rule: null,
    kind: 'unidentified',
    title: 'This account is nobody’s here',
    words: () => 'No active person of this clinic is linked with that account of the organisation.',
    wayOut: () =>
      'Sign in with your password and link the account in the settings, or ask the administrator for an invitation.',
  }),
  'openid-already-linked': entry<Record<never, never>>({
    rule: null,
    kind: 'conflict',
    title: 'An account is linked already',
    words: () => 'A person has one account of the organisation at a time.',
    wayOut: () => 'Unlink the one that there is first.',
  }),
  'openid-account-taken': entry<Record<never, never>>({
    rule: null,
    kind: 'conflict',
    title: 'This account is somebody else’s here',
    words: () => 'An account of the organisation stands for one person of the clinic.',
    wayOut: () => 'Sign in at the organisation with your own account.',
  }),
  'openid-no-link': entry<Record<never, never>>({
    rule: null,
    kind: 'conflict',
    title: 'No account is linked',
    words: () => 'There is no account of the organisation to be unlinked, and no invitation.',
    wayOut: () => 'Nothing is left to be done.',
  }),
  'openid-not-yours': entry<Record<never, never>>({
    rule: 'R8',
    kind: 'forbidden',
    title: 'That is not your own account',
    words: () =>
      'Somebody signed in at the organisation with another account than the one linked with you.',
    wayOut: () => 'Sign in there with your own account.',
  }),
  'openid-not-fresh': entry<{ told: boolean }>({
    rule: 'R8',
    kind: 'forbidden',
    title: 'The organisation did not ask you anew',
    words: (f) =>
      f.told
        ? 'To sign, you must sign in at the organisation at that very moment; it took an older sign-in.'
        : 'To sign, you must sign in at the organisation at that very moment; it does not say when you did.',
    wayOut: () => 'Sign with your password.',
  }),
  'openid-proof-not-valid': entry<Record<never, never>>({
    rule: 'R8',
    kind: 'forbidden',
    title: 'The organisation’s word no longer counts',
    words: () =>
      'A fresh sign-in at the organisation is good for one signature, for three minutes, in this sign-in.',
    wayOut: () => 'Sign in at the organisation again, or sign with your password.',
  }),
};

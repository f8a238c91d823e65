/** The texts of what is kept on the phone while the network is away, in English. */
export const offline = {
  title: 'Kept on this phone',
  kept: (count: number) => `${count} kept on this phone`,
  none: 'Nothing waits on this phone.',
  noNetwork: 'No network: acts of the bench are kept on this phone.',
  asOf: (instant: string) => `As of ${instant}, offline.`,
  notYet: 'kept on this phone, not yet on record',
  notRecord: 'What is kept here is not yet on record.',
  signing: 'No network: a signature needs it. What you typed stays; sign when it is back.',
  notKept:
    'The service cannot be reached, and this phone cannot keep the act. Leave this page open and try again.',
  cannotKeep:
    'This phone cannot keep acts: its storage is full or shut. What you record needs the network.',
  unreadable: (count: number) =>
    `${count} kept ${count === 1 ? 'act' : 'acts'} cannot be read on this phone. Tell an administrator; clear nothing.`,
  ofOthers: (count: number) =>
    count === 1
      ? '1 act of another person waits on this phone. It is sent when that person signs in here.'
      : `${count} acts of another person wait on this phone. They are sent when that person signs in here.`,
  states: {
    waiting: 'Waits for the network, and is then sent by itself.',
    sending: 'Is being sent.',
    behind: (act: string) => `Waits behind “${act}”, which needs you.`,
    signIn: 'Waits until you sign in.',
    refused: 'NEEDS YOU: the service did not take it.',
    again: 'You do it again: what you record there takes its place.',
    aside: 'Set aside by you.',
    onRecord: 'On record.',
    doneAgain: 'Done again.',
  },
  needsYou: 'needs you',
  recordedAt: 'Recorded',
  about: 'Socket',
  why: 'Your reason',
  against: 'What stands against it',
  what: 'What was recorded',
  again: 'Do it again',
  openPage: 'Open its page',
  setAside: 'Set it aside',
  setAsideAct: 'Set it aside, with this reason',
  setAsideWhy: 'Why it is not to go on record',
  setAsideMissing: 'Say why.',
  setAsideTold: 'Should the record tell of it?',
  setAsideHow: { finding: 'Yes, as a finding on the socket', no: 'No' },
  findingNote: (act: string, recorded: string, against: string, why: string) =>
    `Recorded on the phone on ${recorded} and not taken onto the record: ${act}. Refused because: ${against} Set aside because: ${why}`,
  findingOf: (act: string) => `Finding about: ${act}`,
  dismiss: 'Take it off this list',
  sentLately: 'Sent lately from this phone',
  leaving: 'Sign out with acts kept on this phone?',
  leavingMore: (count: number) =>
    `${count} ${count === 1 ? 'act is' : 'acts are'} not yet on record. ${count === 1 ? 'It stays' : 'They stay'} on this phone and ${count === 1 ? 'is' : 'are'} sent when you sign in here again. Nobody else sees or sends ${count === 1 ? 'it' : 'them'}.`,
  leave: 'Sign out all the same',
  stay: 'Stay',
  cup: (pour: number, time: string) => `Cup ${pour}: ${time} left`,
  cupSet: (pour: number) => `Cup ${pour}: SET`,
  done: 'done',
};

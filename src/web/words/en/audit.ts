/** The texts of the auditor, in English. */
import type { ChainFaultKind } from '../../../domain/eventChain.ts';
import { EVENT_WORDS, SUBJECT_WORDS } from '../../../domain/eventKinds.ts';
import { fieldWords } from '../../../domain/fieldWords.ts';

export const audit = {
  // Trace
  traceTitle: 'Trace',
  question: 'What you know',
  questionHint:
    'A chart number, order, socket, serial, lot, batch, tool or person, typed or scanned; the beginning will do.',
  questionHintNames:
    'A patient’s name or chart number, an order, socket, serial, lot, batch, tool or person, typed or scanned; the beginning will do.',
  couldBe: 'What it could be',
  nothingFound: 'Nothing here has such a name or number.',
  mistyped: (words: string) => `${words} Nothing else has such a name or number either.`,
  moreOf: (kinds: string) => `There are more of: ${kinds}. Type more of it.`,
  notLookedFor: (kinds: string) => `Not looked for in your role: ${kinds}.`,
  ownWorkOnly: 'By person you trace your own work; another person’s is for the auditor.',
  myWork: 'My own work',
  keys: {
    patient: 'Patient',
    order: 'Order',
    socket: 'Socket',
    serial: 'Serial',
    lot: 'Lot of hardware',
    batch: 'Batch',
    tool: 'Tool',
    person: 'Person',
  },
  fields: {
    lot: 'Lot of hardware',
    batch: 'Lot of resin, fabric, threadlocker and the like',
  },
  nothingAsked: 'Type what you know.',
  ask: 'Look it up',
  answer: 'Answer',
  csv: 'Save as CSV',
  pdf: 'Save as PDF',
  json: 'Save as JSON',
  orders: 'Orders',
  limb: 'Limb',
  stage: 'Stage',
  sockets: 'Sockets',
  state: 'State',
  replaces: 'Replaces',
  replacedBy: 'Replaced by',
  pieces: (count: number) => (count === 1 ? 'One piece.' : `${count} pieces.`),
  piece: 'Piece',
  part: 'Part',
  udi: 'UDI',
  expires: 'Use by',
  now: 'Is now',
  lotWords: (lot: string) => `lot ${lot}`,
  received: 'Received',
  used: 'Used, as recorded',
  uses: (count: number) => (count === 1 ? 'one use' : `${count} uses`),
  quarantined: 'In quarantine because',
  inService: 'in service',
  outOfService: 'out of service',
  roles: 'Roles',
  active: 'works here',
  notActive: 'works here no more',
  way: 'The way through places and time',
  wayOf: (thing: string) => `The way of ${thing}`,
  wayOfWhich: 'Of which piece',
  wayHint:
    'Each upright line is a place, from left to right as they were first come to; time runs down. Thick: worn by the patient.',
  chainCut: 'There are more pieces than are drawn here; the files have more.',
  days: (count: number) => (count === 1 ? '1 day' : `${count} days`),
  before: 'before',
  wornBy: (chartNumber: string) => `worn by ${chartNumber}`,
  moveReasons: {
    received: 'received',
    issued: 'issued',
    transferred: 'transferred',
    taken_out_for_trimming: 'taken out for trimming',
    put_back: 'put back',
    returned_to_bin: 'returned to the bin',
    replaced_in_service: 'replaced in service',
    quarantined: 'put into quarantine',
    released_from_quarantine: 'released from quarantine',
    scrapped: 'scrapped',
    recalled: 'recalled',
    mounted_for_lamination: 'mounted for lamination',
    pulled_after_cure: 'pulled after cure',
    stock_taken: 'stock taken',
    delivered: 'delivered',
  },
  timeline: 'What happened',
  noRows: 'Nothing is on record.',
  when: 'When',
  what: 'What',
  where: 'Where',
  chart: 'Chart number',
  who: 'Who',
  more: 'More of it',
  rowsSoFar: (count: number) => `${count} records so far; there are more.`,
  rowsAll: (count: number) => (count === 1 ? 'One record; no more.' : `${count} records; no more.`),

  // Recall
  recallTitle: 'Recall',
  recallIntro:
    'A lot is named: who wears it, and where is the rest? The clock starts when you ask.',
  recallOf: 'What is recalled',
  recallsOf: { lot: 'a lot of hardware', batch: 'a batch of material' },
  partOfLot: 'Part',
  partOfLotHint: 'Where several parts have the same lot.',
  everyPart: 'every part of the lot',
  askRecall: 'Ask, and start the clock',
  answeredAfter: (seconds: string) => `Answered after ${seconds} s`,
  askedAt: (when: string) => `Asked ${when}.`,
  recallOfLot: (lot: string, parts: string) => `Lot ${lot}: ${parts}.`,
  recallOfBatch: (name: string, lot: string) => `${name}, lot ${lot}.`,
  toCall: (count: number) =>
    count === 0
      ? 'Nobody wears it'
      : count === 1
        ? 'One person to call'
        : `${count} people to call`,
  noNames: 'Your role sees chart numbers and initials; the desk has names and telephones.',
  phone: 'Telephone',
  noPhone: 'none on record',
  since: 'Since',
  wears: 'What of it',
  counts: 'Where every piece is',
  stations: {
    worn: 'worn by patients',
    inWork: 'in sockets in work',
    inRetired: 'in sockets no longer used',
    bench: 'on the bench',
    bins: 'in bins',
    receiving: 'at receiving',
    quarantine: 'in quarantine',
    scrap: 'scrapped',
  },
  accountedFor: 'together',
  receivedPieces: 'received, by the ledger',
  reconciles: 'It adds up: every piece that was received is in one place.',
  doesNotReconcile: (count: number) => `It does not add up. Pieces to look into first: ${count}.`,
  usedAmount: 'used, as weighed and recorded',
  leftByBook: 'left by the book',
  receivedAmount: 'received',
  usesWithoutAmount: 'uses without an amount',
  cannotReconcile: 'Whether it adds up cannot be told: not every use was weighed.',
  batchReconciles: 'It adds up: no more was used than was received.',
  batchDoesNotReconcile: 'It does not add up: more was used than was received.',
  inWork: 'In sockets being made or tried',
  inRetired: 'In sockets no longer used',
  elsewhere: 'In no socket',
  named: 'Named in corrections: to be looked at',
  namedHint:
    'The words of these corrections name the lot. A record may be of another lot than it says; the lists here do not follow words, so look at each.',
  quarantineTitle: 'Take the lot out of use',
  quarantineWords:
    'Every piece in a bin, at receiving or on the bench goes to quarantine, and every socket in work or worn that holds one gets a finding.',
  quarantineWhy: 'Who recalls it, and why',
  quarantineAct: 'Take it out of use',
  quarantineDone: (moved: number, found: number, before: number) =>
    `To quarantine: ${moved}. Findings opened: ${found}. Sockets that had one before: ${before}.`,

  // The calls of a recall
  callsLeft: (reached: number, left: number) =>
    `Reached: ${reached}. Still to be reached: ${left}.`,
  everybodyReached: 'Everybody was reached.',
  called: 'Called',
  notCalled: 'not yet',
  outcome: 'How the call ended',
  outcomes: {
    reached: 'reached',
    message_left: 'message left',
    not_reached: 'not reached',
    number_wrong: 'number is wrong',
  },
  callNote: 'What was agreed',
  noteCall: 'Note the call',
  noteCallOf: (patient: string) => `Note a call to ${patient}`,

  // History
  history: 'History',
  historyOf: (of: string) => `History of ${of}`,
  readHistory: 'Show what was done, by whom, and the values before',
  historyPage: 'The history on a page of its own',
  eventKinds: EVENT_WORDS as Readonly<Record<keyof typeof EVENT_WORDS, string>>,
  subjectKinds: SUBJECT_WORDS as Readonly<Record<keyof typeof SUBJECT_WORDS, string>>,
  field: fieldWords,
  // Words of closed lists that mean something else in other fields
  values: {
    occasion: {
      sign_in: 'sign-in',
      second_factor: 'second step',
      pin: 'PIN',
      'signature-not-verified': 'signature',
      'password-not-verified': 'password asked again',
      'second-factor-missing': 'second factor asked again',
      'code-not-verified': 'second factor asked again',
    },
    how: {
      invited: 'by invitation',
      self: 'by the person',
      tries: 'too many wrong tries',
      taken_off: 'taken off',
    },
    purpose: { invitation: 'first password', reset: 'new password' },
    found: {
      good: 'fits',
      unsigned: 'fits, its signature unchecked',
      bad: 'does not fit',
    },
    cause: { daily: 'once a day', asked: 'asked for' },
    entry: {
      first: 'the first',
      rotation: 'brought in by the key before',
      lost: 'the key before was lost',
    },
  },
  theService: 'the service',
  recordNumber: (seq: number) => `record ${seq}`,
  valueBefore: 'before',
  valueAfter: 'after',
  nothing: 'nothing',
  erased: 'erased',
  yes: 'yes',
  no: 'no',
  withheld: (fields: string) => `Changed, but not shown to your role: ${fields}.`,
  older: 'Earlier entries',
  entriesSoFar: (count: number) => `${count} entries so far; there are earlier ones.`,
  entriesAll: (count: number) =>
    count === 1 ? 'One entry; no more.' : `${count} entries; no more.`,
  noEntries: 'Nothing was noted about it since it was set up.',
  looks: 'also who looked it up',

  // The chain
  recordIntro:
    'Every record carries a hash of its content and is chained to the one before. Your own browser fetches them and works all of it out again; nothing that the service says of itself is believed.',
  recordLimit:
    'Whoever rewrites the whole record, and every hash after it, is found out by one thing only: a number and its groups that were noted elsewhere. Note them on paper, with the day.',
  recordNow: 'The record now',
  recordsCount: (count: number) => `${count.toLocaleString('en-GB')} records`,
  noteThis: 'To note on paper',
  noted: 'What you noted earlier',
  notedHint: 'Number, colon, eight groups: 3012: 9f3a 22c1 … Leave it empty to verify without.',
  notedWrong: 'This is no number with eight groups of four signs, 0 to 9 and a to f.',
  from: 'Verify',
  froms: { all: 'all records', noted: 'only what came after the noted one' },
  fromNotedHint:
    'Quick, for a record of millions. What came before is not worked out again: it was, when you noted it.',
  verifyTitle: 'Verify it here',
  verify: 'Verify in this browser',
  verifying: (done: number, of: number) =>
    `${done.toLocaleString('en-GB')} of ${of.toLocaleString('en-GB')} records verified`,
  stop: 'Stop',
  goOn: 'Go on',
  stopped: (seq: number) => `Stopped after record ${seq}. All is well up to there.`,
  whole: 'The record is whole',
  wholeWords: (count: number, seconds: string) =>
    `${count.toLocaleString('en-GB')} records were worked out again in ${seconds} s: each has its content, its place, and the one before it.`,
  notedFound: (seq: number) => `It still contains record ${seq} as you noted it.`,
  broken: (seq: number) => `Record ${seq} is not as it was written`,
  faults: {
    missing: 'The record is missing: it was taken out, or cut off.',
    out_of_order: 'Another record stands in its place.',
    content_changed: 'Its content is not what was hashed when it was written.',
    seal_broken: 'A patient’s particular in it is not the one that was sealed.',
    chain_broken: 'It does not follow the record before it.',
    noted_head_differs: 'It is not the record that you noted: the record was written anew.',
  } satisfies Readonly<Record<ChainFaultKind, string>>,
  expected: 'Should be',
  found: 'Is',
  allWellBefore: (seq: number) =>
    seq === 0 ? 'No record before it could be verified.' : `All is well up to record ${seq}.`,
  toTell:
    'Write this down, touch nothing, and tell whoever is responsible for the clinic’s records. The service keeps on working; what it says from here on is not proven.',
  whatItSays: 'What stands there now',
  unseen: (count: number) =>
    `Records older than the seals that hold particulars your role does not see: ${count}. Their place is verified, their content is not.`,
  unopened: (count: number) =>
    count === 1
      ? 'One sealed particular is not shown to your role; the service itself found that it fits its seal.'
      : `${count} sealed particulars are not shown to your role; the service itself found that they fit their seals.`,
  unopenedBroken: (seq: number) =>
    `In record ${seq} a sealed particular that is not shown to your role does not fit its seal, as the service itself found.`,
  // Signed heads
  signedHeads: 'Signed heads',
  signedHeadsIntro:
    'Once a day the service signs how many records there are, the root of the tree over them and the value of their chain, with a key that is not in the database. Who has a head on paper or in a file can show later that nothing before it was changed.',
  noHead: 'No head is signed yet.',
  notSigning:
    'The service was started without a signing key: it signs no head. Tell whoever runs it.',
  newestHead: (number: number) => `Head ${number}`,
  headOver: 'Covers',
  headSigned: 'Signed',
  headRoot: 'Root of the tree',
  headKey: 'Key',
  headSave: 'Save this head as a file',
  headPrint: 'Print it, to be put away',
  headSignNow: 'Sign where the record stands now',
  savedHead: 'A head that you saved earlier',
  savedHeadHint:
    'The file is read in this browser. The service has to prove that the newest head holds all that yours held.',
  savedHeadWrong: 'This file holds no signed head.',
  savedHeadHolds: (from: number, to: number) =>
    `Proven: head ${to} holds, unchanged and in its order, all that your head ${from} held.`,
  savedHeadFails: (from: number) =>
    `NOT PROVEN: the record as it stands does not hold what your head ${from} held. It was written anew.`,
  headWell: (number: number, count: number) =>
    `Signed head ${number} fits: the root over the first ${count.toLocaleString('en-GB')} records was worked out again here, and the signature is good.`,
  headUnsigned: (number: number) =>
    `The root over the records under signed head ${number} fits; this browser cannot check its signature. The command castbook-verify can.`,
  headBad: (number: number) =>
    `Signed head ${number} does NOT fit the records: they were changed and chained anew since it was signed, or its signature is not good.`,
  headNotChecked:
    'The signed head is held against the records when all of them are verified, without a stop.',

  outcomeNoted: 'What you found is in the record now.',
  clinicHistory: 'The clinic’s settings',
};

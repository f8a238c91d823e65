import { LOOKED_UP_BY, type LookUpRoute } from '../../../domain/lookingUp.ts';

/** The texts of looking patients up and of opening fields for a reason, in English. */
export const looks = {
  // Who looked
  title: 'Who looked this patient up',
  intro:
    'Every page, search, paper and history that showed this person, the newest first; the same within a quarter of an hour counts once. The lists of the day’s work are not here.',
  show: 'Show who looked',
  from: 'From',
  shown: 'Shown',
  shownWords: {
    bench: 'chart number and initials',
    identity: 'name and date of birth',
    contact: 'name, telephone and address, as the role sees them',
  },
  // As the service has them; on the list itself it is this one.
  routes: { ...LOOKED_UP_BY, listPatientLooks: 'this list' } as Record<LookUpRoute, string>,
  none: 'Nobody has.',
  soFar: (count: number) => `${count} looks so far; there are earlier ones.`,
  all: (count: number) => (count === 1 ? 'One look; no more.' : `${count} looks; no more.`),
  csv: 'Save as CSV, for the patient who asks',

  // Opening more
  open: 'Open more of this patient',
  before: (fields: string) =>
    `For half an hour you alone see of this patient: ${fields}. It is recorded with your name and your reason, and somebody else reviews it. Five times within an hour are the most.`,
  fields: {
    givenName: 'given name',
    familyName: 'family name',
    birthDate: 'date of birth',
    phone: 'telephone',
  },
  reason: 'Why',
  reasons: {
    label_unreadable: 'the label or traveller cannot be read',
    emergency: 'harm to the patient is near',
    recall_call: 'a recall must be told, and nobody of the desk is there',
    mixed_up: 'work of two patients may be mixed up',
  },
  inWords: 'What happened',
  inWordsHint: 'In your own words, for who reviews it.',
  openAct: 'Open for half an hour',
  noPhone: 'none on record',
  openUntil: (time: string) => `Open to you until ${time}.`,

  // Review
  reviewIntro:
    'What was opened beyond a role’s line, by whom and why. Somebody else says whether that was in order.',
  which: 'Which ones',
  whichOnes: { no: 'not reviewed yet', yes: 'reviewed' },
  noOpenings: 'There are none.',
  opened: 'Opened',
  ofPatient: 'Patient',
  review: 'Review',
  reviewOf: (chart: string) => `Review the opening of ${chart}`,
  verdicts: { yes: 'in order', no: 'not in order' },
  verdict: 'What you found',
  reviewWords: 'Words',
  reviewWordsHint: 'Needed where it was not in order.',
  reviewAct: 'Note the review',
  reviewed: (by: string, when: string, verdict: string) => `${verdict}: ${by}, ${when}`,
  older: 'Earlier ones',
};

import { whenInWords } from '../dayWords.ts';
import { figure } from './figures.ts';
import { entry } from './reason.ts';

/** Refusals about patients and their body mass (R3), and about days as entered. */
export const PATIENT_REASONS = {
  'day-in-future': entry<{ what: string; day: string; today: string }>({
    rule: null,
    kind: 'invalid',
    title: 'The day has not come yet',
    words: (f) =>
      `${f.what} is ${whenInWords(f.day)}; at the clinic it is ${whenInWords(f.today)}.`,
    wayOut: () => 'Check the day; enter it when it has come.',
  }),
  'day-before-birth': entry<{ what: string; day: string }>({
    rule: null,
    kind: 'invalid',
    title: 'The patient was not born yet',
    words: (f) => `${f.what} is ${whenInWords(f.day)}, before the patient's date of birth.`,
    wayOut: () => 'Check year, month and day; where the date of birth is wrong, have it corrected.',
  }),
  'birth-date-implausible': entry<{ birthDate: string; today: string }>({
    rule: null,
    kind: 'invalid',
    title: 'Nobody has this date of birth',
    words: (f) =>
      `${whenInWords(f.birthDate)} lies in the future or more than 120 years before ${whenInWords(f.today)}.`,
    wayOut: () => 'Check year, month and day.',
  }),
  'body-mass-implausible': entry<{
    massKg: number;
    beforeKg: number;
    beforeOn: string;
    days: number;
    percent: number;
  }>({
    rule: 'R3',
    kind: 'rule',
    title: 'The body mass changed very much in a short time',
    words: (f, m) =>
      `${m.mass.of(f.massKg)} ${m.mass.unit} is ${figure(f.percent, 0)} % off the ${m.mass.of(f.beforeKg)} ${m.mass.unit} of ${whenInWords(f.beforeOn)}, ${f.days} days before.`,
    wayOut: (_f, m) =>
      `Are these ${m.mass.unit}, and with the same prosthesis on or off? Weigh again; if it is right, say that the scale was read again.`,
  }),
  'search-beyond-role': entry<{ fields: readonly string[] }>({
    rule: null,
    kind: 'forbidden',
    title: 'Your role does not search by this',
    words: (f) => `Your role does not see ${f.fields.join(', ')} of a patient.`,
    wayOut: () => 'Search by chart number.',
  }),
  'opened-too-often': entry<{ count: number; retryAfterS: number }>({
    rule: null,
    kind: 'conflict',
    title: 'Opened too often',
    words: (f) => `You opened fields of patients ${f.count} times within the last hour.`,
    wayOut: () => 'Ask the desk or the fitting room, who see them. Later you may open some again.',
  }),
  'nothing-to-open': entry<Record<never, never>>({
    rule: null,
    kind: 'conflict',
    title: 'There is nothing to open',
    words: () =>
      'All that your role may open of this patient is shown to you by another of your roles.',
    wayOut: () => 'Read the patient’s page again.',
  }),
  'opening-is-your-own': entry<Record<never, never>>({
    rule: null,
    kind: 'forbidden',
    title: 'You opened it yourself',
    words: () => 'What somebody opened is reviewed by somebody else.',
    wayOut: () => 'Ask another auditor or an administrator to review it.',
  }),
};

import { figure, workingDaysInWords } from './figures.ts';
import { entry, plain } from './reason.ts';

/** Refusals and warnings about the fittings book. Times come in words, in the clinic's zone. */
export const APPOINTMENT_REASONS = {
  'appointment-in-past': entry<{ startsAt: string; now: string }>({
    rule: null,
    kind: 'invalid',
    title: 'That time is past',
    words: (f) => `${f.startsAt} is past: it is ${f.now}.`,
    wayOut: () => 'Choose a time that is still to come.',
  }),
  'prosthetist-elsewhere': entry<{ prosthetist: string; from: string; until: string }>({
    rule: null,
    kind: 'conflict',
    title: 'The prosthetist is with another patient then',
    words: (f) => `${f.prosthetist} is with another patient from ${f.from} to ${f.until}.`,
    wayOut: () =>
      'Choose another time or another prosthetist, or move the other appointment first.',
  }),
  'patient-elsewhere': entry<{ purpose: string; from: string; until: string }>({
    rule: null,
    kind: 'conflict',
    title: 'The patient has another appointment then',
    words: (f) => `The patient comes for ${plain(f.purpose)} from ${f.from} to ${f.until}.`,
    wayOut: () => 'Choose another time, or move the other appointment.',
  }),
  'time-taken-meanwhile': entry<Record<never, never>>({
    rule: null,
    kind: 'conflict',
    title: 'The time was taken meanwhile',
    words: () => 'Somebody else booked this time a moment ago.',
    wayOut: () => 'Look at the day again, and choose another time.',
  }),
  'clinic-closed-then': entry<{ on: string }>({
    rule: null,
    kind: 'rule',
    title: 'The clinic is closed on that day',
    words: (f) => `By its working calendar the clinic is closed on ${f.on}.`,
    wayOut: () => 'Choose a working day; an administrator can change the calendar.',
  }),
  'outside-opening-hours': entry<{ from: string; until: string; hours: string }>({
    rule: null,
    kind: 'rule',
    title: 'Outside the opening hours',
    words: (f) =>
      `${f.from} to ${f.until} is not within the opening hours of that day (${f.hours}).`,
    wayOut: () => 'See that somebody opens the door, or choose another time.',
  }),
  'purpose-not-at-stage': entry<{ order: string; purpose: string; stage: string }>({
    rule: null,
    kind: 'rule',
    title: 'The order is at another stage',
    words: (f) =>
      `Order ${f.order} is at ${plain(f.stage)}; this is booked for ${plain(f.purpose)}.`,
    wayOut: () => 'See that this is the order and the purpose that are meant.',
  }),
  'appointment-while-on-hold': entry<{ order: string; holdReason: string }>({
    rule: null,
    kind: 'rule',
    title: 'The order is on hold',
    words: (f) => `Order ${f.order} is on hold (${plain(f.holdReason)}); nobody works on it.`,
    wayOut: () => 'Go on with the work in time, or move the appointment.',
  }),
  'probably-not-ready': entry<{
    order: string;
    purpose: string;
    on: string;
    chancePercent: number;
    wantedPercent: number;
  }>({
    rule: null,
    kind: 'rule',
    title: 'It will probably not be ready by then',
    words: (f) =>
      `By this clinic’s finished orders the chance that ${f.order} is ready for ${plain(f.purpose)} on ${f.on} is ${figure(f.chancePercent, 0)} %; ${figure(f.wantedPercent, 0)} % are wanted.`,
    wayOut: () => 'Choose a later day, or see that the bench knows of this one.',
  }),
  'usually-not-ready': entry<{
    order: string;
    purpose: string;
    on: string;
    daysLeft: number;
    daysUsual: number;
  }>({
    rule: null,
    kind: 'rule',
    title: 'It is usually not ready by then',
    words: (f) =>
      `${workingDaysInWords(f.daysLeft, 0)} until ${f.on}; by the clinic’s usual times ${f.order} needs ${figure(f.daysUsual, 1)} until ${plain(f.purpose)}.`,
    wayOut: () => 'Choose a later day, or see that the bench knows of this one.',
  }),
  'appointment-is-settled': entry<{ startsAt: string; state: string }>({
    rule: 'R10',
    kind: 'conflict',
    title: 'The appointment is settled',
    words: (f) => `The appointment of ${f.startsAt} is ${plain(f.state)}.`,
    wayOut: () => 'Book another one.',
  }),
  'appointment-still-to-come': entry<{ startsAt: string; now: string }>({
    rule: null,
    kind: 'rule',
    title: 'The appointment is still to come',
    words: (f) => `It is ${f.now}; the appointment is on ${f.startsAt}.`,
    wayOut: () => 'Say whether the patient came once it is time; or move it, or call it off.',
  }),
  'appointment-has-begun': entry<{ startsAt: string }>({
    rule: null,
    kind: 'rule',
    title: 'The time of the appointment is past',
    words: (f) => `The appointment began on ${f.startsAt}; it can no longer be called off.`,
    wayOut: () => 'Say whether the patient came.',
  }),
  'correction-needs-why': entry<{ before: string; after: string }>({
    rule: 'R10',
    kind: 'invalid',
    title: 'Why is it corrected?',
    words: (f) => `It says “${plain(f.before)}”; to say “${plain(f.after)}” needs the reason.`,
    wayOut: () => 'Say in a few words why.',
  }),
  'no-prosthetist-named': entry<Record<never, never>>({
    rule: null,
    kind: 'invalid',
    title: 'With whom?',
    words: () => 'No prosthetist is named, and the order has none.',
    wayOut: () => 'Name a prosthetist of the clinic.',
  }),
  'order-of-another-patient': entry<{ order: string }>({
    rule: null,
    kind: 'invalid',
    title: 'The order is another patient’s',
    words: (f) => `Order ${f.order} is not of this patient.`,
    wayOut: () => 'Name the order’s own patient, or leave the patient out.',
  }),
};

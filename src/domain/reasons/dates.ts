import { whenInWords } from '../dayWords.ts';
import { figure, workingDaysInWords } from './figures.ts';
import { entry } from './reason.ts';

const stageWords = (stage: string): string => stage.replaceAll('_', ' ');

/** Refusals and warnings about the work calendar and promised dates (C5). */
export const DATE_REASONS = {
  'calendar-impossible': entry<{ what: string }>({
    rule: null,
    kind: 'invalid',
    title: 'The work calendar cannot be right',
    words: (f) => `${f.what}.`,
    wayOut: () =>
      'Give each weekday its opening hours in order, at least one of them open, and each closed day once.',
  }),
  'time-zone-unknown': entry<{ timeZone: string }>({
    rule: 'R16',
    kind: 'invalid',
    title: 'No time zone to reckon days in',
    words: (f) => `${f.timeZone} is not a zone that both the service and its database know.`,
    wayOut: () => 'Name a place of the IANA time zone database, as Europe/Zurich, or UTC.',
  }),
  'offer-of-another-day': entry<{ offerSeed: number; today: string }>({
    rule: null,
    kind: 'conflict',
    title: 'The offer is of another day',
    words: (f) =>
      `${f.offerSeed} is not the seed of ${whenInWords(f.today)}: the chance that was told with it is not today's.`,
    wayOut: () =>
      'Read today’s days to promise again, and choose one of them; or open the order without the chance kept.',
  }),
  'work-to-plan-impossible': entry<{ order: string; bench: string; why: string }>({
    rule: null,
    kind: 'invalid',
    title: 'This work cannot be planned',
    words: (f) => `${f.order} at bench ${f.bench}: ${f.why}.`,
    wayOut: () => 'Give minutes from 0 up, and a last day that is not before the first.',
  }),
  'history-too-short': entry<{ finishedOrders: number; needed: number }>({
    rule: null,
    kind: 'rule',
    title: 'Too few finished orders for a chance',
    words: (f) =>
      `${f.finishedOrders} finished orders are on record; ${f.needed} are needed before a chance means anything.`,
    wayOut: () =>
      "The date offered comes from the clinic's usual durations by stage, without a chance.",
  }),
  'longer-than-history': entry<{
    stage: string;
    workingDays: number;
    longerStays: number;
    needed: number;
  }>({
    rule: null,
    kind: 'rule',
    title: 'Longer in its stage than nearly every finished order',
    words: (f) =>
      `${workingDaysInWords(f.workingDays)} in ${stageWords(f.stage)}; of the finished orders ${f.longerStays} stayed longer, ${f.needed} are needed to say how long it may still take.`,
    wayOut: () => 'Look at what holds this order up, and agree a new date with the patient.',
  }),
  'no-chance-on-hold': entry<{ holdReason: string }>({
    rule: null,
    kind: 'rule',
    title: 'On hold',
    words: (f) => `The order is on hold (${stageWords(f.holdReason)}); nobody knows until when.`,
    wayOut: () => 'Resume it, or agree a new date with the patient.',
  }),
  'date-is-past': entry<{ promisedOn: string; workingDaysLate: number }>({
    rule: null,
    kind: 'rule',
    title: 'The promised day is past',
    words: (f) =>
      `It was promised for ${whenInWords(f.promisedOn)}, ${workingDaysInWords(f.workingDaysLate)} ago.`,
    wayOut: () => 'Tell the patient, and agree a new date.',
  }),
  'date-unlikely': entry<{ promisedOn: string; chancePercent: number; wantedPercent: number }>({
    rule: null,
    kind: 'rule',
    title: 'The promised day will probably not be kept',
    words: (f) =>
      `By this clinic's finished orders the chance of ${whenInWords(f.promisedOn)} is ${figure(f.chancePercent, 0)} %; ${figure(f.wantedPercent, 0)} % are wanted.`,
    wayOut: () => 'Bring its next operation forward, or agree a new date with the patient.',
  }),
  'too-few-days-left': entry<{ promisedOn: string; daysLeft: number; daysUsual: number }>({
    rule: null,
    kind: 'rule',
    title: 'Fewer working days are left than usual',
    words: (f) =>
      `${workingDaysInWords(f.daysLeft)} until ${whenInWords(f.promisedOn)}; what is left usually takes ${f.daysUsual}.`,
    wayOut: () => 'Bring its next operation forward, or agree a new date with the patient.',
  }),
  'stage-takes-long': entry<{ stage: string; workingDays: number; daysUsual: number }>({
    rule: null,
    kind: 'rule',
    title: 'Long in this stage',
    words: (f) =>
      `It has been in ${stageWords(f.stage)} for ${workingDaysInWords(f.workingDays)}; ${f.daysUsual} are usual.`,
    wayOut: () => 'See which operation or fitting is waited for.',
  }),
};

import type { PATIENT_REASONS } from '../../../../domain/reasons/patients.ts';
import type { ReasonWords } from '../../reasons.ts';
import { satz } from '../satz.ts';
import { tag, viele } from '../wort.ts';

/** Refusals about patients and their body mass, in German. */
export const PATIENTS: ReasonWords<typeof PATIENT_REASONS> = {
  'day-in-future': {
    title: 'Der Tag ist noch nicht gekommen',
    words: (f) => `${satz(f.what)}: ${tag(f.day)}; in der Werkstatt ist der ${tag(f.today)}.`,
    wayOut: () => 'Prüfen Sie den Tag; tragen Sie ihn ein, wenn er gekommen ist.',
  },
  'day-before-birth': {
    title: 'Da war die Person noch nicht geboren',
    words: (f) => `${satz(f.what)}: ${tag(f.day)}, vor dem Geburtsdatum.`,
    wayOut: () =>
      'Prüfen Sie Jahr, Monat und Tag; ist das Geburtsdatum falsch, lassen Sie es berichtigen.',
  },
  'birth-date-implausible': {
    title: 'Niemand hat dieses Geburtsdatum',
    words: (f) =>
      `${tag(f.birthDate)} liegt in der Zukunft oder mehr als 120 Jahre vor dem ${tag(f.today)}.`,
    wayOut: () => 'Prüfen Sie Jahr, Monat und Tag.',
  },
  'body-mass-implausible': {
    title: 'Das Körpergewicht hat sich in kurzer Zeit sehr verändert',
    words: (f, m) =>
      `${m.mass.of(f.massKg)} ${m.mass.unit} weichen um ${m.figure(f.percent, 0)} % von den ${m.mass.of(f.beforeKg)} ${m.mass.unit} vom ${tag(f.beforeOn)} ab, ${viele(f.days, 'Tag', 'Tage')} zuvor.`,
    wayOut: (_f, m) =>
      `Ist das in ${m.mass.unit}, und beide Male mit oder ohne Prothese? Wiegen Sie noch einmal; stimmt es, bestätigen Sie es.`,
  },
  'search-beyond-role': {
    title: 'Ihre Rolle sucht danach nicht',
    words: (f) =>
      `Ihre Rolle sieht von Patientinnen und Patienten nicht: ${f.fields.map((each) => satz(each)).join(', ')}.`,
    wayOut: () => 'Suchen Sie nach der Patientennummer.',
  },
  'opened-too-often': {
    title: 'Zu oft freigegeben',
    words: (f) =>
      `In der letzten Stunde haben Sie ${viele(f.count, 'Mal', 'Mal')} Angaben von Patientinnen und Patienten freigegeben.`,
    wayOut: () =>
      'Fragen Sie den Empfang oder die Anprobe, die sie sehen. Später dürfen Sie wieder etwas freigeben.',
  },
  'nothing-to-open': {
    title: 'Es gibt nichts freizugeben',
    words: () =>
      'Alles, was Ihre Rolle hier freigeben darf, zeigt Ihnen schon eine andere Ihrer Rollen.',
    wayOut: () => 'Lesen Sie die Seite noch einmal.',
  },
  'opening-is-your-own': {
    title: 'Das haben Sie selbst freigegeben',
    words: () => 'Was jemand freigegeben hat, prüft jemand anderes.',
    wayOut: () => 'Bitten Sie jemand anderen aus Prüfung oder Administration darum.',
  },
};

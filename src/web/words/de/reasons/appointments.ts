import type { APPOINTMENT_REASONS } from '../../../../domain/reasons/appointments.ts';
import type { ReasonWords } from '../../reasons.ts';
import { tag, wort } from '../wort.ts';

/** What became of an appointment, as a sentence ends with it. */
const BECAME: Readonly<Record<string, string>> = {
  booked: 'vereinbart',
  came: 'wahrgenommen',
  did_not_come: 'nicht wahrgenommen',
  called_off: 'abgesagt',
  moved: 'verlegt',
};
const became = (state: string): string => BECAME[state] ?? state;

const SPAETER =
  'Wählen Sie einen späteren Tag, oder sorgen Sie dafür, dass die Werkbank von diesem weiß.';

/** Refusals and warnings about the book of fittings, in German. Times come in words, in the clinic's zone. */
export const APPOINTMENTS: ReasonWords<typeof APPOINTMENT_REASONS> = {
  'appointment-in-past': {
    title: 'Diese Zeit ist vorbei',
    words: (f) => `${tag(f.startsAt)} ist vorbei: jetzt ist ${tag(f.now)}.`,
    wayOut: () => 'Wählen Sie eine Zeit, die noch kommt.',
  },
  'prosthetist-elsewhere': {
    title: 'Zu dieser Zeit ist schon jemand anderes da',
    words: (f) => `${f.prosthetist} hat von ${tag(f.from)} bis ${f.until} einen anderen Termin.`,
    wayOut: () =>
      'Wählen Sie eine andere Zeit oder eine andere Person, oder verlegen Sie zuerst den anderen Termin.',
  },
  'patient-elsewhere': {
    title: 'Die Patientin oder der Patient hat da einen anderen Termin',
    words: (f) => `Termin von ${tag(f.from)} bis ${f.until}: ${wort(f.purpose)}.`,
    wayOut: () => 'Wählen Sie eine andere Zeit, oder verlegen Sie den anderen Termin.',
  },
  'time-taken-meanwhile': {
    title: 'Die Zeit wurde inzwischen vergeben',
    words: () => 'Jemand anderes hat diese Zeit soeben belegt.',
    wayOut: () => 'Sehen Sie den Tag noch einmal an, und wählen Sie eine andere Zeit.',
  },
  'clinic-closed-then': {
    title: 'An diesem Tag ist geschlossen',
    words: (f) => `Nach dem Arbeitskalender ist am ${tag(f.on)} geschlossen.`,
    wayOut: () => 'Wählen Sie einen Arbeitstag; den Kalender ändert die Administration.',
  },
  'outside-opening-hours': {
    title: 'Außerhalb der Öffnungszeiten',
    words: (f) =>
      `${f.from} bis ${f.until} liegt nicht in den Öffnungszeiten dieses Tages (${f.hours.replaceAll(' to ', ' bis ')}).`,
    wayOut: () => 'Sorgen Sie dafür, dass jemand öffnet, oder wählen Sie eine andere Zeit.',
  },
  'purpose-not-at-stage': {
    title: 'Der Auftrag ist in einem anderen Schritt',
    words: (f) =>
      `Auftrag ${f.order} ist im Schritt „${wort(f.stage)}“; vereinbart wird: ${wort(f.purpose)}.`,
    wayOut: () => 'Prüfen Sie, ob dieser Auftrag und dieser Anlass gemeint sind.',
  },
  'appointment-while-on-hold': {
    title: 'Der Auftrag ist zurückgestellt',
    words: (f) =>
      `Auftrag ${f.order} ist zurückgestellt (${wort(f.holdReason)}); niemand arbeitet daran.`,
    wayOut: () => 'Nehmen Sie die Arbeit rechtzeitig wieder auf, oder verlegen Sie den Termin.',
  },
  'probably-not-ready': {
    title: 'Bis dahin wahrscheinlich nicht fertig',
    words: (f, m) =>
      `Nach den abgeschlossenen Aufträgen dieser Werkstatt ist ${f.order} am ${tag(f.on)} mit einer Wahrscheinlichkeit von ${m.figure(f.chancePercent, 0)} % bereit (${wort(f.purpose)}); gewünscht sind ${m.figure(f.wantedPercent, 0)} %.`,
    wayOut: () => SPAETER,
  },
  'usually-not-ready': {
    title: 'Bis dahin sonst nicht fertig',
    words: (f, m) =>
      `Noch ${m.figure(f.daysLeft, 0)} Arbeitstage bis ${tag(f.on)}; nach den üblichen Zeiten der Werkstatt braucht ${f.order} ${m.figure(f.daysUsual, 1)} (${wort(f.purpose)}).`,
    wayOut: () => SPAETER,
  },
  'appointment-is-settled': {
    title: 'Der Termin ist erledigt',
    words: (f) => `Der Termin ${tag(f.startsAt)} ist ${became(f.state)}.`,
    wayOut: () => 'Vereinbaren Sie einen neuen.',
  },
  'appointment-still-to-come': {
    title: 'Der Termin kommt erst noch',
    words: (f) => `Jetzt ist ${tag(f.now)}; der Termin ist ${tag(f.startsAt)}.`,
    wayOut: () =>
      'Tragen Sie ein, ob jemand gekommen ist, wenn es so weit ist; oder verlegen Sie ihn, oder sagen Sie ihn ab.',
  },
  'appointment-has-begun': {
    title: 'Die Zeit des Termins ist vorbei',
    words: (f) => `Der Termin begann ${tag(f.startsAt)}; absagen lässt er sich nicht mehr.`,
    wayOut: () => 'Tragen Sie ein, ob die Patientin oder der Patient gekommen ist.',
  },
  'correction-needs-why': {
    title: 'Warum wird berichtigt?',
    words: (f) =>
      `Es steht da: ${became(f.before)}. Daraus „${became(f.after)}“ zu machen braucht einen Grund.`,
    wayOut: () => 'Sagen Sie in wenigen Worten, warum.',
  },
  'no-prosthetist-named': {
    title: 'Bei wem?',
    words: () =>
      'Niemand ist genannt, und der Auftrag hat keine OT-Meisterin und keinen OT-Meister.',
    wayOut: () => 'Nennen Sie eine OT-Meisterin oder einen OT-Meister der Werkstatt.',
  },
  'order-of-another-patient': {
    title: 'Der Auftrag gehört zu jemand anderem',
    words: (f) => `Auftrag ${f.order} ist nicht von dieser Person.`,
    wayOut: () => 'Nennen Sie die Person des Auftrags, oder lassen Sie die Person weg.',
  },
};

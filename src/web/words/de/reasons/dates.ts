import type { DATE_REASONS } from '../../../../domain/reasons/dates.ts';
import type { ReasonWords } from '../../reasons.ts';
import { satz } from '../satz.ts';
import { tag, viele, wort } from '../wort.ts';

/** Refusals and warnings about the work calendar and promised dates, in German. */
export const DATES: ReasonWords<typeof DATE_REASONS> = {
  'calendar-impossible': {
    title: 'Der Arbeitskalender kann nicht stimmen',
    words: (f) => `${satz(f.what)}.`,
    wayOut: () =>
      'Geben Sie jedem Wochentag seine Arbeitszeiten der Reihe nach, wenigstens einem offene, und jeden Schließtag einmal.',
  },
  'time-zone-unknown': {
    title: 'Keine Zeitzone, in der sich Tage rechnen lassen',
    words: (f) => `${f.timeZone} kennen Dienst und Datenbank nicht beide als Zeitzone.`,
    wayOut: () => 'Nennen Sie einen Ort der IANA-Zeitzonendatenbank, etwa Europe/Zurich, oder UTC.',
  },
  'offer-of-another-day': {
    title: 'Das Angebot ist von einem anderen Tag',
    words: (f) =>
      `${f.offerSeed} ist nicht die Startzahl vom ${tag(f.today)}: die damit genannte Wahrscheinlichkeit ist nicht die von heute.`,
    wayOut: () =>
      'Fragen Sie das Angebot noch einmal ab; oder lassen Sie die Startzahl weg, dann wird keine Wahrscheinlichkeit aufgezeichnet.',
  },
  'work-to-plan-impossible': {
    title: 'Diese Arbeit lässt sich nicht planen',
    words: (f) => `${f.order} am Arbeitsplatz ${f.bench}: ${satz(f.why)}.`,
    wayOut: () =>
      'Geben Sie Minuten ab 0 an, und einen letzten Tag, der nicht vor dem ersten liegt.',
  },
  'history-too-short': {
    title: 'Zu wenige abgeschlossene Aufträge für eine Wahrscheinlichkeit',
    words: (f) =>
      `Aufgezeichnet: ${viele(f.finishedOrders, 'abgeschlossener Auftrag', 'abgeschlossene Aufträge')}; ${f.needed} braucht es, bevor eine Wahrscheinlichkeit etwas aussagt.`,
    wayOut: () =>
      'Der angebotene Tag kommt aus den üblichen Zeiten der Werkstatt je Schritt, ohne Wahrscheinlichkeit.',
  },
  'longer-than-history': {
    title: 'Länger in seinem Schritt als fast jeder abgeschlossene Auftrag',
    words: (f) =>
      `${viele(f.workingDays, 'Arbeitstag', 'Arbeitstage')} im Schritt „${wort(f.stage)}“; von den abgeschlossenen Aufträgen blieben ${f.longerStays} länger, ${f.needed} braucht es, um zu sagen, wie lange es noch dauern kann.`,
    wayOut: () =>
      'Sehen Sie nach, was diesen Auftrag aufhält, und vereinbaren Sie einen neuen Tag.',
  },
  'no-chance-on-hold': {
    title: 'Zurückgestellt',
    words: (f) => `Der Auftrag ist zurückgestellt (${wort(f.holdReason)}); niemand weiß, bis wann.`,
    wayOut: () => 'Nehmen Sie ihn wieder auf, oder vereinbaren Sie einen neuen Tag.',
  },
  'date-is-past': {
    title: 'Der zugesagte Tag ist vorbei',
    words: (f) =>
      `Zugesagt war der ${tag(f.promisedOn)}, vor ${viele(f.workingDaysLate, 'Arbeitstag', 'Arbeitstagen')}.`,
    wayOut: () =>
      'Sagen Sie es der Patientin oder dem Patienten, und vereinbaren Sie einen neuen Tag.',
  },
  'date-unlikely': {
    title: 'Der zugesagte Tag wird wahrscheinlich nicht gehalten',
    words: (f, m) =>
      `Nach den abgeschlossenen Aufträgen dieser Werkstatt ist die Wahrscheinlichkeit für den ${tag(f.promisedOn)} ${m.figure(f.chancePercent, 0)} %; gewünscht sind ${m.figure(f.wantedPercent, 0)} %.`,
    wayOut: () => 'Ziehen Sie den nächsten Arbeitsgang vor, oder vereinbaren Sie einen neuen Tag.',
  },
  'too-few-days-left': {
    title: 'Weniger Arbeitstage übrig als üblich',
    words: (f, m) =>
      `Noch ${viele(f.daysLeft, 'Arbeitstag', 'Arbeitstage')} bis ${tag(f.promisedOn)}; was übrig ist, dauert sonst ${m.figure(f.daysUsual)}.`,
    wayOut: () => 'Ziehen Sie den nächsten Arbeitsgang vor, oder vereinbaren Sie einen neuen Tag.',
  },
  'stage-takes-long': {
    title: 'Lange in diesem Schritt',
    words: (f, m) =>
      `Seit ${viele(f.workingDays, 'Arbeitstag', 'Arbeitstagen')} im Schritt „${wort(f.stage)}“; üblich sind ${m.figure(f.daysUsual)}.`,
    wayOut: () => 'Sehen Sie nach, auf welchen Arbeitsgang oder welche Anprobe gewartet wird.',
  },
};

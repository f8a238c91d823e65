import type { LOCK_CHECK_REASONS } from '../../../../domain/reasons/lockCheck.ts';
import type { ReasonWords } from '../../reasons.ts';
import { viele } from '../wort.ts';

/** Refusals about the functional check of a lock, in German. */
export const LOCK_CHECK: ReasonWords<typeof LOCK_CHECK_REASONS> = {
  'lock-check-too-few-clicks': {
    title: 'Zu wenige Klicks des Pins',
    words: (f) =>
      `Durchlauf ${f.cycle}: ${viele(f.clicks, 'Klick', 'Klicks')}; Arretierung und Pin verlangen ${f.minClicks}.`,
    wayOut: () =>
      'Die Prüfung ist festgehalten. Suchen Sie Harz oder Schmutz in der Arretierung, prüfen Sie die Länge des Pins, und wiederholen Sie die Prüfung.',
  },
  'lock-check-not-held': {
    title: 'Die Arretierung hielt unter Zug nicht',
    words: (f, m) =>
      f.pullN === null
        ? `Durchlauf ${f.cycle}: der Pin kam unter Zug heraus.`
        : `Durchlauf ${f.cycle}: der Pin kam unter einem Zug von ${m.figure(f.pullN)} N heraus.`,
    wayOut: () =>
      'Die Prüfung ist festgehalten. Sperren Sie Arretierung und Pin und finden Sie die Ursache vor jeder Anprobe.',
  },
  'lock-check-not-released': {
    title: 'Der Knopf löste den Pin nicht',
    words: (f) => `Durchlauf ${f.cycle}: der Knopf löste den Pin nicht.`,
    wayOut: () =>
      'Die Prüfung ist festgehalten. Machen Sie Knopf oder Entriegelung gängig, und prüfen Sie noch einmal.',
  },
  'lock-check-too-few-cycles': {
    title: 'Die Prüfung der Arretierung wurde nicht oft genug wiederholt',
    words: (f) => `${f.cycles} von ${f.cyclesRequired} Durchläufen sind aufgezeichnet.`,
    wayOut: () =>
      'Die Prüfung ist festgehalten. Prüfen Sie noch einmal, mit allen Durchläufen in einer Aufzeichnung.',
  },
  'lock-check-empty': {
    title: 'Prüfung der Arretierung ohne Durchlauf',
    words: (f) => `Kein Durchlauf ist angegeben; verlangt sind ${f.cyclesRequired}.`,
    wayOut: () =>
      'Setzen Sie den Pin ein, zählen Sie die Klicks, ziehen, lösen, und tragen Sie jeden Durchlauf ein.',
  },
  'lock-check-count-impossible': {
    title: 'Klicks sind ganze Zahlen',
    words: (f, m) => `Durchlauf ${f.cycle}: ${m.figure(f.clicks)} Klicks lassen sich nicht zählen.`,
    wayOut: () => 'Tragen Sie die gehörten Klicks ein, ab 0.',
  },
  'lock-check-pull-impossible': {
    title: 'Ein Zug ist mehr als nichts',
    words: (f, m) => `Durchlauf ${f.cycle}: ein Zug von ${m.figure(f.pullN)} N ist keiner.`,
    wayOut: () => 'Tragen Sie den Zug der Federwaage in Newton ein, oder lassen Sie ihn weg.',
  },
};

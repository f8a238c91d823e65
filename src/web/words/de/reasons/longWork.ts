import type { LONG_WORK_REASONS } from '../../../../domain/reasons/longWork.ts';
import type { ReasonWords } from '../../reasons.ts';
import { satz } from '../satz.ts';
import { viele } from '../wort.ts';

const STATES: Readonly<Record<string, string>> = {
  waiting: 'wartet noch',
  running: 'läuft noch',
  done: 'ist fertig',
  cancelled: 'ist abgebrochen',
  failed: 'ist gescheitert',
};
const stands = (state: string): string => STATES[state] ?? `ist ${state}`;

/** Refusals about long work and about lists and files that are given to it, in German. */
export const LONG_WORK: ReasonWords<typeof LONG_WORK_REASONS> = {
  'long-work-not-done': {
    title: 'Das Ergebnis ist nicht da',
    words: (f) => `Diese Arbeit ${stands(f.state)}; ein Ergebnis hat nur, was fertig ist.`,
    wayOut: () => 'Warten Sie, bis sie fertig ist, oder geben Sie sie noch einmal in Auftrag.',
  },
  'long-work-not-yours': {
    title: 'Nicht von Ihnen auszuhändigen',
    words: () => 'Die ganze Akte einer Person händigt aus, wer sie verlangt hat.',
    wayOut: () => 'Verlangen Sie sie selbst, mit dem Grund; er steht dann in der Akte.',
  },
  'long-work-has-ended': {
    title: 'Die Arbeit ist zu Ende',
    words: (f) => `Diese Arbeit ${stands(f.state)}; es gibt nichts abzubrechen.`,
    wayOut: () => 'Nichts zu tun.',
  },
  'long-work-too-many': {
    title: 'Zu viele Arbeiten warten',
    words: (f) =>
      `Für Sie ${f.open === 1 ? 'wartet oder läuft' : 'warten oder laufen'} ${viele(f.open, 'Arbeit', 'Arbeiten')}; die Grenze ist ${f.limit}.`,
    wayOut: () => 'Warten Sie, bis eine fertig ist, oder brechen Sie eine ab.',
  },
  'long-work-gave-up': {
    title: 'Die Arbeit wurde aufgegeben',
    words: (f) =>
      `Sie wurde ${f.times}-mal begonnen, und jedes Mal endete der Dienst, bevor sie fertig war.`,
    wayOut: () =>
      'Sagen Sie es der Administration; im Protokoll steht, wie der Dienst endete. Fragen Sie danach noch einmal.',
  },
  'long-work-asker-may-not': {
    title: 'Wer danach gefragt hat, darf es nicht mehr',
    words: (f) => `${f.name} hat danach gefragt und hat die Rolle dafür nicht mehr.`,
    wayOut: () => 'Jemand, der es darf, fragt noch einmal.',
  },
  'import-not-csv': {
    title: 'Der Text ist kein CSV',
    words: (f) => `Zeile ${f.line} lässt sich nicht lesen: ${satz(f.why)}.`,
    wayOut: () =>
      'Sichern Sie die Tabelle als CSV mit Kommas, und mit Anführungszeichen um alles, was ein Komma oder einen Zeilenumbruch enthält (RFC 4180).',
  },
  'import-columns-wrong': {
    title: 'Das sind nicht die Spalten von Passteilen',
    words: (f) =>
      [
        f.unknown.length === 0 ? '' : `Unbekannt oder doppelt: Spalte ${f.unknown.join(', ')}. `,
        f.missing.length === 0 ? '' : `Es fehlt die Spalte ${f.missing.join(', ')}. `,
        'Die oberste Zeile nennt die Spalten, jede einmal.',
      ].join(''),
    wayOut: (f) => `Nennen Sie Spalten aus diesen: ${f.columns.join(', ')}.`,
  },
  'import-length-wrong': {
    title: 'Zu viele Zeilen, oder keine',
    words: (f) =>
      `Die Datei hat unter der obersten ${viele(f.lines, 'Zeile', 'Zeilen')}; erlaubt sind 1 bis ${f.limit}.`,
    wayOut: () => 'Teilen Sie die Datei, und senden Sie die Teile nacheinander.',
  },
  'import-line-twice': {
    title: 'Zwei Zeilen der Datei sagen dasselbe',
    words: (f) => `Zeile ${f.firstLine} hat schon ${f.field} ${f.value}.`,
    wayOut: () => 'Lassen Sie eine der beiden Zeilen weg, oder berichtigen Sie die Nummer.',
  },
};

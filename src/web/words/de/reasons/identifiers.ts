import type { IDENTIFIER_REASONS } from '../../../../domain/reasons/identifiers.ts';
import type { ReasonWords } from '../../reasons.ts';

/** Refusals about our own numbers, in German. */
export const IDENTIFIERS: ReasonWords<typeof IDENTIFIER_REASONS> = {
  'order-number-mistyped': {
    title: 'Die Auftragsnummer ist vertippt',
    words: (f) =>
      f.problem === 'shape'
        ? `„${f.typed}“ sieht nicht wie eine Auftragsnummer aus.`
        : `„${f.typed}“ enthält ein falsches Zeichen: das Prüfzeichen stimmt nicht.`,
    wayOut: () =>
      'Scannen Sie den Laufzettel, oder geben Sie die Nummer noch einmal ein, wie gedruckt: Buchstaben, Jahr, fünf Ziffern, Prüfzeichen.',
  },
  'socket-number-mistyped': {
    title: 'Die Schaftnummer ist vertippt',
    words: (f) => `„${f.typed}“ ist keine Auftragsnummer mit /C oder /D und einer Zahl dahinter.`,
    wayOut: () =>
      'Scannen Sie das Etikett des Schafts, oder geben Sie die Nummer noch einmal ein: Auftragsnummer, /C1 für den ersten Testschaft, /D1 für den ersten Definitivschaft.',
  },
};

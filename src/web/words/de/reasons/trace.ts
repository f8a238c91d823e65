import type { TRACE_REASONS } from '../../../../domain/reasons/trace.ts';
import type { ReasonWords } from '../../reasons.ts';
import { oder, wort, worte } from '../wort.ts';

/** Refusals about asking the trace and running a recall, in German. */
export const TRACE: ReasonWords<typeof TRACE_REASONS> = {
  'trace-needs-one-key': {
    title: 'Die Frage braucht genau eine Angabe',
    words: (f) =>
      f.given.length === 0
        ? `Nichts ist gefragt; möglich sind ${worte(f.keys)}.`
        : `Gefragt ist zugleich nach ${f.given.map(wort).join(' und ')}.`,
    wayOut: (f) => `Fragen Sie nach einem davon: ${oder(f.keys)}.`,
  },
  'trace-key-not-yours': {
    title: 'Ihre Rolle fragt die Rückverfolgung nicht danach',
    words: (f) => `Nach „${wort(f.by)}“ fragen: ${worte(f.roles)}.`,
    wayOut: () =>
      'Fragen Sie nach dem, womit Sie arbeiten (die Werkbank nach Dingen, der Empfang nach Person oder Auftrag), oder fragen Sie jemanden mit dieser Rolle.',
  },
  'trace-person-not-you': {
    title: 'Die Arbeit anderer sieht die Auditorin oder der Auditor',
    words: () =>
      'Wer als OT-Meisterin oder OT-Meister nach einer Person fragt, fragt nur nach der eigenen Arbeit.',
    wayOut: () => 'Fragen Sie nach Auftrag, Schaft oder Werkzeug, oder bitten Sie den Audit darum.',
  },
  'history-not-yours': {
    title: 'Den Verlauf anderer sehen Audit und Administration',
    words: () =>
      'Jede Person liest den eigenen Verlauf; den einer anderen lesen Audit und Administration.',
    wayOut: () => 'Bitten Sie den Audit oder die Administration darum.',
  },
  'recall-not-a-wearer': {
    title: 'Dort trägt es jetzt niemand',
    words: (f) =>
      `Schaft ${f.socket} wird nicht getragen, oder enthält nichts von dem, was zurückgerufen ist.`,
    wayOut: () =>
      'Fragen Sie den Rückruf noch einmal ab, und nehmen Sie den Anruf aus seiner Liste.',
  },
  'recall-lot-of-several-parts': {
    title: 'Mehrere Passteile tragen dieses Los',
    words: (f) => `Los ${f.lot} steht auf Stücken von ${f.parts.join(', ')}.`,
    wayOut: () => 'Nennen Sie das Passteil, das zurückgerufen wird.',
  },
  'recall-lot-of-several-batches': {
    title: 'Mehrere Chargen tragen diese Nummer',
    words: (f) => `Los ${f.lot} steht auf ${f.batches.join(', ')}.`,
    wayOut: () => 'Nennen Sie die Charge, die zurückgerufen wird.',
  },
  'recall-too-large': {
    title: 'Das Los ist für eine Antwort zu groß',
    words: (f) => `Das Los hat ${f.pieces} Stück; eine Antwort fasst ${f.limit}.`,
    wayOut: () => 'Nennen Sie auch das Passteil, damit Passteil für Passteil gefragt wird.',
  },
};

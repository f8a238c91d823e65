import type { ALIGNMENT_REASONS } from '../../../../domain/reasons/alignment.ts';
import type { ReasonWords } from '../../reasons.ts';
import { zeit } from '../wort.ts';

/** Refusals about the alignment, in German. */
export const ALIGNMENT: ReasonWords<typeof ALIGNMENT_REASONS> = {
  'adapter-range-exceeded': {
    title: 'Der Adapter erreicht diesen Aufbau nicht',
    words: (f, m) =>
      `${f.item === null ? 'Er' : `Der Aufbau auf ${f.item}`} braucht eine Neigung von ${m.figure(f.tiltDeg, 1)}°; der Adapter erreicht ${m.figure(f.rangeDeg, 1)}°.`,
    wayOut: () =>
      'Setzen Sie die distale Platte in einem anderen Winkel, oder verwenden Sie einen Adapter, für den der Hersteller einen größeren Bereich angibt; sonst unterschreibt die OT-Meisterin oder der OT-Meister für genau diesen Aufbau.',
  },
  'alignment-superseded': {
    title: 'Seither wurde neu gemessen',
    words: (f) =>
      `Der genannte Aufbau ist nicht der neueste von ${f.socket}: dieser wurde am ${zeit(f.measuredAt)} gemessen.`,
    wayOut: () =>
      'Lesen Sie den neuesten und unterschreiben Sie diesen, wenn er so getragen werden darf.',
  },
  'alignment-difference-none': {
    title: 'Nichts anzunehmen',
    words: (f) =>
      `Der Aufbau von ${f.socket} liegt in der Toleranz der Werkstatt und im Bereich des Adapters, oder es gibt nichts zum Vergleichen.`,
    wayOut: () => 'Fahren Sie fort; es braucht keine Unterschrift.',
  },
  'alignment-difference-signed': {
    title: 'Es ist schon unterschrieben',
    words: (f) => `${f.by} hat genau diesen Aufbau von ${f.socket} am ${zeit(f.at)} angenommen.`,
    wayOut: () => 'Fahren Sie fort; wurde er seither geändert, messen Sie neu.',
  },
};

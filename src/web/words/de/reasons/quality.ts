import type { QUALITY_REASONS } from '../../../../domain/reasons/quality.ts';
import type { ReasonWords } from '../../reasons.ts';
import { viele } from '../wort.ts';

/** Refusals about quality figures, in German. */
export const QUALITY: ReasonWords<typeof QUALITY_REASONS> = {
  'too-few-to-chart': {
    title: 'Zu wenige Werte für eine Karte',
    words: (f) =>
      `Abgegeben in diesen Tagen: ${viele(f.orders, 'Auftrag', 'Aufträge')}; eine Karte braucht zwei.`,
    wayOut: () => 'Fragen Sie nach einer längeren Zeit.',
  },
  'quality-by-person-not-allowed': {
    title: 'Diese Werkstatt zeigt keine Zahlen je Person',
    words: () => 'Die Werkstatt hat Qualitätszahlen je Person nicht erlaubt.',
    wayOut: () =>
      'Fragen Sie nach Monat oder Ursache; die Administration kann es für die Werkstatt erlauben.',
  },
};

import type { COST_REASONS } from '../../../../domain/reasons/cost.ts';
import type { ReasonWords } from '../../reasons.ts';
import { satz } from '../satz.ts';

/** Refusals about money, in German. */
export const COST: ReasonWords<typeof COST_REASONS> = {
  'prices-without-currency': {
    title: 'Geld braucht seine Währung',
    words: () => 'Die Werkstatt rechnet mit Geld, und keine Währung ist gesetzt.',
    wayOut: () => 'Setzen Sie die Währung mit ihrem Code nach ISO 4217, etwa EUR.',
  },
  'currency-in-use': {
    title: 'In dieser Währung ist Geld erfasst',
    words: (f) =>
      `In ${f.currency} erfasst: ${f.kept.map((each) => satz(each)).join(', ')}. In einer anderen Währung wären es andere Beträge.`,
    wayOut: () =>
      'Behalten Sie die Währung; oder nehmen Sie zuerst die Preise der Chargen und Stücke zurück, und senden Sie den Stundensatz zusammen mit der neuen Währung.',
  },
  'money-not-whole': {
    title: 'Geld in Teilen seiner kleinsten Einheit',
    words: (f, m) =>
      `${f.what}: ${m.figure(f.amountMinor)} ist keine ganze Zahl der kleinsten Einheit.`,
    wayOut: () => 'Tragen Sie ganze Cent ein (oder was die kleinste Einheit der Währung ist).',
  },
};

import { inRange, usualIn } from '../../../../domain/reasons/measures.ts';
import type { RANGE_REASONS } from '../../../../domain/reasons/ranges.ts';
import type { ReasonWords } from '../../reasons.ts';
import { satz } from '../satz.ts';

/** Refusals of figures that the bench does not take, in German. */
export const RANGES: ReasonWords<typeof RANGE_REASONS> = {
  'value-out-of-range': {
    title: 'Ein Wert außerhalb seines Bereichs',
    words: (f, m) => {
      const { of, unit, units } = inRange(f, m);
      const value = Number.isNaN(f.value) ? 'keine Zahl' : `${of(f.value)} ${satz(unit)}`.trim();
      const most = `${of(f.greatest)} ${satz(unit)}`.trim();
      return `${satz(f.what)}: ${value}; möglich sind ${of(f.least)} bis ${most}. Üblich: ${usualIn(satz(f.usual), f.unit, units, ',')}.`;
    },
    wayOut: () => 'Prüfen Sie Wert und Einheit an Datenblatt, Maßband oder Waage.',
  },
};

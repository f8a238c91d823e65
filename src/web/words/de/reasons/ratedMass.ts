import type { RATED_MASS_REASONS } from '../../../../domain/reasons/ratedMass.ts';
import type { ReasonWords } from '../../reasons.ts';

/** Refusals about the body mass a part is rated for, in German. */
export const RATED_MASS: ReasonWords<typeof RATED_MASS_REASONS> = {
  'mass-over-rating': {
    title: 'Das Körpergewicht liegt über dem zulässigen des Passteils',
    words: (f, m) =>
      `${f.partName} ist bis ${m.mass.of(f.ratedBodyMassKg)} ${m.mass.unit} zugelassen; das Körpergewicht ist ${m.mass.of(f.bodyMassKg)} ${m.mass.unit}.`,
    wayOut: () => 'Wählen Sie ein Passteil, dessen eigenes Etikett dieses Körpergewicht zulässt.',
  },
  'mass-near-rating': {
    title: 'Das Körpergewicht liegt nahe am zulässigen des Passteils',
    words: (f, m) =>
      `${m.mass.of(f.bodyMassKg)} ${m.mass.unit} sind ${m.figure(f.percentOfRating, 1)} % der ${m.mass.of(f.ratedBodyMassKg)} ${m.mass.unit}, für die ${f.partName} zugelassen ist.`,
    wayOut: () =>
      'Die OT-Meisterin oder der OT-Meister nimmt es für dieses Körpergewicht mit Unterschrift zur Kenntnis, oder wählt ein höher zugelassenes Passteil.',
  },
  'mass-impossible': {
    title: 'Körpergewicht oder zulässiges Gewicht fehlt',
    words: (f, m) =>
      `${f.partName} lässt sich nicht beurteilen: zulässig ${m.mass.of(f.ratedBodyMassKg)} ${m.mass.unit}, Körpergewicht ${m.mass.of(f.bodyMassKg)} ${m.mass.unit}; beide müssen über null liegen.`,
    wayOut: () => 'Tragen Sie das Körpergewicht und den Wert vom Etikett des Passteils ein.',
  },
};

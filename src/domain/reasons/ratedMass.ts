import { figure } from './figures.ts';
import { entry } from './reason.ts';

/** Refusals about the body mass a part is rated for (R3). */
export const RATED_MASS_REASONS = {
  'mass-over-rating': entry<{ partName: string; ratedBodyMassKg: number; bodyMassKg: number }>({
    rule: 'R3',
    kind: 'rule',
    title: 'The patient is heavier than the part is rated for',
    words: (f, m) =>
      `${f.partName} is rated for ${m.mass.of(f.ratedBodyMassKg)} ${m.mass.unit}; the patient weighs ${m.mass.of(f.bodyMassKg)} ${m.mass.unit}.`,
    wayOut: () => 'Choose a part whose own label states a rating for this body mass.',
  }),
  'mass-near-rating': entry<{
    partName: string;
    ratedBodyMassKg: number;
    bodyMassKg: number;
    percentOfRating: number;
  }>({
    rule: 'R3',
    kind: 'rule',
    title: 'The patient is close to the mass the part is rated for',
    words: (f, m) =>
      `${m.mass.of(f.bodyMassKg)} ${m.mass.unit} is ${figure(f.percentOfRating, 1)} % of the ${m.mass.of(f.ratedBodyMassKg)} ${m.mass.unit} that ${f.partName} is rated for.`,
    wayOut: () =>
      'A prosthetist acknowledges it by signature for this body mass, or chooses a part rated higher.',
  }),
  'mass-impossible': entry<{ partName: string; ratedBodyMassKg: number; bodyMassKg: number }>({
    rule: 'R3',
    kind: 'invalid',
    title: 'A body mass or rating is missing',
    words: (f, m) =>
      `${f.partName} cannot be judged: rating ${m.mass.of(f.ratedBodyMassKg)} ${m.mass.unit}, body mass ${m.mass.of(f.bodyMassKg)} ${m.mass.unit}; both must be above zero.`,
    wayOut: () =>
      "Enter the patient's body mass and the rating on the part's own label in kilograms.",
  }),
};

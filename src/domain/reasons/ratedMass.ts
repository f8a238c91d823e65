import { figure } from './figures.ts';
import { entry } from './reason.ts';

/** Refusals about the body mass a part is rated for (R3). */
export const RATED_MASS_REASONS = {
  'mass-over-rating': entry<{ partName: string; ratedBodyMassKg: number; bodyMassKg: number }>({
    rule: 'R3',
    kind: 'rule',
    title: 'The patient is heavier than the part is rated for',
    words: (f) =>
      `${f.partName} is rated for ${figure(f.ratedBodyMassKg)} kg; the patient weighs ${figure(f.bodyMassKg)} kg.`,
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
    words: (f) =>
      `${figure(f.bodyMassKg)} kg is ${figure(f.percentOfRating, 1)} % of the ${figure(f.ratedBodyMassKg)} kg that ${f.partName} is rated for.`,
    wayOut: () =>
      'A prosthetist acknowledges it by signature for this body mass, or chooses a part rated higher.',
  }),
  'mass-impossible': entry<{ partName: string; ratedBodyMassKg: number; bodyMassKg: number }>({
    rule: 'R3',
    kind: 'invalid',
    title: 'A body mass or rating is missing',
    words: (f) =>
      `${f.partName} cannot be judged: rating ${f.ratedBodyMassKg} kg, body mass ${f.bodyMassKg} kg; both must be above zero.`,
    wayOut: () =>
      "Enter the patient's body mass and the rating on the part's own label in kilograms.",
  }),
};

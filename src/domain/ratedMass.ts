/**
 * R3. A part never goes under a patient whose body mass passes the mass the
 * part is rated for; from 90 % on a prosthetist must acknowledge it. A new body
 * mass is judged again for all that the patient wears.
 */
import { reason } from './reasons/index.ts';
import { granted, refused, type Verdict } from './verdict.ts';

/**
 * Names of the test loading levels of ISO 10328:2016 and the body mass, in kg,
 * each goes up to (P7 and P8 from memory). Labels only: nothing is judged by
 * them, see `RATING_LEVEL_WARNING`.
 */
export const RATING_LEVELS_KG = { P3: 60, P4: 80, P5: 100, P6: 125, P7: 150, P8: 175 } as const;

/** To be shown wherever a level is shown (the warning of ISO 10328:2016, in our words). */
export const RATING_LEVEL_WARNING =
  "ISO 10328 warns that its levels are not a guide for choosing a device for a person. The part's own label decides.";

/** 62.1 kg is 90 % of 69 kg whatever binary fractions make of it. */
const ROUND_OFF_KG = 1e-6;

/** What a part is judged by under one patient. Masses in kg. */
export interface RatedMassFacts {
  readonly partName: string;
  /** The rating on the part's own label. */
  readonly ratedBodyMassKg: number;
  readonly bodyMassKg: number;
  /** Up to which body mass a prosthetist acknowledged a mass near this rating; null where not. */
  readonly acknowledgedUpToKg: number | null;
}

/**
 * Judges a part under a patient's body mass (R3). From 90 % to 100 % of the
 * rating, both included, an acknowledgement for at least this mass is needed;
 * past 100 % none helps. Common practice, no source for the 90 %.
 * @returns per cent of the rating used and whether it is near, or one of
 *   'mass-over-rating', 'mass-near-rating', 'mass-impossible'
 */
export function judgeRatedMass(
  facts: RatedMassFacts,
): Verdict<{ percentOfRating: number; nearRating: boolean }> {
  const { partName, ratedBodyMassKg, bodyMassKg, acknowledgedUpToKg } = facts;
  const masses = { partName, ratedBodyMassKg, bodyMassKg };
  // Said the positive way round, so that a mass that is not a number is refused too.
  if (!(bodyMassKg > 0 && ratedBodyMassKg > 0)) return refused([reason('mass-impossible', masses)]);
  if (bodyMassKg > ratedBodyMassKg) return refused([reason('mass-over-rating', masses)]);

  const percentOfRating = (100 * bodyMassKg) / ratedBodyMassKg;
  const nearRating = bodyMassKg >= 0.9 * ratedBodyMassKg - ROUND_OFF_KG;
  if (nearRating && (acknowledgedUpToKg === null || acknowledgedUpToKg < bodyMassKg)) {
    return refused([reason('mass-near-rating', { ...masses, percentOfRating })]);
  }
  return granted({ percentOfRating, nearRating });
}

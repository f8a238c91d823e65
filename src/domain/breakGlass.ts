/**
 * Breaking the glass: somebody whose role does not see a patient's name or telephone opens
 * them for one patient and half an hour, says why, and is reviewed by somebody else
 * (45 CFR 164.312(a)(2)(ii), emergency access; 164.308(a)(1)(ii)(D), review).
 */

/** Why a person's fields may be opened: a closed list, so that what is reviewed can be counted. */
export const BREAK_GLASS_REASONS = [
  /** The traveller or the label cannot be read, and two patients have these initials. */
  'label_unreadable',
  /** Harm to the patient is near: the limb must not be worn on. */
  'emergency',
  /** A wearer must be reached about a recalled part, and nobody of the desk is there. */
  'recall_call',
  /** Work of two patients may have been mixed up. */
  'mixed_up',
] as const;
export type BreakGlassReason = (typeof BREAK_GLASS_REASONS)[number];

/** How long what was opened stays open. Common practice, no source. */
export const OPEN_MINUTES = 30;
/** Fewer signs than this say no reason. Common practice, no source. */
export const LEAST_WORDS = 10;
/** Openings of one person within an hour; who needs more has the wrong role. Common practice, no source. */
export const MOST_OPENINGS_AN_HOUR = 5;

/** Until when something opened at `at` stays open. */
export const openUntil = (at: Date): Date => new Date(at.getTime() + OPEN_MINUTES * 60_000);
/** Since when openings count against the limit. */
export const countedSince = (at: Date): Date => new Date(at.getTime() - 60 * 60_000);

/**
 * Body mass as it is entered (R3): every rating is judged by it, so a slip of
 * the keys (a day ahead, pounds for kilograms) is questioned at the desk.
 */
import { daysBetween, isBefore, type Day } from './days.ts';
import { reason, type Reason } from './reasons/index.ts';

/** The masses that are taken at all, in kg; the database holds the same limits. */
export const BODY_MASS_KG = { least: 2, greatest: 350 } as const;

/** A change of more than this share within so many days is questioned. Common practice, no source. */
export const MASS_JUMP = { share: 0.2, withinDays: 60 } as const;

export interface MeasuredMass {
  readonly massKg: number;
  readonly measuredOn: Day;
}

/**
 * Everything against a body mass as entered.
 * @param facts.before the mass last measured on or before that day; null where there is none
 * @param facts.confirmed the person has looked at the scale again
 * @returns 'day-in-future', 'body-mass-implausible', or none
 */
export function questionBodyMass(
  entered: MeasuredMass,
  facts: { readonly before: MeasuredMass | null; readonly today: Day; readonly confirmed: boolean },
): Reason[] {
  const reasons: Reason[] = [];
  if (isBefore(facts.today, entered.measuredOn)) {
    reasons.push(
      reason('day-in-future', {
        what: 'The day of weighing',
        day: entered.measuredOn,
        today: facts.today,
      }),
    );
  }
  const { before } = facts;
  if (before === null || facts.confirmed) return reasons;
  const days = daysBetween(before.measuredOn, entered.measuredOn);
  const percent = (100 * Math.abs(entered.massKg - before.massKg)) / before.massKg;
  if (days >= 0 && days <= MASS_JUMP.withinDays && percent > 100 * MASS_JUMP.share) {
    reasons.push(
      reason('body-mass-implausible', {
        massKg: entered.massKg,
        beforeKg: before.massKg,
        beforeOn: before.measuredOn,
        days,
        percent,
      }),
    );
  }
  return reasons;
}

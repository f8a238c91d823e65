import { patientSeenBy, seesContact, type PatientSeen } from '../../access/minimumNecessary.ts';
import { initialsOf } from '../../domain/lookAlikes.ts';
import type { Day } from '../../domain/days.ts';
import type { Role } from '../../domain/words.ts';
import type { Holding } from '../../store/recall.ts';

/**
 * A wearer on the list of people to call. Whoever calls or runs the recall
 * (prosthetist, front desk, administrator) sees name and phone; an auditor's drill
 * is about counts and sees chart number and initials (45 CFR 164.502(b)).
 */
export function patientToCall(
  holding: Holding,
  roles: readonly Role[],
): { readonly patient: PatientSeen; readonly phone: string | null } {
  const { patientId: id, chartNumber, givenName, familyName, phone } = holding;
  if (seesContact(roles)) {
    const birthDate = holding.birthDate as Day | null;
    return {
      patient: patientSeenBy(roles, { id, chartNumber, givenName, familyName, birthDate }),
      phone,
    };
  }
  const initials = initialsOf({ givenName, familyName });
  if (roles.includes('administrator')) {
    return { patient: { id, chartNumber, initials, givenName, familyName }, phone };
  }
  return { patient: { id, chartNumber, initials }, phone: null };
}

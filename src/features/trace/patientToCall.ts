import { sees, type PatientSeen, type Sight } from '../../access/minimumNecessary.ts';
import { initialsOf } from '../../domain/lookAlikes.ts';
import type { Day } from '../../domain/days.ts';
import type { Holding } from '../../store/recall.ts';

/**
 * A wearer on the list of people to call. Whoever calls or runs the recall
 * (prosthetist, front desk, administrator) sees name and phone; an auditor's drill
 * is about counts and sees chart number and initials (45 CFR 164.502(b)), unless the
 * telephone of this wearer was opened for a reason.
 */
export function patientToCall(
  holding: Holding,
  sight: Sight,
): { readonly patient: PatientSeen; readonly phone: string | null } {
  const { patientId: id, chartNumber, givenName, familyName, phone } = holding;
  const birthDate = holding.birthDate as Day | null;
  const named = birthDate !== null && sees(sight, 'recallName', id);
  return {
    patient: {
      id,
      chartNumber,
      initials: initialsOf({ givenName, familyName }),
      ...(named ? { givenName, familyName } : {}),
      ...(named && sees(sight, 'birthDate', id) ? { birthDate } : {}),
    },
    phone: sees(sight, 'recallPhone', id) ? phone : null,
  };
}

import { patientSeenBy, sees, type Sight } from '../../access/minimumNecessary.ts';
import type { PatientRecord } from '../../store/patients.ts';
import type { PatientView } from './schemas.ts';

/** A patient as it is seen on its own. */
export const patientView = (sight: Sight, patient: PatientRecord): PatientView => ({
  ...patientSeenBy(sight, patient),
  ...(sees(sight, 'phone', patient.id) ? { phone: patient.phone } : {}),
  ...(sees(sight, 'address', patient.id) ? { address: patient.address } : {}),
  bodyMassKg: patient.bodyMassKg,
  bodyMassMeasuredOn: patient.bodyMassMeasuredOn,
  createdAt: patient.createdAt,
  version: patient.version,
});

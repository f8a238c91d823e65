import { patientSeenBy, seesContact } from '../../access/minimumNecessary.ts';
import type { Role } from '../../domain/words.ts';
import type { PatientRecord } from '../../store/patients.ts';
import type { PatientView } from './schemas.ts';

/** A patient as people with these roles see it. */
export const patientView = (patient: PatientRecord, roles: readonly Role[]): PatientView => ({
  ...patientSeenBy(roles, patient),
  ...(seesContact(roles) ? { phone: patient.phone, address: patient.address } : {}),
  bodyMassKg: patient.bodyMassKg,
  bodyMassMeasuredOn: patient.bodyMassMeasuredOn,
  createdAt: patient.createdAt,
  version: patient.version,
});

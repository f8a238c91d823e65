/**
 * What of a patient each role sees: no more than its work needs (45 CFR
 * 164.502(b)). The bench knows chart number, initials and body mass; an auditor
 * also who the person is, and what was said when a fitting was booked or called
 * off; only desk and fitting room how to reach the person.
 */
import type { Day } from '../domain/days.ts';
import { initialsOf } from '../domain/lookAlikes.ts';
import type { Role } from '../domain/words.ts';

const SEES_IDENTITY: readonly Role[] = ['front_desk', 'prosthetist', 'auditor'];
const SEES_CONTACT: readonly Role[] = ['front_desk', 'prosthetist'];

export const seesIdentity = (roles: readonly Role[]): boolean =>
  roles.some((role) => SEES_IDENTITY.includes(role));
export const seesContact = (roles: readonly Role[]): boolean =>
  roles.some((role) => SEES_CONTACT.includes(role));

/** Whether people with these roles may read what a patient or the family said to the desk. */
export const seesWhatWasSaid = (roles: readonly Role[]): boolean => seesIdentity(roles);
/** Who may ask for a recall (permissions.ts) may read what was agreed with those who were called. */
const seesRecallCalls = (roles: readonly Role[]): boolean =>
  roles.some((role) => role !== 'technician');

type Sees = Readonly<Record<string, (roles: readonly Role[]) => boolean>>;
/** Fields that not everybody reads, by what the event is about. */
const HIDDEN_IN_SUBJECT: Readonly<Record<string, Sees>> = {
  patient: {
    givenName: seesIdentity,
    familyName: seesIdentity,
    birthDate: seesIdentity,
    phone: seesContact,
    address: seesContact,
  },
  appointment: { note: seesWhatWasSaid, why: seesWhatWasSaid, whyBefore: seesWhatWasSaid },
};
/** The same by what happened, where the subject alone does not say it. */
const HIDDEN_IN_KIND: Readonly<Record<string, Sees>> = {
  'recall.called': { note: seesRecallCalls },
};

/** Whether people with these roles may read a field of an event, wherever it is told. */
export const seesEventField = (
  roles: readonly Role[],
  of: { readonly kind: string; readonly subjectKind: string },
  field: string,
): boolean => {
  const sees = HIDDEN_IN_KIND[of.kind]?.[field] ?? HIDDEN_IN_SUBJECT[of.subjectKind]?.[field];
  return sees?.(roles) ?? true;
};

/** A patient as far as anybody may be told who it is. */
export interface PatientIdentity {
  readonly id: string;
  readonly chartNumber: string;
  readonly givenName: string;
  readonly familyName: string;
  /** Null where it was erased; the names are empty then. */
  readonly birthDate: Day | null;
}

/** Chart number and initials; names and birth date only where one of the roles sees them. */
export interface PatientSeen {
  readonly id: string;
  readonly chartNumber: string;
  readonly initials: string;
  readonly givenName?: string;
  readonly familyName?: string;
  readonly birthDate?: Day;
}

/** The patient as people with these roles see it beside an order or a socket. */
export const patientSeenBy = (roles: readonly Role[], patient: PatientIdentity): PatientSeen => ({
  id: patient.id,
  chartNumber: patient.chartNumber,
  initials: initialsOf(patient),
  ...(seesIdentity(roles) && patient.birthDate !== null
    ? {
        givenName: patient.givenName,
        familyName: patient.familyName,
        birthDate: patient.birthDate,
      }
    : {}),
});

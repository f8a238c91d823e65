/** A patient who is being entered, as typed, and as it is sent. */
import type { Schemas } from '../api.ts';

export interface PatientDraft {
  readonly familyName: string;
  readonly givenName: string;
  readonly birthDate: string;
  readonly phone: string;
  readonly chartNumber: string;
  readonly massKg: string;
  /** Left out: today. */
  readonly measuredOn?: string;
  readonly address: string;
}

export const EMPTY_PATIENT: PatientDraft = {
  familyName: '',
  givenName: '',
  birthDate: '',
  phone: '',
  chartNumber: '',
  massKg: '',
  address: '',
};

/** What was searched for is the beginning of who is entered. */
export function searchedFor(typed: string): Partial<PatientDraft> {
  if (/^[\d\s()+/.-]{4,}$/.test(typed)) return { phone: typed };
  if (/\d/.test(typed)) return { chartNumber: typed };
  const [family = '', given] = typed.split(',').map((part) => part.trim());
  if (given !== undefined) return { familyName: family, givenName: given };
  const names = family.split(/\s+/);
  const last = names.pop() ?? '';
  return { familyName: last, ...(names.length === 0 ? {} : { givenName: names.join(' ') }) };
}

/** @param notTheSameAs ids of the look-alikes that are somebody else */
export function patientToAdd(
  draft: PatientDraft,
  today: string,
  notTheSameAs: string[],
): Schemas['PatientToAddInput'] {
  const { familyName, givenName, birthDate, chartNumber, phone, address } = draft;
  const typed = { familyName, givenName, birthDate, chartNumber, phone, address };
  // What is empty is left out: the service says what is missing.
  const filled = Object.fromEntries(
    Object.entries(typed).filter(([, value]) => value.trim() !== ''),
  ) as typeof typed;
  const massKg = draft.massKg.trim() === '' ? undefined : Number(draft.massKg.replace(',', '.'));
  return {
    ...filled,
    bodyMass: {
      ...({ massKg } as { massKg: number }),
      measuredOn: draft.measuredOn ?? today,
    },
    notTheSameAs,
  };
}

/** Finding patients by whatever the caller says first: a name, a chart number, a phone number. */
import { keepPreviousData, useQuery } from '@tanstack/preact-query';
import { answered, api, type Schemas } from '../api.ts';
import { may } from '../session/session.ts';
import { birthDayWords, words } from '../words/words.ts';

export type Patient = Schemas['Patient'];
/** A patient as an order's line or page names it. */
type Seen = Schemas['PatientSeen'];
type Search = Schemas['PatientSearchInput'];

/** The desk sees a name, the bench chart number and initials: what the service sends is shown. */
export const patientWords = ({ familyName, givenName, chartNumber, initials }: Seen): string =>
  familyName === undefined
    ? `${chartNumber} · ${initials}`
    : `${familyName}, ${givenName ?? ''} · ${chartNumber}`;

/** With what tells two of one name apart. */
export const patientInFull = (patient: Patient): string =>
  [
    patientWords(patient),
    patient.birthDate === undefined
      ? ''
      : `${words.value.desk.born} ${birthDayWords(patient.birthDate)}`,
    patient.phone ?? '',
  ]
    .filter((part) => part !== '')
    .join(' · ');

/** Whether a search may be by name: the bench knows chart numbers only. */
export const searchesByName = (): boolean => may('front_desk', 'prosthetist', 'auditor');

/** A number is a chart number, or the end of a phone number; everything else is a name. */
function searchesFor(typed: string): Pick<Search, 'name' | 'chartNumber' | 'phone'>[] {
  if (!/\d/.test(typed)) return [{ name: typed }];
  const phone = /^[\d\s()+/.-]+$/.test(typed) && typed.replace(/\D/g, '').length >= 4;
  return [{ chartNumber: typed }, ...(phone ? [{ phone: typed }] : [])];
}

const MOST_SHOWN = 8;

async function findPatients(typed: string): Promise<Patient[]> {
  const pages = await Promise.all(
    searchesFor(typed).map((search) =>
      answered(api.POST('/api/v1/patients/search', { body: { limit: MOST_SHOWN, ...search } })),
    ),
  );
  const found = new Map(pages.flatMap(({ items }) => items).map((each) => [each.id, each]));
  return [...found.values()].slice(0, MOST_SHOWN);
}

/** Patients for what was typed; none while nothing is. */
export const useFoundPatients = (typed: string) =>
  useQuery({
    queryKey: ['patients', typed],
    queryFn: () => findPatients(typed),
    enabled: typed !== '',
    placeholderData: keepPreviousData,
  });

/** A patient who is being entered, as typed, and as it is sent. */
import { toKilograms, type MassUnit } from '../../domain/units.ts';
import type { Schemas } from '../api.ts';
import { figureTyped } from '../words/figures.ts';
import { dusted, measures, units } from '../words/units.ts';

export interface PatientDraft {
  readonly familyName: string;
  readonly givenName: string;
  readonly birthDate: string;
  readonly phone: string;
  readonly chartNumber: string;
  /** As typed, and in which unit: the units may be turned before it is sent. */
  readonly mass: string;
  readonly massUnit: MassUnit;
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
  mass: '',
  massUnit: 'kg',
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

/** The mass in kilograms, converted once; undefined where nothing is typed, NaN where it is no figure. */
export function massTyped({ mass, massUnit }: PatientDraft): number | undefined {
  const figure = figureTyped(mass);
  return figure === undefined ? undefined : dusted(toKilograms(figure, massUnit));
}

/** What stands in the field: as typed, or in the unit that was turned to meanwhile. */
export function massShown(draft: PatientDraft): string {
  const massKg = massTyped(draft);
  if (draft.massUnit === units.value.mass || massKg === undefined || Number.isNaN(massKg)) {
    return draft.mass;
  }
  return measures.value.mass.of(massKg, 1);
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
  const massKg = massTyped(draft);
  return {
    ...filled,
    bodyMass: {
      ...({ massKg } as { massKg: number }),
      measuredOn: draft.measuredOn ?? today,
    },
    notTheSameAs,
  };
}

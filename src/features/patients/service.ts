import { v7 as uuidv7 } from 'uuid';
import { seesContact, seesIdentity } from '../../access/minimumNecessary.ts';
import { questionBodyMass } from '../../domain/bodyMass.ts';
import { addMonths, isBefore, type Day } from '../../domain/days.ts';
import {
  dayAndMonthSwapped,
  initialsOf,
  likeness,
  nameKeyOf,
  phoneKeyOf,
  plainName,
  swappedNameKeyOf,
  type Likeness,
  type PatientTraits,
} from '../../domain/lookAlikes.ts';
import { reason } from '../../domain/reasons/index.ts';
import { pageFrom, readCursor, type Page } from '../../http/paging.ts';
import type { Act } from '../../store/act.ts';
import { todayAtClinic } from '../../store/clinic.ts';
import { keptAddress, keptPhone } from '../../store/contact.ts';
import { asStored } from '../../store/days.ts';
import { isUniqueClash } from '../../store/failures.ts';
import {
  loadPatient,
  possibleLookAlikes,
  searchPatients,
  type PatientRecord,
} from '../../store/patients.ts';
import { Refused, refuseIfAny } from '../../store/refused.ts';
import { changesOf, refuseStale } from '../../store/versions.ts';
import { writeBodyMass } from './bodyMass.ts';
import {
  PatientCursor,
  type LookAlikeQuestion,
  type LookAlikes,
  type PatientChange,
  type PatientSearch,
  type PatientToAdd,
  type PatientView,
} from './schemas.ts';
import { patientView } from './view.ts';

/** Nobody is older. Common practice, no source. */
const OLDEST_YEARS = 120;

export async function readPatient(act: Act, patientId: string): Promise<PatientView> {
  return patientView(await loadPatient(act, patientId), act.by.roles);
}

/** Finds patients by what the caller's roles see of them; without any part, lists all. */
export async function findPatients(act: Act, search: PatientSearch): Promise<Page<PatientView>> {
  const { roles } = act.by;
  const hidden = [
    ...(search.name !== undefined && !seesIdentity(roles) ? ['the name'] : []),
    ...(search.phone !== undefined && !seesContact(roles) ? ['the phone number'] : []),
  ];
  if (hidden.length > 0) throw new Refused([reason('search-beyond-role', { fields: hidden })]);
  const rows = await searchPatients(act, {
    nameWords: plainName(search.name ?? '')
      .split(' ')
      .filter((word) => word !== ''),
    chartNumber: search.chartNumber ?? null,
    phoneDigits: search.phone === undefined ? null : phoneKeyOf(search.phone),
    afterChartNumber: readCursor(PatientCursor, search.after) ?? null,
    take: search.limit + 1,
  });
  return pageFrom(
    rows,
    search.limit,
    (row) => row.chartNumber,
    (row) => patientView(row, roles),
  );
}

/** Patients who may be the one about to be entered. */
export async function findLookAlikes(act: Act, question: LookAlikeQuestion): Promise<LookAlikes> {
  const found = await lookAlikesOf(act, { ...question, phone: question.phone ?? null });
  return {
    candidates: found.map(({ patient, because }) => ({
      patient: patientView(patient, act.by.roles),
      because,
    })),
  };
}

/**
 * Enters a patient with the first body mass.
 * @throws Refused 'possible-duplicate' where there are look-alikes that the
 *   request does not name; 'chart-number-taken'; 'birth-date-implausible'; 'day-in-future'.
 */
export async function addPatient(act: Act, input: PatientToAdd): Promise<PatientView> {
  const { clinicId } = act;
  const today = await todayAtClinic(act);
  refuseIfAny([
    ...judgeBirthDate(input.birthDate, today),
    ...questionBodyMass(input.bodyMass, { before: null, today, confirmed: false }),
  ]);
  const { chartNumber, givenName, familyName, birthDate } = input;
  const phone = input.phone ?? null;
  const address = input.address ?? null;
  const unnamed = (await lookAlikesOf(act, { givenName, familyName, birthDate, phone })).filter(
    ({ patient }) => !input.notTheSameAs.includes(patient.id),
  );
  if (unnamed.length > 0) {
    throw new Refused([
      reason('possible-duplicate', {
        candidates: unnamed.map(({ patient }) => inFewWords(patient)),
        patientIds: unnamed.map(({ patient }) => patient.id),
      }),
    ]);
  }
  const id = uuidv7();
  try {
    await act.tx.patient.create({
      data: {
        clinicId,
        id,
        chartNumber,
        givenName,
        familyName,
        nameKey: nameKeyOf(input),
        birthDate: asStored(birthDate),
        ...keptPhone(act, id, phone),
        address: keptAddress(act, id, address),
        createdAt: act.at,
        createdById: act.by.personId,
      },
    });
  } catch (failure) {
    if (!isUniqueClash(failure, 'chart_number')) throw failure;
    throw new Refused([reason('chart-number-taken', { chartNumber }, '/chartNumber')], {
      cause: failure,
    });
  }
  act.record({
    kind: 'patient.added',
    subjectKind: 'patient',
    subjectId: id,
    data: {
      chartNumber,
      givenName,
      familyName,
      birthDate,
      phone,
      address,
      notTheSameAs: input.notTheSameAs,
    },
  });
  await writeBodyMass(act, id, input.bodyMass, null);
  return readPatient(act, id);
}

/** Corrects what is known of a patient, from the version that was read. */
export async function changePatient(
  act: Act,
  patientId: string,
  change: PatientChange,
  expectedVersion: number,
): Promise<PatientView> {
  const before = await loadPatient(act, patientId);
  if (before.version !== expectedVersion) refuseStale(expectedVersion, before.version);
  if (change.birthDate !== undefined) {
    refuseIfAny(judgeBirthDate(change.birthDate, await todayAtClinic(act)));
  }
  const changes = changesOf(before, change);
  if (!changes.any) return patientView(before, act.by.roles);
  const { birthDate, phone, address, ...rest } = changes.set;
  const { count } = await act.tx.patient.updateMany({
    where: { clinicId: act.clinicId, id: patientId, version: expectedVersion },
    data: {
      ...rest,
      ...(birthDate === undefined ? {} : { birthDate: asStored(birthDate) }),
      ...(phone === undefined ? {} : keptPhone(act, patientId, phone)),
      ...(address === undefined ? {} : { address: keptAddress(act, patientId, address) }),
      nameKey: nameKeyOf({ ...before, ...rest }),
      version: { increment: 1 },
    },
  });
  if (count === 0) refuseStale(expectedVersion, (await loadPatient(act, patientId)).version);
  act.record({
    kind: 'patient.changed',
    subjectKind: 'patient',
    subjectId: patientId,
    data: changes.event,
  });
  return readPatient(act, patientId);
}

const judgeBirthDate = (birthDate: Day, today: Day) =>
  isBefore(today, birthDate) || isBefore(birthDate, addMonths(today, -12 * OLDEST_YEARS))
    ? [reason('birth-date-implausible', { birthDate, today }, '/birthDate')]
    : [];

/** What tells look-alikes apart without saying more of them than desk and bench may hear. */
const inFewWords = (patient: PatientRecord): string =>
  `${patient.chartNumber} (${initialsOf(patient)}, born ${patient.birthDate.slice(0, 4)})`;

async function lookAlikesOf(
  act: Act,
  traits: PatientTraits,
): Promise<{ patient: PatientRecord; because: Likeness }[]> {
  const swapped = dayAndMonthSwapped(traits.birthDate);
  const rows = await possibleLookAlikes(
    act,
    swapped === undefined ? [traits.birthDate] : [traits.birthDate, swapped],
    [nameKeyOf(traits), swappedNameKeyOf(traits)],
  );
  return rows.flatMap((patient) => {
    const because = likeness(traits, patient);
    return because === null ? [] : [{ patient, because }];
  });
}

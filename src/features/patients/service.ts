import { v7 as uuidv7 } from 'uuid';
import { lookedUp } from '../../access/lookUp.ts';
import {
  byRoles,
  mayOpen,
  mostShown,
  seesContact,
  seesIdentity,
} from '../../access/minimumNecessary.ts';
import { sightOf } from '../../access/sight.ts';
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
import { openGrants } from '../../store/breakGlass.ts';
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

export const readPatient = async (act: Act, patientId: string): Promise<PatientView> =>
  patientView(await sightOf(act), await loadPatient(act, patientId));

/** A patient's page as it is asked for, which is a look at the patient; with what may be opened of it. */
export async function lookAtPatient(act: Act, patientId: string): Promise<PatientView> {
  const sight = await sightOf(act);
  const patient = await readPatient(act, patientId);
  const shown = mostShown(sight, patientId);
  await lookedUp(act, { route: 'readPatient', shown, patientIds: [patientId] });
  const fields = mayOpen(act.by.roles);
  if (fields.length === 0) return patient;
  const grants = (await openGrants(act)).filter((grant) => grant.patientId === patientId);
  const until = grants.map((grant) => grant.until).sort((a, b) => b.getTime() - a.getTime())[0];
  return { ...patient, more: { mayOpen: [...fields], openUntil: until ?? null } };
}

/** Finds patients by what the caller's roles see of them; without any part, lists all. */
export async function findPatients(act: Act, search: PatientSearch): Promise<Page<PatientView>> {
  // What was opened of one patient does not widen what may be searched by.
  const role = byRoles(act.by.roles);
  const hidden = [
    ...(search.name !== undefined && !seesIdentity(role) ? ['the name'] : []),
    ...(search.phone !== undefined && !seesContact(role) ? ['the phone number'] : []),
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
  const sight = await sightOf(act);
  const page = pageFrom(
    rows,
    search.limit,
    (row) => row.chartNumber,
    (row) => patientView(sight, row),
  );
  const patientIds = page.items.map(({ id }) => id);
  await lookedUp(act, { route: 'searchPatients', shown: mostShown(role), patientIds });
  return page;
}

/** Patients who may be the one about to be entered. */
export async function findLookAlikes(act: Act, question: LookAlikeQuestion): Promise<LookAlikes> {
  const found = await lookAlikesOf(act, { ...question, phone: question.phone ?? null });
  const sight = await sightOf(act);
  await lookedUp(act, {
    route: 'findLookAlikes',
    shown: mostShown(sight),
    patientIds: found.map(({ patient }) => patient.id),
  });
  return {
    candidates: found.map(({ patient, because }) => ({
      patient: patientView(sight, patient),
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
  // A date that was erased is not there to be compared with.
  const wanted: Omit<PatientChange, 'birthDate'> & { birthDate?: Day | null | undefined } = change;
  const changes = changesOf(before, wanted);
  if (!changes.any) return patientView(await sightOf(act), before);
  const { birthDate = null, phone, address, ...rest } = changes.set;
  const { count } = await act.tx.patient.updateMany({
    where: { clinicId: act.clinicId, id: patientId, version: expectedVersion },
    data: {
      ...rest,
      ...(birthDate === null ? {} : { birthDate: asStored(birthDate) }),
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
  `${patient.chartNumber} (${initialsOf(patient)}, born ${patient.birthDate?.slice(0, 4) ?? '?'})`;

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
    const { birthDate } = patient;
    // Of whom it was erased who it is, nobody can be told apart.
    const because = birthDate === null ? null : likeness(traits, { ...patient, birthDate });
    return because === null ? [] : [{ patient, because }];
  });
}

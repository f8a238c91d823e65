/** The people of a clinic and their roles. */
import { z } from 'zod';
import { againstPassword, hashPassword } from '../../access/passwords.ts';
import { reason } from '../../domain/reasons/index.ts';
import type { Role } from '../../domain/words.ts';
import { requireVersion } from '../../http/etag.ts';
import { pageFrom, readCursor, type Page } from '../../http/paging.ts';
import type { Act } from '../../store/act.ts';
import {
  addPerson as writePerson,
  benchPeople,
  changePerson as writeChange,
  endRoles,
  grantRoles,
  lockAdministrators,
  lockPerson,
  peoplePage,
  personById,
  setPassword,
  type PersonRow,
} from '../../store/people.ts';
import { found, Refused, refuseIfAny } from '../../store/refused.ts';
import { changesOf } from '../../store/versions.ts';
import { endSession, endSessions } from '../../store/sessions.ts';
import type { ChangePerson } from './schemas.ts';

const cursor = z.strictObject({ printedName: z.string(), id: z.uuid() });

export async function listPeople(
  act: Act,
  { limit, after }: { limit: number; after?: string | undefined },
): Promise<Page<PersonRow>> {
  const rows = await peoplePage(act.tx, act.clinicId, readCursor(cursor, after), limit + 1);
  return pageFrom(
    rows,
    limit,
    ({ printedName, id }) => ({ printedName, id }),
    (row) => row,
  );
}

/** Who works on sockets, by name: whom an operation may name as its second person. */
export const listBenchPeople = async (act: Act) => ({ items: await benchPeople(act) });

export const readPerson = async (act: Act, id: string): Promise<PersonRow> =>
  found(await personById(act.tx, act.clinicId, id), () => reason('person-unknown', {}));

export async function readMe(act: Act) {
  const person = await readPerson(act, act.by.personId);
  const clinic = await act.tx.clinic.findUniqueOrThrow({
    where: { id: act.clinicId },
    select: { id: true, name: true, timeZone: true, paper: true },
  });
  return { person, clinic };
}

/** Hashes a new password, outside any transaction. @throws Refused 'password-unfit' */
export async function fitPasswordHash(password: string, field: string): Promise<string> {
  refuseIfAny(againstPassword(password, field));
  return hashPassword(password);
}

export async function addPerson(
  act: Act,
  person: { email: string; printedName: string; roles: readonly Role[]; passwordHash: string },
): Promise<PersonRow> {
  const id = await writePerson(act, person);
  if (id === undefined) throw new Refused([reason('email-is-taken', {}, '/email')]);
  const { email, printedName, roles } = person;
  act.record({
    kind: 'person.added',
    subjectKind: 'person',
    subjectId: id,
    data: { email, printedName, roles: [...roles].sort() },
  });
  return readPerson(act, id);
}

/** Name, roles and whether the person still works here. Who leaves is signed out everywhere. */
export async function changePerson(
  act: Act,
  id: string,
  change: ChangePerson,
  expectedVersion: number,
): Promise<PersonRow> {
  await lockPerson(act.tx, act.clinicId, id);
  const before = await readPerson(act, id);
  requireVersion(before.version, expectedVersion);
  const standing = {
    printedName: before.printedName,
    active: before.active,
    roles: [...before.roles].sort(),
  };
  const after = {
    printedName: change.printedName ?? before.printedName,
    active: change.active ?? before.active,
    roles: [...(change.roles ?? before.roles)].sort(),
  };
  const changes = changesOf<typeof after>(standing, {
    ...after,
    // The same roles are no change, whatever list they stand in.
    roles: isSame(standing.roles, after.roles) ? standing.roles : after.roles,
  });
  if (!changes.any) return before;
  if (administers(before) && !administers(after)) {
    await requireAnotherAdministrator(act, id);
    if (id === act.by.personId) throw new Refused([reason('own-access-kept', {})]);
  }
  const { printedName, active } = after;
  await writeChange(act, id, { printedName, active });
  await endRoles(
    act,
    id,
    before.roles.filter((role) => !after.roles.includes(role)),
  );
  await grantRoles(
    act,
    id,
    after.roles.filter((role) => !before.roles.includes(role)),
  );
  if (!active) await endSessions(act.tx, id, endedBy(act));
  act.record({
    kind: 'person.changed',
    subjectKind: 'person',
    subjectId: id,
    data: changes.event,
  });
  return readPerson(act, id);
}

const isSame = (some: readonly Role[], others: readonly Role[]): boolean =>
  some.join() === others.join();

const administers = ({ active, roles }: { active: boolean; roles: readonly Role[] }): boolean =>
  active && roles.includes('administrator');

async function requireAnotherAdministrator(act: Act, id: string): Promise<void> {
  const administrators = await lockAdministrators(act.tx, act.clinicId);
  if (administrators.every((each) => each === id)) {
    throw new Refused([reason('last-administrator', {})]);
  }
}

/** Changes one's own password; other devices are signed out. */
export async function changeOwnPassword(act: Act, hash: string, familyId: string): Promise<void> {
  await writePassword(act, act.by.personId, hash);
  await endSessions(act.tx, act.by.personId, endedBy(act), familyId);
}

/** Sets somebody's password, ends a lock and signs that person out everywhere. */
export async function resetPassword(act: Act, id: string, hash: string): Promise<void> {
  await writePassword(act, id, hash);
  await endSessions(act.tx, id, endedBy(act));
}

async function writePassword(act: Act, id: string, hash: string): Promise<void> {
  const written = await setPassword(act, id, hash);
  if (written === 0) throw new Refused([reason('person-unknown', {})]);
  act.record({ kind: 'person.password_changed', subjectKind: 'person', subjectId: id, data: {} });
}

const endedBy = ({ clinicId, at, by }: Act) => ({ clinicId, at, byId: by.personId });

export async function signOut(act: Act, familyId: string): Promise<void> {
  await endSession(act.tx, familyId, endedBy(act));
  const { personId } = act.by;
  act.record({
    kind: 'person.signed_out',
    subjectKind: 'person',
    subjectId: personId,
    data: { familyId },
  });
}

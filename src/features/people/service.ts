/** The people of a clinic and their roles. */
import { z } from 'zod';
import type { NewCode } from '../../access/codes.ts';
import { againstPassword, hashPassword } from '../../access/passwords.ts';
import { reason } from '../../domain/reasons/index.ts';
import type { CodePurpose, Role } from '../../domain/words.ts';
import { requireVersion } from '../../http/etag.ts';
import { pageFrom, readCursor, type Page } from '../../http/paging.ts';
import { inSession, type Act, type Caller } from '../../store/act.ts';
import type { Store } from '../../store/open.ts';
import {
  addPerson as writePerson,
  benchPeople,
  changePerson as writeChange,
  endRoles,
  expectedOf,
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
import { endedBy, endSession, endSessions } from '../../store/sessions.ts';
import { endOpenCode, giveCode as writeCode } from '../../store/accessCodes.ts';
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

/**
 * Hashes a caller's new password, outside any transaction.
 * @throws Refused 'password-unfit', 'password-common'
 */
export async function fitPasswordHash(
  store: Store,
  caller: Caller,
  password: string,
  field: string,
): Promise<string> {
  const { clinicId, personId } = caller;
  const expected = await inSession(store, caller, (tx) => expectedOf(tx, clinicId, personId));
  refuseIfAny(againstPassword(password, field, expected));
  return hashPassword(password);
}

/**
 * Enters a person. With a hash only where nobody is there to set a password: the demo, tests.
 * @throws Refused 'email-is-taken'
 */
export async function addPerson(
  act: Act,
  person: {
    email: string;
    printedName: string;
    roles: readonly Role[];
    passwordHash: string | null;
  },
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

/** Enters a person, who sets a first password by the one-time code. */
export async function invitePerson(
  act: Act,
  person: { email: string; printedName: string; roles: readonly Role[] },
  { code, codeHash }: NewCode,
): Promise<PersonRow & { code: string }> {
  const { id } = await addPerson(act, { ...person, passwordHash: null });
  await giveCodeTo(act, id, 'invitation', codeHash);
  return { ...(await readPerson(act, id)), code };
}

/**
 * Gives a person a one-time code for the next password, or for the first where none was set
 * yet. It is asked for when a password is forgotten or may be in other hands, and which of
 * the two is not to be told apart from here: so the present password and every sign-in end
 * at once, not only when the code is used.
 * @throws Refused 'person-unknown', 'person-has-left', 'own-code-by-another'
 */
export async function giveCode(
  act: Act,
  id: string,
  { code, codeHash }: NewCode,
): Promise<{ code: string; expiresAt: Date }> {
  await lockPerson(act.tx, act.clinicId, id);
  const person = await readPerson(act, id);
  if (id === act.by.personId) throw new Refused([reason('own-code-by-another', {})]);
  if (!person.active) throw new Refused([reason('person-has-left', {})]);
  if (person.passwordSet) await setPassword(act, id, null);
  const ended = await endSessions(act.tx, id, endedBy(act));
  const purpose = person.passwordSet ? 'reset' : 'invitation';
  const expiresAt = await giveCodeTo(act, id, purpose, codeHash, ended.length);
  return { code, expiresAt };
}

async function giveCodeTo(
  act: Act,
  personId: string,
  purpose: CodePurpose,
  codeHash: string,
  signedOut = 0,
): Promise<Date> {
  const { tx, clinicId, at, by } = act;
  const given = { clinicId, personId, purpose, codeHash, at, givenById: by.personId };
  const expiresAt = await writeCode(tx, given);
  act.record({
    kind: purpose === 'invitation' ? 'person.invited' : 'person.reset_code_given',
    subjectKind: 'person',
    subjectId: personId,
    data: { expiresAt: expiresAt.toISOString(), ...(purpose === 'reset' ? { signedOut } : {}) },
  });
  return expiresAt;
}

/** Name, roles and whether the person still works here. Who leaves is signed out everywhere. */
export async function changePerson(
  act: Act,
  id: string,
  change: Omit<ChangePerson, 'currentPassword'>,
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
  if (!active) {
    await endSessions(act.tx, id, endedBy(act));
    await endOpenCode(act.tx, act.clinicId, id, 'left', act.at);
  }
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

async function writePassword(act: Act, id: string, hash: string): Promise<void> {
  const written = await setPassword(act, id, hash);
  if (written === 0) throw new Refused([reason('person-unknown', {})]);
  // Whoever has a code for the old password has no business with the new one.
  await endOpenCode(act.tx, act.clinicId, id, 'replaced', act.at);
  act.record({ kind: 'person.password_changed', subjectKind: 'person', subjectId: id, data: {} });
}

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

/** What is kept of a person, as it is typed. */
import type { Role } from '../session/session.ts';
import { words } from '../words/words.ts';
import type { FieldSpec } from './values.ts';

/** Roles as people say them; that there is none, too. */
export const rolesIn = (roles: readonly Role[]): string =>
  roles.length === 0
    ? words.value.admin.people.noRole
    : roles.map((role) => words.value.roles[role]).join(', ');

const printedName = (): FieldSpec => {
  const { people: say } = words.value.admin;
  return { key: 'printedName', kind: 'text', label: say.printedName, help: say.printedNameHelp };
};
const roles = (): FieldSpec => {
  const { admin, roles: named } = words.value;
  const { people: say } = admin;
  return {
    key: 'roles',
    kind: 'ticks',
    label: say.roles,
    help: say.rolesHelp,
    of: Object.entries(named),
  };
};

export const personFields = (): readonly FieldSpec[] => {
  const { people: say } = words.value.admin;
  return [
    printedName(),
    roles(),
    { key: 'active', kind: 'tick', label: say.activeTick, help: say.activeHelp },
  ];
};

export const newPersonFields = (): readonly FieldSpec[] => {
  const { people: say } = words.value.admin;
  return [
    printedName(),
    { key: 'email', kind: 'text', label: say.email, help: say.emailHelp },
    roles(),
  ];
};

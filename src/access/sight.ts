/** What the person of an act sees just now: by role, and by what was opened for a reason. */
import type { Act } from '../store/act.ts';
import { openGrants } from '../store/breakGlass.ts';
import { byRoles, mayOpen, type Sight } from './minimumNecessary.ts';

/** Read once in an act: what is opened or runs out meanwhile counts for the next one. */
const sights = new WeakMap<Act, Promise<Sight>>();

/** Asks the database only for those who may open anything; desk and fitting room see what there is. */
export function sightOf(act: Act): Promise<Sight> {
  const known = sights.get(act);
  if (known !== undefined) return known;
  const made = readSight(act);
  sights.set(act, made);
  return made;
}

/** As `sightOf`, after something was opened in this very act. */
export function sightAgain(act: Act): Promise<Sight> {
  sights.delete(act);
  return sightOf(act);
}

async function readSight(act: Act): Promise<Sight> {
  const { roles } = act.by;
  const may: readonly string[] = mayOpen(roles);
  if (may.length === 0) return byRoles(roles);
  const opened = new Map<string, Set<string>>();
  for (const { patientId, fields } of await openGrants(act)) {
    const so = opened.get(patientId) ?? new Set();
    // What was opened under a role that the person has no longer does not count.
    for (const field of fields) if (may.includes(field)) so.add(field);
    opened.set(patientId, so);
  }
  return { roles, opened };
}

/**
 * The person whom the service last knew in this tab. Without a network a reload cannot ask
 * it again: for a working day the person goes on recording, and nothing is sent under that
 * name before the service has known it again.
 */
import type { components } from '../../generated/api.ts';

type Person = components['schemas']['Person'];

const KEPT_AS = 'castbook.person';
/** As long as a sign-in may idle (src/access/signIn.ts). */
const KNOWN_FOR_MS = 12 * 3_600_000;

export const keepKnown = (person: Person): void => {
  sessionStorage.setItem(KEPT_AS, JSON.stringify({ person, atMs: Date.now() }));
};

export const forgetKnown = (): void => {
  sessionStorage.removeItem(KEPT_AS);
};

/** Null where nobody is known, or it was too long ago. */
export function knownPerson(): Person | null {
  try {
    const kept = JSON.parse(sessionStorage.getItem(KEPT_AS) ?? 'null') as {
      person: Person;
      atMs: number;
    } | null;
    return kept !== null && Date.now() - kept.atMs < KNOWN_FOR_MS ? kept.person : null;
  } catch {
    return null;
  }
}

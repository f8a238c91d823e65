/**
 * What was typed at the bench and is not sent yet. It outlives a turned page, a reload
 * and a sign-in that ended: a technician who is sent to the torque wrench comes back to
 * the answers already given. It is kept in the tab, for the person who typed it.
 */
import { useState } from 'preact/hooks';
import { person } from '../session/session.ts';

const nameOf = (key: string): string => `castbook.draft.${person.value?.id ?? ''}.${key}`;

function kept<T>(name: string, empty: T): T {
  try {
    const text = sessionStorage.getItem(name);
    return text === null ? empty : (JSON.parse(text) as T);
  } catch {
    return empty;
  }
}

/** Where the tab has no room left (photos), it is kept as long as the page is. */
function keep(name: string, typed: unknown): void {
  try {
    sessionStorage.setItem(name, JSON.stringify(typed));
  } catch {
    sessionStorage.removeItem(name);
  }
}

/** Puts back what was typed, to be done again. */
export const putDraft = (key: string, typed: unknown): void => keep(nameOf(key), typed);

export interface Draft<T> {
  readonly typed: T;
  readonly change: (typed: T) => void;
  /** It was sent. */
  readonly done: () => void;
}

/** @param key names the work, an operation's id for one; the caller's component has it as its `key` too */
export function useDraft<T>(key: string, empty: T): Draft<T> {
  const name = nameOf(key);
  const [typed, setTyped] = useState(() => kept(name, empty));
  return {
    typed,
    change: (next) => {
      setTyped(next);
      keep(name, next);
    },
    done: () => {
      setTyped(empty);
      sessionStorage.removeItem(name);
    },
  };
}

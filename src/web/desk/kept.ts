/** What was typed into a long form, kept while the tab is open: a sign-in that ends loses nothing. */
import { useState } from 'preact/hooks';
import { person } from '../session/session.ts';

const kept = new Map<string, unknown>();

/**
 * A state that outlives its page, for the person who typed it only.
 * @param name of the form
 * @returns the value, its setter, and what forgets it once the act is done
 */
export function useKept<V>(
  name: string,
  empty: V,
): readonly [V, (change: (before: V) => V) => void, () => void] {
  const key = `${person.value?.id ?? ''} ${name}`;
  const [value, setValue] = useState(() => (kept.has(key) ? (kept.get(key) as V) : empty));
  const set = (change: (before: V) => V): void => {
    setValue((before) => {
      const after = change(before);
      kept.set(key, after);
      return after;
    });
  };
  return [value, set, () => void kept.delete(key)];
}

/** The closed words of the record as people read them on paper. */
import type { Level } from '../domain/words.ts';

const HYPHENATED: Readonly<Record<string, string>> = {
  trans_tibial: 'trans-tibial',
  trans_femoral: 'trans-femoral',
} satisfies Partial<Record<Level, string>>;

/** `pin_lock` → `pin lock`, `trans_tibial` → `trans-tibial`. */
export const spoken = (word: string): string => HYPHENATED[word] ?? word.replaceAll('_', ' ');

/** `1 photo`, `3 photos`. */
export const photosWords = (count: number): string => (count === 1 ? '1 photo' : `${count} photos`);

/** The same with a capital, for the beginning of a line. */
export function spokenFirst(word: string): string {
  const words = spoken(word);
  return words.charAt(0).toUpperCase() + words.slice(1);
}

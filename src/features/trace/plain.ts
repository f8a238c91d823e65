/** A word of a closed list as it is said. */
export const plain = (word: string): string => word.replaceAll('_', ' ');

/** Words with what leads to them; nothing where there are none. */
export const after = (lead: string, words: string | null): string =>
  words === null ? '' : `${lead}${words}`;

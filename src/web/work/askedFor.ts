/** A pasted list, line by line. */

/** The entries of what was pasted: one a line, or between semicolons or tabs; each once, in their order. */
export const entriesOf = (pasted: string): string[] => [
  ...new Set(
    pasted
      .split(/[\r\n;\t]+/)
      .map((entry) => entry.trim())
      .filter((entry) => entry !== ''),
  ),
];

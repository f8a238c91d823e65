const FIRST_WAIT_MS = 500;
const LONGEST_WAIT_MS = 30_000;

/**
 * How long to wait before the next try: doubled each time, up to half a minute. Common practice, no source.
 * @param failures tries that failed so far, the first one counted
 * @returns milliseconds
 */
export const waitAfter = (failures: number): number =>
  Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** (failures - 1));

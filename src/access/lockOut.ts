/**
 * Lock-out with back-off: after five wrong passwords in a row a name is locked for a
 * minute, after each further one twice as long, up to an hour (OWASP Authentication Cheat
 * Sheet, exponential lock-out; the figures are ours). The right password ends it.
 */
const FREE_FAILURES = 5;
const FIRST_LOCK_MS = 60_000;
const LONGEST_LOCK_MS = 3_600_000;

/** Until when a name is locked after so many failures in a row; null while it is not. */
export function lockedUntil(failures: number, at: Date): Date | null {
  if (failures < FREE_FAILURES) return null;
  const ms = Math.min(LONGEST_LOCK_MS, FIRST_LOCK_MS * 2 ** (failures - FREE_FAILURES));
  return new Date(at.getTime() + ms);
}

/** Whole seconds still to wait; undefined where nothing is locked. */
export function lockedForS(until: Date | null, at: Date): number | undefined {
  const leftMs = (until?.getTime() ?? 0) - at.getTime();
  return leftMs > 0 ? Math.ceil(leftMs / 1000) : undefined;
}

/** How many names of nobody are remembered; common practice, no source. */
const MOST_STRANGERS = 10_000;

/**
 * Names that nobody has are counted alike, so that a lock does not tell who exists. They
 * are kept in this process only and the oldest is forgotten first: whoever asks for ten
 * thousand names within the lock, or knows that there are several processes, may learn
 * more. The limit of sign-ins by address (config.ts) makes the first slow.
 */
export class Strangers {
  readonly #seen = new Map<string, { failures: number; lockedUntil: Date | null }>();

  /** Counts an attempt. @returns seconds to wait where the name is locked, and then counts nothing */
  attempt(name: string, at: Date): number | undefined {
    const before = this.#seen.get(name);
    const waitS = lockedForS(before?.lockedUntil ?? null, at);
    if (waitS !== undefined) return waitS;
    const failures = (before?.failures ?? 0) + 1;
    this.#seen.delete(name);
    this.#seen.set(name, { failures, lockedUntil: lockedUntil(failures, at) });
    const oldest = this.#seen.keys().next();
    if (this.#seen.size > MOST_STRANGERS && !oldest.done) this.#seen.delete(oldest.value);
    return undefined;
  }
}

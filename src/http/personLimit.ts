/** How often one person may ask in a minute, from however many addresses and with however many tokens. */
import { reason } from '../domain/reasons/index.ts';
import { Refused } from '../store/refused.ts';

const MINUTE_MS = 60_000;

export class PersonLimit {
  readonly #most: number;
  #began = 0;
  #asked = new Map<string, number>();

  /** @param most requests of one person in a minute, in this process */
  constructor(most: number) {
    this.#most = most;
  }

  /** Counts a request. @throws Refused 'person-asks-too-often' */
  count(personId: string, at: Date): void {
    const sinceMs = at.getTime() - this.#began;
    // A minute is over for all at once: nothing is kept of who asked before.
    if (sinceMs >= MINUTE_MS || sinceMs < 0) {
      this.#began = at.getTime();
      this.#asked = new Map();
    }
    const asked = (this.#asked.get(personId) ?? 0) + 1;
    this.#asked.set(personId, asked);
    if (asked <= this.#most) return;
    const leftMs = MINUTE_MS - (at.getTime() - this.#began);
    throw new Refused([reason('person-asks-too-often', { retryAfterS: Math.ceil(leftMs / 1000) })]);
  }
}

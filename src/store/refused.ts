import type { Reason } from '../domain/reasons/index.ts';
import type { Verdict } from '../domain/verdict.ts';

/**
 * Ends a transaction because of a refusal: everything is rolled back, and the
 * HTTP layer answers with the reasons as problem details.
 */
export class Refused extends Error {
  readonly reasons: readonly [Reason, ...Reason[]];

  constructor(reasons: readonly Reason[], options?: { cause: unknown }) {
    const [first, ...rest] = reasons;
    if (first === undefined) throw new TypeError('A refusal needs at least one reason.');
    super(first.code, options);
    this.name = 'Refused';
    this.reasons = [first, ...rest];
  }
}

/** Takes the value of a verdict, or ends the transaction with its reasons. */
export function orRefuse<T>(verdict: Verdict<T>): T {
  if (!verdict.ok) throw new Refused(verdict.reasons);
  return verdict.value;
}

/** Ends the transaction where there is anything against going on. */
export function refuseIfAny(reasons: readonly Reason[]): void {
  if (reasons.length > 0) throw new Refused(reasons);
}

/** The found record, or a refusal that says what was not found here. */
export function found<T>(record: T | null | undefined, otherwise: () => Reason): T {
  if (record === null || record === undefined) throw new Refused([otherwise()]);
  return record;
}

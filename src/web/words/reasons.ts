/** The shape of the catalogue of refusals in another language: every code, its facts, no rule. */
import type { REASONS } from '../../domain/reasons/index.ts';
import type { Measures } from '../../domain/reasons/measures.ts';
import type { Facts, ReasonEntry } from '../../domain/reasons/reason.ts';

/** One refusal in words; pure functions of its facts and of the units that are shown. */
export interface InWords<F extends Facts> {
  readonly title: string;
  readonly words: (facts: F, say: Measures) => string;
  readonly wayOut: (facts: F, say: Measures) => string;
}
/** A subject's catalogue: a code that is missing does not compile. */
export type ReasonWords<R> = {
  readonly [C in keyof R]: R[C] extends ReasonEntry<infer F> ? InWords<F> : never;
};
export type AllReasonWords = ReasonWords<typeof REASONS>;

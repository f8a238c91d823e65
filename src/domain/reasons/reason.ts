/**
 * How a refusal is written down: a stable code, the rule it stands for, words a
 * person at the bench can act on, and the way out. Refusals are values, never
 * thrown by the domain.
 */

import type { Measures } from './measures.ts';

/** The rules of the design, R1 to R16. */
export type RuleName = `R${number}`;

/**
 * What sort of refusal it is; the HTTP layer maps each to one status.
 * invalid: the request itself cannot be right · unidentified: who is it? ·
 * forbidden: this person may not · absent: there is no such record here ·
 * conflict: the record has changed or something stands in the way ·
 * rule: a rule of the trade says no.
 */
export const REASON_KINDS = [
  'invalid',
  'unidentified',
  'forbidden',
  'absent',
  'conflict',
  'rule',
] as const;
export type ReasonKind = (typeof REASON_KINDS)[number];

export type Fact = string | number | boolean | null | readonly string[];
export type Facts = Readonly<Record<string, Fact>>;

/** One line of the catalogue. `words` and `wayOut` say it for the given facts, measures in the units of `say`. */
export interface ReasonEntry<F extends Facts> {
  readonly rule: RuleName | null;
  readonly kind: ReasonKind;
  readonly title: string;
  readonly words: (facts: F, say: Measures) => string;
  readonly wayOut: (facts: F, say: Measures) => string;
}

/** Types one catalogue line by its facts. */
export const entry = <F extends Facts>(line: ReasonEntry<F>): ReasonEntry<F> => line;

/** A name of the wire, such as a stage, as it is read in a sentence. */
export const plain = (word: string): string => word.replaceAll('_', ' ');

/** A refusal (or a warning) about the facts at hand. */
export interface Reason {
  readonly code: string;
  readonly rule: RuleName | null;
  readonly kind: ReasonKind;
  readonly title: string;
  readonly detail: string;
  readonly wayOut: string;
  readonly facts: Facts;
  /** JSON Pointer to the field of the request concerned, where there is one. */
  readonly field?: string;
}

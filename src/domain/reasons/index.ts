/**
 * The one catalogue of refusals. RFC 9457 `type`, the page that explains each
 * problem and the browser's texts are all made from it.
 */
import type { Facts, Reason, ReasonEntry } from './reason.ts';
import { TORQUE_REASONS } from './torque.ts';

export type { Fact, Facts, Reason, ReasonEntry, ReasonKind, RuleName } from './reason.ts';

export const REASONS = {
  ...TORQUE_REASONS,
};

export type ReasonCode = keyof typeof REASONS;
export type FactsOf<C extends ReasonCode> =
  (typeof REASONS)[C] extends ReasonEntry<infer F> ? F : never;

/**
 * Writes one reason in words.
 * @param field JSON Pointer to the request's field, where one is to blame.
 */
export function reason<C extends ReasonCode>(code: C, facts: FactsOf<C>, field?: string): Reason {
  // The catalogue line and its facts are tied by C; TypeScript cannot follow that through the union.
  const line = REASONS[code] as unknown as ReasonEntry<Facts>;
  return {
    code,
    rule: line.rule,
    kind: line.kind,
    title: line.title,
    detail: line.words(facts),
    wayOut: line.wayOut(facts),
    facts,
    ...(field === undefined ? {} : { field }),
  };
}

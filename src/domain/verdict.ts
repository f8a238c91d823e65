import type { Reason } from './reasons/index.ts';

/**
 * The domain's answer to a proposal: the new fact, or every reason against it.
 * The domain never throws a refusal.
 */
export type Verdict<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly reasons: readonly Reason[] };

export const granted = <T>(value: T): Verdict<T> => ({ ok: true, value });
export const refused = (reasons: readonly Reason[]): Verdict<never> => ({ ok: false, reasons });

/** Grants `value` unless there are reasons against it. */
export const unless = <T>(reasons: readonly Reason[], value: T): Verdict<T> =>
  reasons.length === 0 ? granted(value) : refused(reasons);

/** What the trace may be asked by, and what is sent. */
import { mayTraceBy, TRACE_KEYS, type TraceKey } from '../../domain/trace.ts';
import type { Role } from '../session/session.ts';

/** Those that somebody with these roles may ask by, in the order of the list. */
export const keysFor = (roles: readonly Role[]): readonly TraceKey[] =>
  TRACE_KEYS.filter((each) => mayTraceBy(each, roles).ok);

export const isTraceKey = (by: string | null): by is TraceKey =>
  TRACE_KEYS.some((each) => each === by);

/** Exactly one key. */
export const questionOf = (by: TraceKey, key: string): Partial<Record<TraceKey, string>> => ({
  [by]: key,
});

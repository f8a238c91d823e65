/** What the trace may be asked by, and what is sent. */
import { TRACE_KEYS, type TraceKey } from '../../domain/trace.ts';

export const isTraceKey = (by: string | null): by is TraceKey =>
  TRACE_KEYS.some((each) => each === by);

/** Exactly one key. */
export const questionOf = (by: TraceKey, key: string): Partial<Record<TraceKey, string>> => ({
  [by]: key,
});

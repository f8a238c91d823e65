/** The trace as its answers are read in tests: rows, by kind, in words. */
import type { Role } from '../../src/domain/words.ts';
import type { TestClinic } from './clinic.ts';
import { ok } from './shop.ts';

export interface TracedRow {
  readonly at: string;
  readonly kind: string;
  readonly what: string;
  readonly recordId: string;
  readonly socketNumber: string | null;
  readonly orderNumber: string | null;
  readonly chartNumber: string | null;
  readonly who: string | null;
  readonly details: Readonly<Record<string, unknown>>;
}

/** The timeline of one question, whole. */
export const traced = async (
  clinic: TestClinic,
  query: string,
  role: Role = 'auditor',
): Promise<TracedRow[]> =>
  (await ok<{ rows: TracedRow[] }>(clinic.as(role).get(`/api/v1/trace?${query}&limit=1000`))).rows;

export const only = (rows: readonly TracedRow[], ...kinds: string[]): TracedRow[] =>
  rows.filter(({ kind }) => kinds.includes(kind));

export const whats = (rows: readonly TracedRow[]): string[] => rows.map(({ what }) => what);

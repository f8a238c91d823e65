/** What a verification found. */
import type { ProofResult } from '../../src/domain/recordProof.ts';

/** A line that is no line of an export, or is not where it belongs. */
export interface FileFault {
  readonly line: number;
  readonly why: string;
}

export interface Verification {
  readonly ok: boolean;
  readonly of: 'clinic' | 'order' | null;
  readonly file: FileFault | null;
  readonly rows: number;
  readonly result: ProofResult | null;
}

/** What of a batch keeps it from being used today. */
import { isBefore, type Day } from './days.ts';
import { reason, type Reason } from './reasons/index.ts';
import type { BatchKind } from './words.ts';

export interface BatchFacts {
  readonly lot: string;
  readonly kind: BatchKind;
  /** The last day on which it may be used. */
  readonly expiresOn: Day | null;
  readonly quarantined: boolean;
  readonly left: number;
  readonly unit: string;
}

/**
 * Everything against using some of a batch.
 * @param amount in the batch's own unit; null where no amount is recorded.
 * @param field JSON Pointer to the answer that names the batch.
 */
export function judgeBatchUse(
  batch: BatchFacts,
  wanted: { readonly kind: BatchKind; readonly amount: number | null; readonly on: Day },
  field: string,
): Reason[] {
  const { lot } = batch;
  const reasons: Reason[] = [];
  if (batch.kind !== wanted.kind) {
    reasons.push(
      reason('batch-wrong-kind', { lot, kind: batch.kind, expected: wanted.kind }, field),
    );
  }
  if (batch.expiresOn !== null && isBefore(batch.expiresOn, wanted.on)) {
    reasons.push(reason('batch-expired', { lot, expiredOn: batch.expiresOn }, field));
  }
  if (batch.quarantined) reasons.push(reason('batch-quarantined', { lot }, field));
  if (wanted.amount !== null && wanted.amount > batch.left) {
    reasons.push(
      reason(
        'batch-empty',
        { lot, left: batch.left, wanted: wanted.amount, unit: batch.unit },
        field,
      ),
    );
  }
  return reasons;
}

/**
 * The records that a signature vouches for: what was signed itself, and what its content rests
 * on. A correction of any of them is read beside the signature.
 */
import type { Act } from '../../store/act.ts';
import { acceptedCast } from '../../store/casts.ts';
import { massKnown, releasedOn } from '../../store/corrections.ts';
import { loadOrder } from '../../store/orders.ts';
import type { GivenSignature } from '../../store/signatures.ts';

/** Ids of the records, the subject's own first. */
export async function vouchedFor(act: Act, signature: GivenSignature): Promise<string[]> {
  const { meaning, subjectId, signedAt, orderId, socketId } = signature;
  switch (meaning) {
    case 'delivery_released':
    case 'service_released':
      return [
        subjectId,
        ...(socketId === null ? [] : await releasedOn(act, { socketId, until: signedAt })),
      ];
    case 'mass_near_rating_acknowledged':
    case 'layup_approved':
      return [subjectId, ...(await massOf(act, signature))];
    case 'fit_accepted': {
      const { clinicId } = act;
      const { alignmentId } = await act.tx.fitting.findUniqueOrThrow({
        where: { clinicId_id: { clinicId, id: subjectId } },
        select: { alignmentId: true },
      });
      return [subjectId, ...(alignmentId === null ? [] : [alignmentId])];
    }
    case 'check_fitting_skipped': {
      if (orderId === null) return [subjectId];
      const { id } = await acceptedCast(act, await loadOrder(act, orderId));
      return [subjectId, id];
    }
    case 'alignment_difference_accepted':
    case 'finding_accepted_as_is':
    case 'correction_made':
    case 'erasure_confirmed':
      return [subjectId];
  }
}

/** The body mass that was known when it was signed. */
async function massOf(act: Act, { orderId, signedAt }: GivenSignature): Promise<string[]> {
  const mass = orderId === null ? null : await massKnown(act, orderId, signedAt);
  return mass === null ? [] : [mass];
}

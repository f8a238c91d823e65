/** A prosthetist's signature for an alignment that is not the accepted one, or past an adapter's range (R14, C6). */
import { compareAlignments, judgeAlignment } from '../../domain/alignment.ts';
import { reason } from '../../domain/reasons/index.ts';
import { sign, type Signer } from '../../access/signatures.ts';
import type { Act } from '../../store/act.ts';
import { alignmentsOf } from '../../store/alignments.ts';
import { signatureOn } from '../../store/signatures.ts';
import { found, Refused, refuseIfAny } from '../../store/refused.ts';
import { alignmentFacts, loadAssembly } from '../../store/socketFacts.ts';
import { loadSocket } from '../../store/sockets.ts';
import { plain } from './alignment.ts';

export interface DifferenceToAccept {
  /** What was seen: the alignment that is signed for. */
  readonly alignmentId: string;
  readonly why: string;
}

/**
 * Accepts by signature, once, that this very alignment differs from the accepted one or
 * is past the range of pyramid or adapter. What is signed holds every figure that was seen.
 * @throws Refused 'not-found', 'alignment-superseded', 'alignment-missing' where hardware
 *   has moved since, 'alignment-difference-none', 'alignment-difference-signed'
 */
export async function acceptAlignmentDifference(
  act: Act,
  socketId: string,
  { alignmentId, why }: DifferenceToAccept,
  signer: Signer,
): Promise<{ alignmentId: string; signatureId: string }> {
  const { tx, clinicId } = act;
  const socket = await loadSocket(tx, clinicId, socketId, true);
  const { held } = await loadAssembly(tx, clinicId, socketId);
  const all = await alignmentsOf(tx, clinicId, socketId);
  const named = found(
    all.find(({ id }) => id === alignmentId),
    () =>
      reason('not-found', { what: 'alignment of this socket', id: alignmentId }, '/alignmentId'),
  );
  const newest = all.at(-1) ?? named;
  if (newest.id !== named.id) {
    const facts = { socket: socket.number, measuredAt: newest.measuredAt.toISOString() };
    throw new Refused([reason('alignment-superseded', facts, '/alignmentId')]);
  }
  const facts = await alignmentFacts(tx, clinicId, socket, held);
  const { acceptedAlignment: accepted, alignmentTolerance: tolerance } = facts;
  const pastRange = facts.alignmentPastRange;
  const against = judgeAlignment({
    socket: socket.number,
    accepted,
    measured: named,
    currentMoveIds: facts.alignmentMoveIds,
    tolerance,
    pastRange,
    differenceSigned: false,
  });
  refuseIfAny(against.filter(({ code }) => code === 'alignment-missing'));
  if (against.length === 0) {
    throw new Refused([reason('alignment-difference-none', { socket: socket.number })]);
  }
  if (facts.alignmentDifferenceSigned) {
    const { by, at } = await signatureOn(act, named.id, 'alignment_difference_accepted');
    throw new Refused([reason('alignment-difference-signed', { socket: socket.number, by, at })]);
  }
  const signature = await sign(act, {
    signer,
    meaning: 'alignment_difference_accepted',
    subjectKind: 'alignment',
    subjectId: named.id,
    orderId: socket.orderId,
    content: {
      socket: socket.number,
      why,
      measured: plain(named),
      accepted: accepted === null ? null : plain(accepted),
      differences:
        accepted === null
          ? null
          : compareAlignments(accepted, named, tolerance).map(
              ({ component, unit, difference, within }) => ({
                component,
                unit,
                difference,
                within,
              }),
            ),
      tolerance: { ...tolerance },
      pastRange: pastRange.map((each) => ({ ...each })),
    },
  });
  return { alignmentId: named.id, signatureId: signature.id };
}

/** Alignments of a socket: measured, compared with the accepted one, drawn (R14, C6). */
import { v7 as uuidv7 } from 'uuid';
import {
  ALIGNMENT_POSITIONS,
  compareAlignments,
  questionAlignment,
  tellPastRange,
  type Alignment,
  type AlignmentDifference,
  type AlignmentOccasion,
  type AlignmentTolerance,
  type PastRange,
} from '../../domain/alignment.ts';
import {
  combinedTilt,
  correctionOf,
  rangeLeft,
  towardsWords,
  type PyramidAngles,
} from '../../domain/alignmentGeometry.ts';
import { moveIdsAt } from '../../domain/assembly.ts';
import { coversLastMoves } from '../../domain/lastMoves.ts';
import { reason } from '../../domain/reasons/index.ts';
import type { AlignmentDrawing } from '../../documents/figures/alignment.ts';
import { instantWords } from '../../documents/dates.ts';
import type { Act } from '../../store/act.ts';
import {
  acceptedAlignmentOf,
  alignmentsOf,
  type MeasuredAlignmentRecord,
} from '../../store/alignments.ts';
import type { HeldItemRow } from '../../store/assembly.ts';
import { loadClinic } from '../../store/clinic.ts';
import { Refused, refuseIfAny } from '../../store/refused.ts';
import { acceptedAlignment, loadAssembly, pastRangeOf } from '../../store/socketFacts.ts';
import { loadSocket, type SocketFacts } from '../../store/sockets.ts';
import type {
  AlignmentMeasured,
  Alignments,
  CorrectionView,
  RangeView,
} from './alignmentSchemas.ts';

const toleranceOf = async (act: Act): Promise<AlignmentTolerance> => {
  const clinic = await loadClinic(act.tx, act.clinicId);
  return { angleDeg: clinic.alignmentToleranceDeg, lengthMm: clinic.alignmentToleranceMm };
};

/** Measures the alignment of a socket with its hardware as it now sits (R14). */
export async function measureAlignment(
  act: Act,
  socketId: string,
  alignment: Alignment,
): Promise<AlignmentMeasured> {
  const socket = await loadSocket(act.tx, act.clinicId, socketId, true);
  const accepted = await acceptedAlignment(act.tx, act.clinicId, socket.orderId);
  const tolerance = await toleranceOf(act);
  const occasion = socket.state === 'delivered' ? 'service' : 'after_transfer';
  const { alignmentId, pastRange } = await writeAlignment(act, socket, occasion, alignment);
  return {
    alignmentId,
    ...againstAccepted(accepted, alignment, tolerance),
    warnings: tellPastRange(pastRange),
  };
}

interface AgainstAccepted {
  readonly differences: AlignmentDifference[] | null;
  readonly correction: CorrectionView | null;
}

/** The difference by component and what undoes it; nulls where no fit was accepted. */
function againstAccepted(
  accepted: Alignment | null,
  measured: Alignment,
  tolerance: AlignmentTolerance,
): AgainstAccepted {
  if (accepted === null) return { differences: null, correction: null };
  const { tilt, screws, shiftTowardsDeg, ...rest } = correctionOf(accepted, measured);
  return {
    differences: compareAlignments(accepted, measured, tolerance),
    correction: {
      ...rest,
      ...directed(tilt),
      screws: [...screws],
      shiftTowardsDeg,
      shiftTowards: shiftTowardsDeg === null ? null : towardsWords(shiftTowardsDeg),
    },
  };
}

const directed = <T extends { readonly towardsDeg: number | null }>(tilt: T) => ({
  ...tilt,
  towards: tilt.towardsDeg === null ? null : towardsWords(tilt.towardsDeg),
});

/** All that was measured on a socket, against what was accepted, and the range that is left. */
export async function listAlignments(act: Act, socketId: string): Promise<Alignments> {
  const { tx, clinicId } = act;
  const socket = await loadSocket(tx, clinicId, socketId);
  const { held } = await loadAssembly(tx, clinicId, socketId);
  const accepted = await acceptedAlignmentOf(tx, clinicId, socket.orderId);
  const measured = await alignmentsOf(tx, clinicId, socketId);
  const tolerance = await toleranceOf(act);
  const newest = measured.at(-1);
  return {
    socketId,
    socketNumber: socket.number,
    side: socket.side,
    tolerance,
    accepted: accepted === null ? null : viewOf(accepted),
    items: measured.map((each) => ({
      ...viewOf(each),
      covers: coversNow(each, held),
      ...againstAccepted(accepted, each, tolerance),
    })),
    ranges: held
      .filter(({ position }) => ALIGNMENT_POSITIONS.includes(position))
      .map((item) =>
        rangeOf(item, newest !== undefined && coversNow(newest, held) ? newest : null),
      ),
  };
}

const coversNow = (
  { coversMoveIds }: MeasuredAlignmentRecord,
  held: readonly HeldItemRow[],
): boolean => coversLastMoves(coversMoveIds, moveIdsAt(held, ALIGNMENT_POSITIONS));

const viewOf = (row: MeasuredAlignmentRecord) => ({
  id: row.id,
  socketId: row.socketId,
  socketNumber: row.socketNumber,
  occasion: row.occasion,
  measuredAt: row.measuredAt,
  measuredBy: row.measuredBy,
  differenceSigned: row.differenceSigned,
  alignment: plain(row),
  ...directed(combinedTilt(row)),
});

/** @param now the angles as they now are; null where nobody knows them */
function rangeOf(item: HeldItemRow, now: PyramidAngles | null): RangeView {
  const { position, part, label } = item;
  const { rangeDeg } = part;
  const known = { position, item: label, partId: part.id, rangeDeg };
  if (rangeDeg === null) {
    const unknown = `${part.name} states no range; an administrator enters it from the part’s own document.`;
    return { ...known, left: null, unknownBecause: unknown };
  }
  if (now === null) {
    const unknown = 'The alignment was not measured since pyramid or adapter last moved.';
    return { ...known, left: null, unknownBecause: unknown };
  }
  const verdict = rangeLeft(now, rangeDeg);
  if (verdict.ok) return { ...known, left: verdict.value, unknownBecause: null };
  return {
    ...known,
    left: null,
    unknownBecause: verdict.reasons.map(({ detail }) => detail).join(' '),
  };
}

/** What the drawing of a socket's alignment shows. @throws Refused 'not-found' where there is none */
export async function readDrawnAlignment(act: Act, socketId: string): Promise<AlignmentDrawing> {
  const { tx, clinicId } = act;
  const socket = await loadSocket(tx, clinicId, socketId);
  const { held } = await loadAssembly(tx, clinicId, socketId);
  const accepted = await acceptedAlignmentOf(tx, clinicId, socket.orderId);
  const newest = (await alignmentsOf(tx, clinicId, socketId)).at(-1);
  if (newest === undefined && accepted === null) {
    throw new Refused([reason('not-found', { what: 'alignment of socket', id: socket.number })]);
  }
  const { timeZone } = await loadClinic(tx, clinicId);
  const drawn = (row: MeasuredAlignmentRecord) => ({
    label: `${row.socketNumber}, ${instantWords(row.measuredAt.toISOString(), timeZone)}`,
    values: plain(row),
  });
  return {
    socket: socket.number,
    side: socket.side,
    tolerance: await toleranceOf(act),
    accepted: accepted === null ? null : drawn(accepted),
    measured: newest === undefined || newest.id === accepted?.id ? null : drawn(newest),
    note: noteOn(socket, newest, held),
  };
}

/** The six values, without what was read with them. */
export const plain = (alignment: Alignment) => ({
  flexionDeg: alignment.flexionDeg,
  adductionDeg: alignment.adductionDeg,
  anteriorOffsetMm: alignment.anteriorOffsetMm,
  lateralOffsetMm: alignment.lateralOffsetMm,
  toeOutDeg: alignment.toeOutDeg,
  heightToFloorMm: alignment.heightToFloorMm,
});

/** What the drawing must say of its own age. */
function noteOn(
  socket: SocketFacts,
  newest: MeasuredAlignmentRecord | undefined,
  held: readonly HeldItemRow[],
): string | null {
  if (newest === undefined) return `Not measured on ${socket.number} yet.`;
  return coversNow(newest, held) ? null : 'Pyramid or adapter has moved since it was measured.';
}

/** An alignment as written, with the pieces that its tilt is too much for. */
export interface WrittenAlignment {
  readonly alignmentId: string;
  readonly pastRange: readonly PastRange[];
}

/**
 * Writes an alignment of the hardware as it now sits.
 * @param at JSON Pointer to the alignment in the request
 * @throws Refused 'hardware-missing', 'value-out-of-range'
 */
export async function writeAlignment(
  act: Act,
  socket: SocketFacts,
  occasion: AlignmentOccasion,
  alignment: Alignment,
  at = '',
): Promise<WrittenAlignment> {
  refuseIfAny(questionAlignment(alignment, at));
  const { held } = await loadAssembly(act.tx, act.clinicId, socket.id);
  const coversMoveIds = moveIdsAt(held, ALIGNMENT_POSITIONS);
  if (coversMoveIds.length === 0) {
    throw new Refused([
      reason('hardware-missing', { socket: socket.number, position: 'pyramid or adapter' }),
    ]);
  }
  const id = uuidv7();
  await act.tx.alignment.create({
    data: {
      clinicId: act.clinicId,
      id,
      socketId: socket.id,
      occasion,
      ...plain(alignment),
      coversMoveIds: [...coversMoveIds],
      measuredAt: act.at,
      measuredById: act.by.personId,
    },
  });
  act.record({
    kind: 'alignment.measured',
    subjectKind: 'alignment',
    subjectId: id,
    orderId: socket.orderId,
    data: { socket: socket.number, occasion, ...plain(alignment) },
  });
  return { alignmentId: id, pastRange: pastRangeOf(alignment, held) };
}

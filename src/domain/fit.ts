/**
 * R3: a part goes only where it fits (kind, hole pattern, thread, side), and
 * never under a patient whose body mass passes its rated mass. The part's own
 * label decides; the licensed prosthetist answers for the choice.
 */
import { isBefore, type Day } from './days.ts';
import { judgeRatedMass } from './ratedMass.ts';
import { reason, type Reason } from './reasons/index.ts';
import { POSITION_TAKES, type PartKind, type Position, type Side } from './words.ts';

/** What the catalogue says of a part, as far as fitting goes. */
export interface PartFacts {
  readonly name: string;
  readonly kind: PartKind;
  /** How it bolts to its neighbours, in the clinic's own words ("4-hole 36 mm"); null where it has none. */
  readonly holePattern: string | null;
  /**
   * Thread of the screws it takes or is ("M6"). A lock names the thread of its
   * plate's screws, a lock plate, pyramid or adapter that of the distal screws.
   */
  readonly thread: string | null;
  /** Which pins a lock takes, or which locks a pin is for, in one common word. */
  readonly pinFit: string | null;
  readonly side: Side | null;
  readonly ratedBodyMassKg: number | null;
  readonly active: boolean;
}

export interface FittedPart {
  readonly position: Position;
  readonly part: PartFacts;
}

/** Who will stand on it. */
export interface Wearer {
  readonly chartNumber: string;
  readonly bodyMassKg: number | null;
  readonly side: Side;
}

/** Positions whose parts are bolted through the same holes. */
const SAME_HOLES: readonly Position[] = ['lock', 'lock_plate', 'pyramid', 'adapter', 'dummy'];
/** Positions whose parts share the distal screws' thread. */
const DISTAL_THREAD: readonly Position[] = ['lock_plate', 'pyramid', 'adapter', 'distal_screws'];
/** Positions whose parts share the plate screws' thread. */
const PLATE_THREAD: readonly Position[] = ['lock', 'plate_screws'];
const PIN_AND_LOCK: readonly Position[] = ['lock', 'pin'];

const together = (group: readonly Position[], a: Position, b: Position): boolean =>
  a !== b && group.includes(a) && group.includes(b);

/**
 * Everything against putting a part into a position of a socket, given what the
 * socket holds and who wears it.
 * @param acknowledgedUpToKg body mass up to which a prosthetist has signed that
 *   this part may be used between 90 and 100 % of its rating; null where none has.
 * @returns all reasons, none where the part fits.
 */
export function judgeFit(facts: {
  readonly candidate: FittedPart;
  readonly neighbours: readonly FittedPart[];
  readonly wearer: Wearer;
  readonly acknowledgedUpToKg: number | null;
}): Reason[] {
  const { part, position } = facts.candidate;
  const reasons: Reason[] = [];
  if (!part.active) reasons.push(reason('part-withdrawn', { part: part.name }));
  if (POSITION_TAKES[position] !== part.kind) {
    reasons.push(
      reason('position-takes-another-kind', {
        position,
        takes: POSITION_TAKES[position],
        kind: part.kind,
      }),
    );
  }
  if (part.side !== null && part.side !== facts.wearer.side) {
    reasons.push(
      reason('side-differs', {
        part: part.name,
        side: part.side,
        orderSide: facts.wearer.side,
      }),
    );
  }
  for (const neighbour of facts.neighbours)
    reasons.push(...judgeNeighbours(facts.candidate, neighbour));
  reasons.push(...judgeWeight(part, facts.wearer, facts.acknowledgedUpToKg));
  return reasons;
}

/** Everything against the body mass on a part alone: used again when the body mass changes. */
export function judgeWeight(
  part: PartFacts,
  wearer: Wearer,
  acknowledgedUpToKg: number | null,
): Reason[] {
  if (part.ratedBodyMassKg === null) return [];
  if (wearer.bodyMassKg === null) {
    return [reason('body-mass-missing', { patient: wearer.chartNumber })];
  }
  const verdict = judgeRatedMass({
    partName: part.name,
    ratedBodyMassKg: part.ratedBodyMassKg,
    bodyMassKg: wearer.bodyMassKg,
    acknowledgedUpToKg,
  });
  return verdict.ok ? [] : [...verdict.reasons];
}

/**
 * An item past the last day that its label gives goes into no socket, not even
 * back into its own (ISO 15223-1, use-by date: after it, not to be used). What
 * was in a socket before that day may stay.
 * @param on the clinic's day of the move
 * @returns 'item-expired' or nothing
 */
export const judgeExpiry = (
  item: { readonly label: string; readonly expiresOn: Day | null },
  on: Day,
): Reason[] =>
  item.expiresOn !== null && isBefore(item.expiresOn, on)
    ? [reason('item-expired', { item: item.label, expiresOn: item.expiresOn, on })]
    : [];

function judgeNeighbours(candidate: FittedPart, neighbour: FittedPart): Reason[] {
  const reasons: Reason[] = [];
  const { part, position } = candidate;
  const other = neighbour.part;
  if (
    together(SAME_HOLES, position, neighbour.position) &&
    part.holePattern !== null &&
    other.holePattern !== null &&
    part.holePattern !== other.holePattern
  ) {
    reasons.push(
      reason('hole-pattern-differs', {
        part: part.name,
        pattern: part.holePattern,
        other: other.name,
        otherPattern: other.holePattern,
      }),
    );
  }
  const sharesThread =
    together(DISTAL_THREAD, position, neighbour.position) ||
    together(PLATE_THREAD, position, neighbour.position);
  if (
    sharesThread &&
    part.thread !== null &&
    other.thread !== null &&
    part.thread !== other.thread
  ) {
    reasons.push(
      reason('thread-differs', {
        part: part.name,
        thread: part.thread,
        other: other.name,
        otherThread: other.thread,
      }),
    );
  }
  if (
    together(PIN_AND_LOCK, position, neighbour.position) &&
    part.pinFit !== null &&
    other.pinFit !== null &&
    part.pinFit !== other.pinFit
  ) {
    reasons.push(
      reason('pin-does-not-fit-lock', {
        part: part.name,
        fit: part.pinFit,
        other: other.name,
        otherFit: other.pinFit,
      }),
    );
  }
  return reasons;
}

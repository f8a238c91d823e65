/**
 * A catalogue entry as it is written down: what its kind must state and cannot
 * state (R3, R4). The maker's label and sheet are the source of every figure.
 */
import { reason, type Reason } from './reasons/index.ts';
import {
  JOINTS,
  LOAD_BEARING_KINDS,
  POSITION_TAKES,
  type JointKind,
  type PartKind,
} from './words.ts';

export interface PartEntry {
  readonly kind: PartKind;
  readonly name: string;
  readonly thread: string | null;
  readonly pinFit: string | null;
  readonly ratedBodyMassKg: number | null;
  readonly leastClicks: number | null;
}

const PIN_AND_LOCK: readonly PartKind[] = ['lock', 'pin'];

/**
 * Everything against a catalogue entry: 'rating-missing' where a part that
 * carries the wearer states none, 'part-field-misfits' where a lock's or pin's
 * figure is given for another kind.
 */
export function judgePartEntry(part: PartEntry): Reason[] {
  const reasons: Reason[] = [];
  const { kind } = part;
  if (LOAD_BEARING_KINDS.includes(kind) && part.ratedBodyMassKg === null) {
    reasons.push(reason('rating-missing', { part: part.name, kind }, '/ratedBodyMassKg'));
  }
  if (!PIN_AND_LOCK.includes(kind)) {
    for (const field of ['pinFit', 'leastClicks'] as const) {
      if (part[field] !== null) {
        reasons.push(reason('part-field-misfits', { kind, field }, `/${field}`));
      }
    }
  }
  return reasons;
}

/** The kinds of part that carry the torque setting of a joint. */
export const settingCarriers = (joint: JointKind): readonly PartKind[] =>
  JOINTS[joint].carriers.map((position) => POSITION_TAKES[position]);

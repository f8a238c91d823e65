/**
 * A catalogue entry as it is written down: what its kind must state and cannot
 * state (R3, R4). The maker's label and sheet are the source of every figure.
 */
import { ADAPTER_RANGE } from './alignmentGeometry.ts';
import { questionRange } from './ranges.ts';
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
  /** How far it tilts, either way, in degrees. */
  readonly rangeDeg: number | null;
}

/** Figures that only some kinds have. */
const ONLY_OF = {
  pinFit: ['lock', 'pin'],
  leastClicks: ['lock', 'pin'],
  rangeDeg: ['pyramid', 'four_hole_adapter'],
} as const satisfies Partial<Record<keyof PartEntry, readonly PartKind[]>>;
const ONLY_OF_ENTRIES = Object.entries(ONLY_OF) as [keyof typeof ONLY_OF, readonly PartKind[]][];

/**
 * Everything against a catalogue entry: 'rating-missing' where a part that
 * carries the wearer states none, 'part-field-misfits' where a lock's, pin's or
 * pyramid's figure is given for another kind, 'value-out-of-range'.
 */
export function judgePartEntry(part: PartEntry): Reason[] {
  const reasons: Reason[] = [];
  const { kind } = part;
  if (LOAD_BEARING_KINDS.includes(kind) && part.ratedBodyMassKg === null) {
    reasons.push(reason('rating-missing', { part: part.name, kind }, '/ratedBodyMassKg'));
  }
  for (const [field, kinds] of ONLY_OF_ENTRIES) {
    if (part[field] !== null && !kinds.includes(kind)) {
      reasons.push(reason('part-field-misfits', { kind, field, haveIt: kinds }, `/${field}`));
    }
  }
  if (part.rangeDeg !== null) {
    reasons.push(...questionRange(part.rangeDeg, ADAPTER_RANGE, '/rangeDeg'));
  }
  return reasons;
}

/** The kinds of part that carry the torque setting of a joint. */
export const settingCarriers = (joint: JointKind): readonly PartKind[] =>
  JOINTS[joint].carriers.map((position) => POSITION_TAKES[position]);

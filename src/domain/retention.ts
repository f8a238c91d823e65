/**
 * How long a patient's record is kept (R10), and what holds it for longer.
 *
 * The years run from the last activity: the last delivery, the last service visit, or the last
 * entry of care, whichever is the latest (42 CFR 424.516(f): seven years from the date of
 * service; the clinic may set more). Who only looks at a record, or hands it out, does not begin
 * the years anew. For whoever was a minor, a clinic may keep records until an age and its years
 * after it: common practice that differs from place to place, so the age is the clinic's own
 * value and local law decides. While an order is under way nothing falls due.
 *
 * Falling due destroys nothing: a person looks at the record and decides.
 */
import { addMonths, isBefore, type Day } from './days.ts';
import { LOOKS, type EventKind } from './eventKinds.ts';
import { reason, type Reason } from './reasons/index.ts';

/** Events that are no entry of care, though they are about the record; the database has the same list. */
const NO_ACTIVITY: readonly EventKind[] = [
  ...LOOKS,
  'patient.export_asked',
  'patient.record_exported',
];

/** Whether an event of that kind begins the years anew. */
export const isActivity = (kind: EventKind): boolean => !NO_ACTIVITY.includes(kind);

export interface RetentionFacts {
  readonly lastDeliveryOn: Day | null;
  readonly lastVisitOn: Day | null;
  /** Of any event of care, or a fitting that is booked; the day of entering the patient at the least. */
  readonly lastEntryOn: Day;
  readonly ordersOpen: number;
  /** Null where it was erased. */
  readonly birthDate: Day | null;
}

export interface RetentionRules {
  readonly retentionYears: number;
  /** Null: the clinic makes no difference. */
  readonly minorsUntilAge: number | null;
}

/** What the years run from. */
export const RETENTION_GROUNDS = ['delivery', 'visit', 'entry', 'minor', 'order_open'] as const;
export type RetentionGround = (typeof RETENTION_GROUNDS)[number];

export interface Retention {
  /** The first day on which the record falls due for review; null while an order is under way. */
  readonly keptUntil: Day | null;
  readonly because: RetentionGround;
  /** The day that the years run from. */
  readonly from: Day;
}

const addYears = (day: Day, years: number): Day => addMonths(day, 12 * years);

/** How long a record is kept, and why so long. */
export function retentionOf(facts: RetentionFacts, rules: RetentionRules): Retention {
  const { from, because } = lastActivity(facts);
  if (facts.ordersOpen > 0) return { keptUntil: null, because: 'order_open', from };
  const keptUntil = addYears(from, rules.retentionYears);
  if (rules.minorsUntilAge !== null && facts.birthDate !== null) {
    const ofAge = addYears(facts.birthDate, rules.minorsUntilAge);
    // Whoever was of age at the last entry has this day behind the other one.
    const asMinor = addYears(facts.birthDate, rules.minorsUntilAge + rules.retentionYears);
    if (isBefore(keptUntil, asMinor)) return { keptUntil: asMinor, because: 'minor', from: ofAge };
  }
  return { keptUntil, because, from };
}

/** The latest of the three; of one day, the weightier. */
function lastActivity({ lastDeliveryOn, lastVisitOn, lastEntryOn }: RetentionFacts): {
  readonly from: Day;
  readonly because: 'delivery' | 'visit' | 'entry';
} {
  let last: { from: Day; because: 'delivery' | 'visit' | 'entry' } = {
    from: lastEntryOn,
    because: 'entry',
  };
  if (lastVisitOn !== null && !isBefore(lastVisitOn, last.from)) {
    last = { from: lastVisitOn, because: 'visit' };
  }
  if (lastDeliveryOn !== null && !isBefore(lastDeliveryOn, last.from)) {
    last = { from: lastDeliveryOn, because: 'delivery' };
  }
  return last;
}

/** Whether the years are over on a day. */
export const isOver = ({ keptUntil }: Retention, today: Day): boolean =>
  keptUntil !== null && !isBefore(today, keptUntil);

/** When a record comes up for review, seen from a day: before, this year, next year, or later. */
export type Due = 'over' | 'this_year' | 'next_year' | 'later';
export function dueWhen(keptUntil: Day, today: Day): Due {
  if (!isBefore(today, keptUntil)) return 'over';
  const years = Number(keptUntil.slice(0, 4)) - Number(today.slice(0, 4));
  if (years === 0) return 'this_year';
  return years === 1 ? 'next_year' : 'later';
}

/** What can be erased of a patient. */
export const ERASABLE = ['phone', 'address', 'desk_notes', 'identity'] as const;
export type Erasable = (typeof ERASABLE)[number];

/**
 * What of it the law asks to keep: who the patient is, with all that shows it (names, date of
 * birth, photos, who received the limb, what was said in corrections), for as long as the record.
 * How to reach the patient, and what was said to the desk, need not be kept.
 */
const KEPT_FOR_THE_YEARS: readonly Erasable[] = ['identity'];

export interface ErasureFacts {
  readonly retention: Retention;
  readonly today: Day;
  /** References of the holds in force. */
  readonly holds: readonly string[];
}

/** Everything that stands against an erasure, when it is asked for and again when it is confirmed. */
export function judgeErasure(
  what: readonly Erasable[],
  { retention, today, holds }: ErasureFacts,
): Reason[] {
  const against: Reason[] = [];
  const [reference] = holds;
  if (reference !== undefined) {
    against.push(reason('record-on-hold', { reference, count: holds.length }));
  }
  if (what.some((each) => KEPT_FOR_THE_YEARS.includes(each)) && !isOver(retention, today)) {
    against.push(reason('retention-not-over', { keptUntil: retention.keptUntil }, '/what'));
  }
  return against;
}

/** Who confirms: a second person. */
export const judgeConfirming = (askedById: string, confirmingId: string): Reason[] =>
  askedById === confirmingId ? [reason('erasure-needs-two', {})] : [];

/** What a legal hold can be on. */
export const HOLD_SUBJECTS = ['patient', 'order', 'part_lot'] as const;

export const ERASURE_STATES = ['asked', 'carried_out', 'withdrawn'] as const;

/**
 * R7. Functional check of a lock: pin in, clicks counted against the least
 * number that lock and pin ask for, held under pull, released by the button,
 * and all that repeated. A check that fails is kept, with the reasons.
 */
import { coversLastMoves } from './lastMoves.ts';
import { reason } from './reasons/index.ts';
import type { Reason } from './reasons/index.ts';
import { granted, refused, type Verdict } from './verdict.ts';

/** "Repeated" means at least twice. Common practice, no source. */
export const LOCK_CHECK_CYCLES_LEAST = 2;

/** What a lock check is judged by. */
export interface LockCheckFacts {
  /** `clicksAskedFor` the lock and the pin. */
  readonly minClicks: number;
  /** The clinic's number of cycles; fewer than `LOCK_CHECK_CYCLES_LEAST` counts as that. */
  readonly cyclesRequired: number;
}

/** One cycle at the bench. */
export interface LockCheckCycle {
  readonly clicks: number;
  readonly heldUnderPull: boolean;
  /** The pull in newtons, where a scale was used. */
  readonly pullN?: number | undefined;
  readonly releasedByButton: boolean;
}

/** The outcome of a lock check, to be stored whether it passes or not. */
export interface LockCheck {
  readonly passes: boolean;
  readonly because: readonly Reason[];
}

/**
 * The least number of clicks for a lock with a pin: the larger of what the two
 * ask for, and at least one. Null where a part says nothing.
 */
export const clicksAskedFor = (lockMinClicks: number | null, pinMinClicks: number | null): number =>
  Math.max(1, lockMinClicks ?? 1, pinMinClicks ?? 1);

/** What of a cycle cannot have happened; `cycle` counts from 1. */
function againstCycle({ clicks, pullN }: LockCheckCycle, cycle: number): Reason[] {
  const against: Reason[] = [];
  const field = `/cycles/${cycle - 1}`;
  if (!Number.isInteger(clicks) || clicks < 0) {
    against.push(reason('lock-check-count-impossible', { cycle, clicks }, `${field}/clicks`));
  }
  if (pullN !== undefined && !(pullN > 0)) {
    against.push(reason('lock-check-pull-impossible', { cycle, pullN }, `${field}/pullN`));
  }
  return against;
}

function failuresOf(facts: LockCheckFacts, done: LockCheckCycle, cycle: number): Reason[] {
  const { minClicks } = facts;
  const { clicks, pullN } = done;
  const because: Reason[] = [];
  if (clicks < minClicks) {
    because.push(reason('lock-check-too-few-clicks', { cycle, clicks, minClicks }));
  }
  if (!done.heldUnderPull) {
    because.push(reason('lock-check-not-held', { cycle, pullN: pullN ?? null }));
  }
  if (!done.releasedByButton) because.push(reason('lock-check-not-released', { cycle }));
  return because;
}

/**
 * Judges a lock check (R7). It passes where there are enough cycles and every
 * one of them had the clicks, held and was released.
 * @returns the outcome to store with all its failures; or reasons to store
 *   nothing ('lock-check-empty', 'lock-check-count-impossible',
 *   'lock-check-pull-impossible'), with JSON Pointers into `{ cycles }`
 */
export function judgeLockCheck(
  facts: LockCheckFacts,
  cycles: readonly LockCheckCycle[],
): Verdict<LockCheck> {
  const cyclesRequired = Math.max(LOCK_CHECK_CYCLES_LEAST, facts.cyclesRequired);
  if (cycles.length === 0) {
    return refused([reason('lock-check-empty', { cyclesRequired }, '/cycles')]);
  }
  const against = cycles.flatMap((done, at) => againstCycle(done, at + 1));
  if (against.length > 0) return refused(against);

  const because = cycles.flatMap((done, at) => failuresOf(facts, done, at + 1));
  if (cycles.length < cyclesRequired) {
    because.push(reason('lock-check-too-few-cycles', { cycles: cycles.length, cyclesRequired }));
  }
  return granted({ passes: because.length === 0, because });
}

/**
 * Whether a lock check still counts: it passed, and neither lock nor pin has
 * moved since (see `coversLastMoves`).
 * @param currentMoveIds the last moves of the lock and the pin that are there now
 */
export const isLockStillChecked = (
  check: { readonly passes: boolean; readonly coversMoveIds: readonly string[] },
  currentMoveIds: readonly string[],
): boolean => check.passes && coversLastMoves(check.coversMoveIds, currentMoveIds);

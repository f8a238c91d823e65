/**
 * The stages of an order and the steps between them. They loop: a fit that is
 * refused may ask for a new cast, a delivered limb may need a remake.
 */
import { reason } from './reasons/index.ts';
import type { HoldReason, Stage } from './words.ts';
import { granted, refused, type Verdict } from './verdict.ts';

export const STAGE_STEPS = [
  'cast_accepted',
  'fit_accepted',
  'check_fitting_skipped',
  'new_cast_wanted',
  'lamination_inspected',
  'another_definitive_wanted',
  'delivered',
  'remake_wanted',
  'cancelled',
] as const;
export type StageStep = (typeof STAGE_STEPS)[number];

const STEP_WORDS: Record<StageStep, string> = {
  cast_accepted: 'accept a cast',
  fit_accepted: 'accept a fit',
  check_fitting_skipped: 'skip check fitting',
  new_cast_wanted: 'go back for a new cast',
  lamination_inspected: 'finish lamination',
  another_definitive_wanted: 'laminate again',
  delivered: 'be delivered',
  remake_wanted: 'be remade',
  cancelled: 'be cancelled',
};

/** Where each step leads from each stage; a step that is absent is not possible there. */
const NEXT: Record<Stage, Partial<Record<StageStep, Stage>>> = {
  casting: {
    cast_accepted: 'check_fitting',
    cancelled: 'cancelled',
  },
  check_fitting: {
    // A further cast during check fitting keeps the stage.
    cast_accepted: 'check_fitting',
    fit_accepted: 'lamination',
    check_fitting_skipped: 'lamination',
    new_cast_wanted: 'casting',
    cancelled: 'cancelled',
  },
  lamination: {
    lamination_inspected: 'delivery',
    another_definitive_wanted: 'lamination',
    new_cast_wanted: 'casting',
    cancelled: 'cancelled',
  },
  delivery: {
    delivered: 'delivered',
    another_definitive_wanted: 'lamination',
    new_cast_wanted: 'casting',
    cancelled: 'cancelled',
  },
  delivered: {
    remake_wanted: 'casting',
    another_definitive_wanted: 'lamination',
  },
  cancelled: {},
};

/** An order as far as its stage goes. */
export interface OrderStage {
  readonly number: string;
  readonly stage: Stage;
  readonly holdReason: HoldReason | null;
}

/**
 * The stage an order comes to by a step.
 * @returns 'stage-does-not-allow' where the step is not possible from here,
 *   'order-on-hold' where it is on hold (a held order can only be cancelled).
 */
export function stepStage(order: OrderStage, step: StageStep): Verdict<Stage> {
  const next = NEXT[order.stage][step];
  if (next === undefined) {
    return refused([
      reason('stage-does-not-allow', {
        order: order.number,
        stage: order.stage,
        attempt: STEP_WORDS[step],
      }),
    ]);
  }
  if (order.holdReason !== null && step !== 'cancelled') {
    return refused([
      reason('order-on-hold', { order: order.number, holdReason: order.holdReason }),
    ]);
  }
  return granted(next);
}

/**
 * Whether bench work of some sort is possible at the order's stage.
 * @param stages the stages at which it is.
 * @param attempt what is attempted, in words that follow "it cannot".
 */
export function mayWork(
  order: OrderStage,
  stages: readonly Stage[],
  attempt: string,
): Verdict<true> {
  if (!stages.includes(order.stage)) {
    return refused([
      reason('stage-does-not-allow', { order: order.number, stage: order.stage, attempt }),
    ]);
  }
  if (order.holdReason !== null) {
    return refused([
      reason('order-on-hold', { order: order.number, holdReason: order.holdReason }),
    ]);
  }
  return granted(true);
}

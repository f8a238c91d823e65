/**
 * When the open operations of an order are to be done (C5), so that the load of the
 * benches can be told: each stage ends early enough for the promised day, the stages
 * after it taking their usual working days; without a promise, the stages end one
 * after the other as usual. The work of a stage lies between the end of the one
 * before, or today, and its own end.
 */
import type { WorkToPlan } from './benchLoad.ts';
import { isBefore, type Day } from './days.ts';
import { WORK_STAGES, type ByStage, type WorkStage } from './orderTimeline.ts';
import { addWorkingDays, type WorkCalendar } from './workCalendar.ts';
import type { SocketKind } from './words.ts';

/** An operation that waits, of a socket in work. */
export interface WaitingOperation {
  readonly socketKind: SocketKind;
  readonly bench: string;
  readonly plannedMinutes: number;
  /** Whether the socket's inspection waits too, here or later in its route. */
  readonly beforeInspection: boolean;
}

/** An order under way with its operations that wait. */
export interface OrderToPlan {
  readonly order: string;
  readonly stage: WorkStage;
  readonly workingDaysSoFar: number;
  readonly promisedOn: Day | null;
  readonly operations: readonly WaitingOperation[];
}

/** The stage whose work an operation is: the inspection ends lamination (R6). */
const stageOf = ({ socketKind, beforeInspection }: WaitingOperation): WorkStage =>
  socketKind === 'check' ? 'check_fitting' : beforeInspection ? 'lamination' : 'delivery';

const at = (stage: WorkStage): number => WORK_STAGES.indexOf(stage);
const later = (a: Day, b: Day): Day => (isBefore(a, b) ? b : a);

/**
 * The work of an order as it is to be spread over the benches. A check socket whose
 * order is past check fitting is worked on no more and has none.
 * @param usualDays working days of each stage; parts of a day count as whole ones
 */
export function planWork(
  calendar: WorkCalendar,
  today: Day,
  usualDays: ByStage<number>,
  order: OrderToPlan,
): WorkToPlan[] {
  const { stage: present, workingDaysSoFar, promisedOn } = order;
  const days = (from: WorkStage, to: WorkStage): number =>
    WORK_STAGES.slice(at(from), at(to) + 1).reduce(
      (sum, stage) =>
        sum + Math.max(0, usualDays[stage] - (stage === present ? workingDaysSoFar : 0)),
      0,
    );
  const endOf = (stage: WorkStage): Day => {
    const next = WORK_STAGES[at(stage) + 1];
    const end =
      promisedOn === null
        ? addWorkingDays(calendar, today, Math.ceil(days(present, stage)))
        : next === undefined
          ? promisedOn
          : addWorkingDays(calendar, promisedOn, -Math.ceil(days(next, 'delivery')));
    return later(end, today);
  };
  const beginOf = (stage: WorkStage): Day => {
    const before = WORK_STAGES[at(stage) - 1];
    return before === undefined || at(before) < at(present) ? today : endOf(before);
  };
  return order.operations.flatMap((operation): WorkToPlan[] => {
    const { bench, plannedMinutes: minutes, socketKind } = operation;
    const own = stageOf(operation);
    if (at(own) < at(present) && socketKind === 'check') return [];
    const stage = at(own) < at(present) ? present : own;
    const from = beginOf(stage);
    return [{ order: order.order, bench, minutes, from, to: later(endOf(stage), from) }];
  });
}

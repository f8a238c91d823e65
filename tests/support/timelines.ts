/** Orders as they went through their stages, in a clinic open Monday to Friday. */
import type { Day } from '../../src/domain/days.ts';
import type { OrderTimeline } from '../../src/domain/orderTimeline.ts';
import {
  addWorkingDays,
  STARTING_WEEKDAYS,
  type WorkCalendar,
} from '../../src/domain/workCalendar.ts';
import type { Stage } from '../../src/domain/words.ts';
import { day } from './limbs.ts';

export const CLINIC: WorkCalendar = { weekdays: STARTING_WEEKDAYS, closedOn: new Set() };
export const MONDAY = day('2026-03-02');

/** An order that went through stages, each so many working days after the one before. */
export function went(
  order: string,
  openedOn: Day,
  ...steps: readonly (readonly [Stage, number])[]
) {
  const changes: { stage: Stage; on: Day }[] = [{ stage: 'casting', on: openedOn }];
  for (const [stage, days] of steps) {
    const before = changes.at(-1)?.on ?? openedOn;
    changes.push({ stage, on: days === 0 ? before : addWorkingDays(CLINIC, before, days) });
  }
  return { order, changes } satisfies OrderTimeline;
}
/** An order that went straight through, with the working days of each stage. */
export const straight = (
  order: string,
  openedOn: Day,
  days: readonly [number, number, number, number],
) =>
  went(
    order,
    openedOn,
    ['check_fitting', days[0]],
    ['lamination', days[1]],
    ['delivery', days[2]],
    ['delivered', days[3]],
  );

/**
 * How orders went through their stages (C5, C8): the stays of one order, and who
 * else was there. Time on hold is part of a stay, for a promised day does not ask
 * why it was missed; what comes after the first delivery is not.
 */
import { countBefore, type Day } from './days.ts';
import { workingDaysBetween, type WorkCalendar } from './workCalendar.ts';
import type { Stage } from './words.ts';

/** The stages in which an order is worked on, in the order in which it first comes to them. */
export const WORK_STAGES = [
  'casting',
  'check_fitting',
  'lamination',
  'delivery',
] as const satisfies readonly Stage[];
export type WorkStage = (typeof WORK_STAGES)[number];

/** Something for each stage of work. */
export type ByStage<T> = Readonly<Record<WorkStage, T>>;

export const byStage = <T>(of: (stage: WorkStage) => T): ByStage<T> => ({
  casting: of('casting'),
  check_fitting: of('check_fitting'),
  lamination: of('lamination'),
  delivery: of('delivery'),
});

const isWorkStage = (stage: Stage): stage is WorkStage =>
  WORK_STAGES.some((each) => each === stage);

/** An order's changes of stage with their days, as they came; the first is its opening. */
export interface OrderTimeline {
  readonly order: string;
  readonly changes: readonly { readonly stage: Stage; readonly on: Day }[];
}

/** A stay in a stage; `to` is null while it lasts. A stage may be stayed in more than once. */
export interface Stay {
  readonly stage: WorkStage;
  readonly from: Day;
  readonly to: Day | null;
}

/** The stays of an order until it was first delivered or cancelled. */
export function staysOf(timeline: OrderTimeline): Stay[] {
  const stays: Stay[] = [];
  for (const [at, { stage, on }] of timeline.changes.entries()) {
    if (!isWorkStage(stage)) break;
    stays.push({ stage, from: on, to: timeline.changes[at + 1]?.on ?? null });
  }
  return stays;
}

/** The day of the first delivery; null where there was none. */
export const deliveredOn = (timeline: OrderTimeline): Day | null =>
  timeline.changes.find(({ stage }) => stage === 'delivered')?.on ?? null;

/**
 * Where an order under way is, and since when: changes within one stage (a further
 * cast, another definitive socket) do not begin a stay of its own. Null where it is
 * delivered or cancelled. An order that is remade is where the remake is.
 */
export const presentStay = ({ changes }: OrderTimeline): Stay | null =>
  changes.reduce<Stay | null>((stay, { stage, on }) => {
    if (!isWorkStage(stage)) return null;
    return stay?.stage === stage ? stay : { stage, from: on, to: null };
  }, null);

/** The working days spent in each stage, all stays together, until delivery or the given day. */
export function workingDaysByStage(
  calendar: WorkCalendar,
  timeline: OrderTimeline,
  until: Day,
): ByStage<number> {
  const stays = staysOf(timeline);
  return byStage((stage) =>
    stays
      .filter((stay) => stay.stage === stage)
      .reduce((sum, stay) => sum + workingDaysBetween(calendar, stay.from, stay.to ?? until), 0),
  );
}

/** How many orders were in a stage at the beginning of a day. */
export type Census = (stage: WorkStage, day: Day) => number;

/** Counts who was where. An order that comes on a day is counted from the next day on. */
export function censusOf(timelines: readonly OrderTimeline[]): Census {
  const stays = timelines.flatMap(staysOf);
  const came = byStage((stage) =>
    stays.flatMap((stay) => (stay.stage === stage ? [stay.from] : [])).sort(),
  );
  const left = byStage((stage) =>
    stays.flatMap((stay) => (stay.stage === stage && stay.to !== null ? [stay.to] : [])).sort(),
  );
  return (stage, day) => countBefore(came[stage], day) - countBefore(left[stage], day);
}

/** One stage of a finished order. */
export interface StageOfFinished {
  /** All its stays together. */
  readonly workingDays: number;
  /** Orders that were in the stage when it first came to it; null where it never did. */
  readonly ordersAhead: number | null;
}

/** A delivered order, as a promise for another can be drawn from it. */
export interface FinishedOrder {
  readonly order: string;
  readonly openedOn: Day;
  readonly deliveredOn: Day;
  readonly stages: ByStage<StageOfFinished>;
}

/** The delivered ones among orders, in the order of their delivery. */
export function finishedOrders(
  calendar: WorkCalendar,
  timelines: readonly OrderTimeline[],
): FinishedOrder[] {
  const census = censusOf(timelines);
  return timelines
    .flatMap((timeline): FinishedOrder[] => {
      const [opened] = timeline.changes;
      const delivered = deliveredOn(timeline);
      if (opened === undefined || delivered === null) return [];
      const stays = staysOf(timeline);
      const days = workingDaysByStage(calendar, timeline, delivered);
      const stages = byStage((stage): StageOfFinished => {
        const first = stays.find((stay) => stay.stage === stage);
        return {
          workingDays: days[stage],
          ordersAhead: first === undefined ? null : census(stage, first.from),
        };
      });
      return [{ order: timeline.order, openedOn: opened.on, deliveredOn: delivered, stages }];
    })
    .sort((a, b) => Number(a.deliveredOn > b.deliveredOn) - Number(a.deliveredOn < b.deliveredOn));
}

/**
 * Promised dates (C5): when an order will probably be delivered, and the chance
 * that a day is kept.
 *
 * The chance is drawn from the clinic's own finished orders: for each stage that
 * is still to come, one finished order is drawn at random and its working days in
 * that stage are taken; their sum is one possible course. The share of courses
 * that end by a day is its chance (resampling: Efron, Annals of Statistics
 * 1979;7:1-26). Each drawn stay is corrected for the orders that were ahead of
 * it then and are ahead now, by what one order ahead has cost in this clinic
 * (least squares over its finished orders, never below nothing).
 *
 * Chance comes only from the seed: the same question has the same answer.
 */
import { uniformInt } from 'pure-rand/distribution/uniformInt';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { addMonths, daysBetween, isBefore, type Day } from './days.ts';
import {
  byStage,
  WORK_STAGES,
  type ByStage,
  type FinishedOrder,
  type WorkStage,
} from './orderTimeline.ts';
import { questionRange, type Range } from './ranges.ts';
import { reason, type Reason } from './reasons/index.ts';
import { granted, refused, type Verdict } from './verdict.ts';
import { addWorkingDays, workingDaysBetween, type WorkCalendar } from './workCalendar.ts';
import type { HoldReason } from './words.ts';

/** Usual working days by stage: starting values a clinic sets for itself; common practice, no source. */
export const STARTING_STAGE_DAYS: ByStage<number> = {
  casting: 3,
  check_fitting: 8,
  lamination: 4,
  delivery: 3,
};

/** Finished orders below which no chance is given. Common practice, no source. */
export const FINISHED_ORDERS_LEAST = 20;
/** Finished orders that must have stayed as long as this one in its stage. Common practice, no source. */
export const LONGER_STAYS_LEAST = 5;
/** How far back finished orders are drawn from, by their opening: a clinic changes. Common practice, no source. */
export const HISTORY_MONTHS = 24;
/** And how many at most, the last delivered ones. Common practice, no source. */
const HISTORY_ORDERS_MOST = 1_000;
/** Courses drawn for a chance, at least and if not said otherwise. */
export const DRAWS_LEAST = 2_000;
/** The chance at which a day is offered: a starting value, common practice, no source. */
export const STARTING_WANTED_CHANCE = 0.8;
/** Below this chance a date is at risk: rather missed than kept. A starting value. */
export const STARTING_AT_RISK_BELOW = 0.5;

/**
 * The finished orders to draw from on a day: those delivered before it, and opened
 * within the last `HISTORY_MONTHS`.
 * @param finished in the order of their delivery
 */
export function historyOn(day: Day, finished: readonly FinishedOrder[]): FinishedOrder[] {
  const since = addMonths(day, -HISTORY_MONTHS);
  return finished
    .filter(({ openedOn, deliveredOn }) => isBefore(deliveredOn, day) && !isBefore(openedOn, since))
    .slice(-HISTORY_ORDERS_MOST);
}

/** Two years: what is promised further ahead is a slip of the keys. Common practice, no source. */
const PROMISED_AHEAD: Range = {
  what: 'Days until the promised day',
  least: 0,
  greatest: 731,
  unit: 'days',
  usual: '2 to 12 weeks',
};

/** Against a promised day: 'promised-day-past', or 'value-out-of-range' more than two years ahead. */
export const judgePromise = (promisedOn: Day, today: Day): Reason[] =>
  isBefore(promisedOn, today)
    ? [reason('promised-day-past', { promisedOn, today }, '/promisedOn')]
    : questionRange(daysBetween(today, promisedOn), PROMISED_AHEAD, '/promisedOn');

/** A stage that an order has still to go through, or is in. */
export interface StageToCome {
  readonly stage: WorkStage;
  /** Orders that were in the stage when this one came to it; for a later stage, that are there now. */
  readonly ordersAhead: number;
  /** Working days of its present stay; null for a later stage. */
  readonly workingDaysSoFar: number | null;
}

/** The stages from the present one on: those to come are drawn whole, the present one by what is left. */
export function stagesToCome(
  present: {
    readonly stage: WorkStage;
    readonly ordersAhead: number;
    readonly workingDaysSoFar: number;
  },
  inShop: ByStage<number>,
): StageToCome[] {
  const later = WORK_STAGES.slice(WORK_STAGES.indexOf(present.stage) + 1);
  return [
    present,
    ...later.map((stage) => ({ stage, ordersAhead: inShop[stage], workingDaysSoFar: null })),
  ];
}

/** Possible courses of an order, by the working days they still take. */
export interface Forecast {
  /** Working days from today to delivery, one for each draw, rising. */
  readonly courses: readonly number[];
  readonly finishedOrders: number;
  /** What one order ahead costs in each stage, in working days. */
  readonly daysPerOrderAhead: ByStage<number>;
}

interface EnteredStay {
  readonly workingDays: number;
  readonly ordersAhead: number;
}

const entered = (history: readonly FinishedOrder[], stage: WorkStage): EnteredStay[] =>
  history.flatMap(({ stages }) => {
    const { workingDays, ordersAhead } = stages[stage];
    return ordersAhead === null ? [] : [{ workingDays, ordersAhead }];
  });

const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

/** Least squares slope of days over orders ahead, not below 0; 0 where nothing can be learned. */
function costOfOneAhead(stays: readonly EnteredStay[]): number {
  const [meanAhead, meanDays] = [
    mean(stays.map((stay) => stay.ordersAhead)),
    mean(stays.map((stay) => stay.workingDays)),
  ];
  let [together, spread] = [0, 0];
  for (const { ordersAhead, workingDays } of stays) {
    together += (ordersAhead - meanAhead) * (workingDays - meanDays);
    spread += (ordersAhead - meanAhead) ** 2;
  }
  return spread > 0 ? Math.max(0, together / spread) : 0;
}

/** Round-off of sums of corrected stays; far below a working day. */
const ROUND_OFF = 1e-9;

/**
 * Draws the possible courses of an order.
 * @param question.history delivered orders of this clinic
 * @param question.seed a whole number; the same seed draws the same courses
 * @param question.draws at least `DRAWS_LEAST`; fewer are a fault of the program
 * @returns the courses, or 'history-too-short', or 'longer-than-history'
 * @throws RangeError where fewer draws are asked for
 */
export function forecast(question: {
  readonly history: readonly FinishedOrder[];
  readonly toCome: readonly StageToCome[];
  readonly seed: number;
  readonly draws?: number;
}): Verdict<Forecast> {
  const { history, toCome, seed, draws = DRAWS_LEAST } = question;
  if (draws < DRAWS_LEAST) throw new RangeError(`${draws} draws; at least ${DRAWS_LEAST}`);
  if (history.length < FINISHED_ORDERS_LEAST) {
    return refused([
      reason('history-too-short', {
        finishedOrders: history.length,
        needed: FINISHED_ORDERS_LEAST,
      }),
    ]);
  }
  const daysPerOrderAhead = byStage((stage) => costOfOneAhead(entered(history, stage)));
  const pools: number[][] = [];
  for (const { stage, ordersAhead, workingDaysSoFar } of toCome) {
    const corrected = entered(history, stage).map((stay) =>
      Math.max(0, stay.workingDays + daysPerOrderAhead[stage] * (ordersAhead - stay.ordersAhead)),
    );
    if (workingDaysSoFar === null) {
      // Orders that skipped the stage count as well: this one may skip it too.
      const skipped = history.length - corrected.length;
      pools.push([...corrected, ...Array<number>(skipped).fill(0)]);
      continue;
    }
    const left = corrected
      .filter((days) => days >= workingDaysSoFar - ROUND_OFF)
      .map((days) => days - workingDaysSoFar);
    if (left.length < LONGER_STAYS_LEAST) {
      return refused([
        reason('longer-than-history', {
          stage,
          workingDays: workingDaysSoFar,
          longerStays: left.length,
          needed: LONGER_STAYS_LEAST,
        }),
      ]);
    }
    pools.push(left);
  }
  const source = xoroshiro128plus(seed);
  const courses: number[] = [];
  for (let draw = 0; draw < draws; draw += 1) {
    let days = 0;
    for (const pool of pools) days += Number(pool[uniformInt(source, 0, pool.length - 1)]);
    courses.push(Math.max(0, Math.ceil(days - ROUND_OFF)));
  }
  courses.sort((a, b) => a - b);
  return granted({ courses, finishedOrders: history.length, daysPerOrderAhead });
}

/** The share of courses that take no more than so many working days: 0 to 1. */
export const chanceWithin = ({ courses }: Forecast, workingDays: number): number =>
  courses.filter((days) => days <= workingDays).length / courses.length;

/** The fewest working days within which at least that share of courses ends. */
export function workingDaysFor({ courses }: Forecast, chance: number): number {
  const at = Math.ceil(chance * courses.length - ROUND_OFF) - 1;
  return Number(courses[Math.min(Math.max(at, 0), courses.length - 1)]);
}

/** A day that can be promised. */
export interface DateOffer {
  readonly promisedOn: Day;
  readonly workingDays: number;
  /** 0 to 1; null where the history cannot say. */
  readonly chance: number | null;
}

/** The days that can be offered for an order. */
export interface DateOffers {
  /** By the clinic's usual durations. */
  readonly usual: DateOffer;
  /** The first day that has the wanted chance; null where the history cannot say. */
  readonly withChance: DateOffer | null;
  /** Why there is no chance, where there is none. */
  readonly because: readonly Reason[];
}

/** What the usual durations leave to do: of the present stage what is left, of later ones all. */
export const usualDaysLeft = (toCome: readonly StageToCome[], usualDays: ByStage<number>): number =>
  toCome.reduce(
    (sum, { stage, workingDaysSoFar }) =>
      sum + Math.max(0, usualDays[stage] - (workingDaysSoFar ?? 0)),
    0,
  );

/**
 * The days to offer for an order.
 * @param facts.wantedChance above 0 to 1; `STARTING_WANTED_CHANCE` where the clinic set none
 */
export function offerDates(facts: {
  readonly calendar: WorkCalendar;
  readonly today: Day;
  readonly toCome: readonly StageToCome[];
  readonly usualDays: ByStage<number>;
  readonly forecast: Verdict<Forecast>;
  readonly wantedChance: number;
}): DateOffers {
  const { calendar, today, forecast: drawn } = facts;
  const offer = (workingDays: number): DateOffer => ({
    promisedOn: addWorkingDays(calendar, today, workingDays),
    workingDays,
    chance: drawn.ok ? chanceWithin(drawn.value, workingDays) : null,
  });
  return {
    // Usual durations may be parts of a day; a promise is for a whole one.
    usual: offer(Math.ceil(usualDaysLeft(facts.toCome, facts.usualDays) - ROUND_OFF)),
    withChance: drawn.ok ? offer(workingDaysFor(drawn.value, facts.wantedChance)) : null,
    because: drawn.ok ? [] : drawn.reasons,
  };
}

/** How an order stands with its promised day. */
export const DATE_STATES = ['no_date', 'on_course', 'at_risk', 'late'] as const;
export type DateState = (typeof DATE_STATES)[number];

/** The judgement of a promised day, with its reasons in the order of their weight. */
export interface DateJudgement {
  readonly state: DateState;
  /** 0 to 1; null where nothing can say. */
  readonly chance: number | null;
  readonly because: readonly Reason[];
}

/**
 * Judges whether an order's promised day will be kept. Without a chance (short
 * history) the clinic's usual durations judge.
 * @param facts.toCome its first line is the present stage
 * @param facts.atRiskBelow a chance below this is a risk, 0 to 1
 */
export function judgePromisedDate(facts: {
  readonly calendar: WorkCalendar;
  readonly today: Day;
  readonly promisedOn: Day | null;
  readonly holdReason: HoldReason | null;
  readonly toCome: readonly StageToCome[];
  readonly usualDays: ByStage<number>;
  readonly forecast: Verdict<Forecast>;
  readonly atRiskBelow: number;
}): DateJudgement {
  const { calendar, today, promisedOn, holdReason, toCome, usualDays, forecast: drawn } = facts;
  if (promisedOn === null) return { state: 'no_date', chance: null, because: [] };
  const hold = holdReason === null ? [] : [reason('no-chance-on-hold', { holdReason })];
  const slow = toCome.flatMap(({ stage, workingDaysSoFar }) =>
    workingDaysSoFar !== null && workingDaysSoFar > usualDays[stage]
      ? [
          reason('stage-takes-long', {
            stage,
            workingDays: workingDaysSoFar,
            daysUsual: usualDays[stage],
          }),
        ]
      : [],
  );
  if (isBefore(promisedOn, today)) {
    const workingDaysLate = workingDaysBetween(calendar, promisedOn, today);
    return {
      state: 'late',
      chance: 0,
      because: [reason('date-is-past', { promisedOn, workingDaysLate }), ...hold, ...slow],
    };
  }
  if (hold.length > 0) return { state: 'at_risk', chance: null, because: [...hold, ...slow] };
  const daysLeft = workingDaysBetween(calendar, today, promisedOn);
  if (drawn.ok) {
    const chance = chanceWithin(drawn.value, daysLeft);
    if (chance >= facts.atRiskBelow) return { state: 'on_course', chance, because: [] };
    const unlikely = reason('date-unlikely', {
      promisedOn,
      chancePercent: 100 * chance,
      wantedPercent: 100 * facts.atRiskBelow,
    });
    return { state: 'at_risk', chance, because: [unlikely, ...slow] };
  }
  const daysUsual = usualDaysLeft(toCome, usualDays);
  if (daysLeft < daysUsual) {
    const tooFew = reason('too-few-days-left', { promisedOn, daysLeft, daysUsual });
    return { state: 'at_risk', chance: null, because: [tooFew, ...slow, ...drawn.reasons] };
  }
  // Longer in its stage than nearly all others is a risk of its own.
  return {
    state: slow.length > 0 ? 'at_risk' : 'on_course',
    chance: null,
    because: [...slow, ...drawn.reasons],
  };
}

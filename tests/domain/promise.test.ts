import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { byStage, type FinishedOrder, type WorkStage } from '../../src/domain/orderTimeline.ts';
import {
  chanceWithin,
  DRAWS_LEAST,
  FINISHED_ORDERS_LEAST,
  forecast,
  judgePromise,
  judgePromisedDate,
  offerDates,
  stagesToCome,
  STARTING_AT_RISK_BELOW,
  STARTING_STAGE_DAYS,
  STARTING_WANTED_CHANCE,
  usualDaysLeft,
  workingDaysFor,
  type Forecast,
  type StageToCome,
} from '../../src/domain/promise.ts';
import type { Verdict } from '../../src/domain/verdict.ts';
import { addWorkingDays } from '../../src/domain/workCalendar.ts';
import { codes, day, refusalCodes } from '../support/limbs.ts';
import { CLINIC, MONDAY } from '../support/timelines.ts';

/** A finished order with so many working days in each stage, and orders ahead. */
const finished = (
  days: readonly [number, number, number, number],
  ahead: number | null = 0,
): FinishedOrder => {
  const [casting, check_fitting, lamination, delivery] = days;
  const of = { casting, check_fitting, lamination, delivery };
  return {
    order: 'KL-26-00001-X',
    openedOn: MONDAY,
    deliveredOn: MONDAY,
    stages: byStage((stage) => ({ workingDays: of[stage], ordersAhead: ahead })),
  };
};
const NOBODY = byStage(() => 0);
const fromTheBeginning = (ahead = NOBODY): StageToCome[] =>
  stagesToCome({ stage: 'casting', ordersAhead: ahead.casting, workingDaysSoFar: 0 }, ahead);

const STEADY = Array.from({ length: 40 }, (_, n) => finished([2, 5 + (n % 5), 3, 2]));
const drawn = (verdict: Verdict<Forecast>): Forecast => {
  if (!verdict.ok) throw new Error(verdict.reasons.map(({ detail }) => detail).join(' '));
  return verdict.value;
};

describe('the chance of a day, drawn from finished orders (C5)', () => {
  it('is that of the clinic’s own orders: 12 to 16 working days, each a fifth', () => {
    const courses = drawn(forecast({ history: STEADY, toCome: fromTheBeginning(), seed: 7 }));
    expect(courses.courses).toHaveLength(DRAWS_LEAST);
    expect(courses.finishedOrders).toBe(40);
    expect(chanceWithin(courses, 11)).toBe(0);
    expect(chanceWithin(courses, 16)).toBe(1);
    for (const days of [12, 13, 14, 15]) {
      // Of 2,000 draws the share lies within 5 % of the true one but once in a million.
      expect(Math.abs(chanceWithin(courses, days) - (days - 11) / 5)).toBeLessThan(0.05);
    }
    expect(workingDaysFor(courses, 0.5)).toBe(14);
    expect(workingDaysFor(courses, 1)).toBe(16);
    expect(workingDaysFor(courses, 0)).toBe(12);
  });

  it('draws each stage by itself, so that a slow stage and a slow order are not one', () => {
    const history = Array.from({ length: 40 }, (_, n) =>
      finished([2, n % 2 ? 9 : 3, n % 2 ? 8 : 2, 2]),
    );
    const courses = drawn(forecast({ history, toCome: fromTheBeginning(), seed: 7 }));
    expect(new Set(courses.courses)).toEqual(new Set([9, 15, 21]));
  });

  it('of a stage under way only what is left is drawn, from orders that stayed as long', () => {
    const toCome = stagesToCome(
      { stage: 'check_fitting', ordersAhead: 0, workingDaysSoFar: 8 },
      NOBODY,
    );
    const courses = drawn(forecast({ history: STEADY, toCome, seed: 7 }));
    expect(new Set(courses.courses)).toEqual(new Set([5, 6]));
  });

  it('counts the orders ahead by what one ahead has cost here', () => {
    // One order ahead has always cost half a day in each stage.
    const history = Array.from({ length: 40 }, (_, n) => {
      const days = 2 + (n % 6) / 2;
      return finished([days, days, days, days], n % 6);
    });
    const cost = drawn(
      forecast({ history, toCome: fromTheBeginning(), seed: 7 }),
    ).daysPerOrderAhead;
    for (const stage of ['casting', 'check_fitting', 'lamination', 'delivery'] as const) {
      expect(cost[stage]).toBeCloseTo(0.5, 9);
    }
    const nobody = drawn(forecast({ history, toCome: fromTheBeginning(), seed: 7 }));
    const four = drawn(forecast({ history, toCome: fromTheBeginning(byStage(() => 4)), seed: 7 }));
    expect(new Set(nobody.courses)).toEqual(new Set([8]));
    expect(new Set(four.courses)).toEqual(new Set([16]));
  });

  it('an order ahead never makes another faster, and no stay is shorter than nothing', () => {
    const faster = Array.from({ length: 40 }, (_, n) => finished([6, 6, 6, 6 - (n % 3)], n % 3));
    expect(
      drawn(forecast({ history: faster, toCome: fromTheBeginning(), seed: 7 })).daysPerOrderAhead
        .delivery,
    ).toBe(0);
    const steep = Array.from({ length: 40 }, (_, n) =>
      finished([n < 20 ? 0 : 1, 0, 0, 0], n < 20 ? 9 : 10),
    );
    const { courses } = drawn(forecast({ history: steep, toCome: fromTheBeginning(), seed: 7 }));
    expect(new Set(courses)).toEqual(new Set([0]));
  });

  it('orders that skipped a stage count, for this one may skip it too', () => {
    const history = Array.from({ length: 40 }, (_, n) => {
      const order = finished([1, 10, 1, 1]);
      const skipped = { workingDays: 0, ordersAhead: null };
      return n % 2 ? order : { ...order, stages: { ...order.stages, check_fitting: skipped } };
    });
    const courses = drawn(forecast({ history, toCome: fromTheBeginning(), seed: 7 }));
    expect(new Set(courses.courses)).toEqual(new Set([3, 13]));
    const inIt = stagesToCome(
      { stage: 'check_fitting', ordersAhead: 0, workingDaysSoFar: 0 },
      NOBODY,
    );
    expect(new Set(drawn(forecast({ history, toCome: inIt, seed: 7 })).courses)).toEqual(
      new Set([12]),
    );
  });

  it('is not given by a short history', () => {
    const verdict = forecast({
      history: STEADY.slice(0, FINISHED_ORDERS_LEAST - 1),
      toCome: fromTheBeginning(),
      seed: 7,
    });
    expect(verdict).toMatchObject({
      reasons: [{ code: 'history-too-short', facts: { finishedOrders: 19, needed: 20 } }],
    });
    expect(forecast({ history: STEADY.slice(0, 20), toCome: fromTheBeginning(), seed: 7 }).ok).toBe(
      true,
    );
  });

  it('is not given for an order that takes longer than nearly all before it', () => {
    const at = (workingDaysSoFar: number) =>
      forecast({
        history: STEADY,
        toCome: stagesToCome({ stage: 'check_fitting', ordersAhead: 0, workingDaysSoFar }, NOBODY),
        seed: 7,
      });
    expect(at(9).ok).toBe(true);
    expect(refusalCodes(at(10))).toEqual(['longer-than-history']);
    // Nine working days are the longest stay of every fifth order: of 25 that is five.
    const few = (orders: number) =>
      forecast({
        history: STEADY.slice(0, orders),
        toCome: stagesToCome(
          { stage: 'check_fitting', ordersAhead: 0, workingDaysSoFar: 9 },
          NOBODY,
        ),
        seed: 7,
      });
    expect(few(25).ok).toBe(true);
    expect(few(24)).toMatchObject({
      reasons: [
        {
          code: 'longer-than-history',
          facts: { stage: 'check_fitting', workingDays: 9, longerStays: 4, needed: 5 },
        },
      ],
    });
  });

  it('fewer draws than 2,000 are a fault of the program', () => {
    expect(() =>
      forecast({ history: STEADY, toCome: fromTheBeginning(), seed: 7, draws: 1_999 }),
    ).toThrow(RangeError);
  });

  const someHistory = fc
    .array(
      fc.record({
        days: fc.tuple(fc.nat(20), fc.nat(20), fc.nat(20), fc.nat(20)),
        ahead: fc.option(fc.nat(9), { nil: null, freq: 9 }),
      }),
      { minLength: 25, maxLength: 40 },
    )
    .map((orders) => orders.map(({ days, ahead }) => finished(days, ahead)));

  it('repeats with its seed, rises with the day, and never leaves 0 to 1', () => {
    fc.assert(
      fc.property(someHistory, fc.integer(), fc.nat(9), (history, seed, ahead) => {
        const toCome = stagesToCome(
          { stage: 'check_fitting', ordersAhead: ahead, workingDaysSoFar: 0 },
          byStage(() => ahead),
        );
        const once = forecast({ history, toCome, seed });
        expect(forecast({ history, toCome, seed })).toEqual(once);
        fc.pre(once.ok);
        const chances = Array.from({ length: 90 }, (_, days) => chanceWithin(drawn(once), days));
        chances.forEach((chance, days) => {
          expect(chance).toBeGreaterThanOrEqual(chances[days - 1] ?? 0);
          expect(chance).toBeLessThanOrEqual(1);
        });
        for (const wanted of [0.1, 0.5, 0.8, 0.95]) {
          const days = workingDaysFor(drawn(once), wanted);
          expect(chanceWithin(drawn(once), days)).toBeGreaterThanOrEqual(wanted);
          if (days > 0) expect(chanceWithin(drawn(once), days - 1)).toBeLessThan(wanted);
        }
      }),
      { numRuns: 30 },
    );
  });

  it('more orders ahead never make a day likelier', () => {
    fc.assert(
      fc.property(someHistory, fc.nat(9), fc.nat(9), (history, few, more) => {
        const with_ = (ahead: number) =>
          drawn(
            forecast({
              history,
              toCome: fromTheBeginning(byStage(() => ahead)).map((each) => ({
                ...each,
                workingDaysSoFar: null,
              })),
              seed: 1,
            }),
          );
        const [less, greater] = [with_(few), with_(few + more)];
        for (const days of [10, 20, 30, 40]) {
          expect(chanceWithin(greater, days)).toBeLessThanOrEqual(chanceWithin(less, days));
        }
      }),
      { numRuns: 30 },
    );
  });
});

describe('a day to promise (C5)', () => {
  const offer = (history: readonly FinishedOrder[]) =>
    offerDates({
      calendar: CLINIC,
      today: MONDAY,
      toCome: fromTheBeginning(),
      usualDays: STARTING_STAGE_DAYS,
      forecast: forecast({ history, toCome: fromTheBeginning(), seed: 7 }),
      wantedChance: STARTING_WANTED_CHANCE,
    });

  it('is offered by usual durations and by its chance', () => {
    const { usual, withChance, because } = offer(STEADY);
    expect(usual).toEqual({ promisedOn: '2026-03-26', workingDays: 18, chance: 1 });
    expect(withChance).toMatchObject({ promisedOn: '2026-03-23', workingDays: 15 });
    expect(withChance?.chance).toBeGreaterThanOrEqual(0.8);
    expect(because).toEqual([]);
  });

  it('has no chance where the history is short, and says so', () => {
    const { usual, withChance, because } = offer(STEADY.slice(0, 3));
    expect(usual).toEqual({ promisedOn: '2026-03-26', workingDays: 18, chance: null });
    expect(withChance).toBeNull();
    expect(codes(because)).toEqual(['history-too-short']);
  });

  it('of a stage under way the usual days that are over count no more', () => {
    const left = (stage: WorkStage, workingDaysSoFar: number) =>
      usualDaysLeft(
        stagesToCome({ stage, ordersAhead: 0, workingDaysSoFar }, NOBODY),
        STARTING_STAGE_DAYS,
      );
    expect(left('casting', 0)).toBe(18);
    expect(left('check_fitting', 6)).toBe(9);
    expect(left('check_fitting', 60)).toBe(7);
    expect(left('delivery', 1)).toBe(2);
  });
});

describe('late and at risk (C5)', () => {
  const judge = (
    over: Partial<Parameters<typeof judgePromisedDate>[0]> & { soFar?: number } = {},
  ) => {
    const { soFar = 0, ...facts } = over;
    const toCome = stagesToCome(
      { stage: 'check_fitting', ordersAhead: 0, workingDaysSoFar: soFar },
      NOBODY,
    );
    return judgePromisedDate({
      calendar: CLINIC,
      today: MONDAY,
      promisedOn: addWorkingDays(CLINIC, MONDAY, 12),
      holdReason: null,
      toCome,
      usualDays: STARTING_STAGE_DAYS,
      forecast: forecast({ history: STEADY, toCome, seed: 7 }),
      atRiskBelow: STARTING_AT_RISK_BELOW,
      ...facts,
    });
  };
  const SHORT = forecast({ history: [], toCome: [], seed: 7 });

  it('an order without a promise is neither', () => {
    expect(judge({ promisedOn: null })).toEqual({ state: 'no_date', chance: null, because: [] });
  });

  it('an order that will probably be kept is on course', () => {
    const { state, chance, because } = judge();
    expect([state, because]).toEqual(['on_course', []]);
    expect(chance).toBeGreaterThan(0.5);
  });

  it('a promise that is past is late, with the reason why', () => {
    const promisedOn = day('2026-02-26');
    expect(judge({ promisedOn })).toMatchObject({
      state: 'late',
      chance: 0,
      because: [{ code: 'date-is-past', facts: { workingDaysLate: 2 } }],
    });
    const held = judge({ promisedOn, holdReason: 'parts_awaited', soFar: 9 });
    expect(codes(held.because)).toEqual(['date-is-past', 'no-chance-on-hold', 'stage-takes-long']);
  });

  it('an order on hold is at risk, for nobody knows until when', () => {
    const { state, chance, because } = judge({ holdReason: 'authorization_awaited' });
    expect([state, chance, codes(because)]).toEqual(['at_risk', null, ['no-chance-on-hold']]);
  });

  it('an unlikely day is at risk, and a stage that takes long is named', () => {
    const promisedOn = addWorkingDays(CLINIC, MONDAY, 4);
    expect(judge({ promisedOn })).toMatchObject({
      state: 'at_risk',
      chance: 0,
      because: [{ code: 'date-unlikely', facts: { chancePercent: 0, wantedPercent: 50 } }],
    });
    expect(judge({ promisedOn, soFar: 9 })).toMatchObject({
      because: [
        { code: 'date-unlikely' },
        { code: 'stage-takes-long', facts: { workingDays: 9, daysUsual: 8 } },
      ],
    });
  });

  it('a chance just as wanted is enough, and days just as usual are not long', () => {
    const promisedOn = addWorkingDays(CLINIC, MONDAY, 60);
    expect(judge({ promisedOn, atRiskBelow: 1 })).toEqual({
      state: 'on_course',
      chance: 1,
      because: [],
    });
    expect(codes(judge({ promisedOn: MONDAY, soFar: 8 }).because)).toEqual(['date-unlikely']);
  });

  it('a promise for today is not late yet', () => {
    expect(judge({ promisedOn: MONDAY })).toMatchObject({ state: 'at_risk', chance: 0 });
  });

  it('without a history the usual durations judge', () => {
    const until = (days: number, soFar = 0) =>
      judge({ promisedOn: addWorkingDays(CLINIC, MONDAY, days), forecast: SHORT, soFar });
    expect(until(15)).toMatchObject({ state: 'on_course', chance: null });
    expect(codes(until(15).because)).toEqual(['history-too-short']);
    expect(until(14)).toMatchObject({
      state: 'at_risk',
      chance: null,
      because: [
        { code: 'too-few-days-left', facts: { daysLeft: 14, daysUsual: 15 } },
        { code: 'history-too-short' },
      ],
    });
    expect(until(15, 9)).toMatchObject({
      state: 'at_risk',
      because: [{ code: 'stage-takes-long' }, { code: 'history-too-short' }],
    });
  });
});

describe('a day that is promised', () => {
  it('is today at the earliest, and within two years: 2062 for 2026 is a slip of the keys', () => {
    const today = day('2026-03-02');
    const against = (promisedOn: string) =>
      judgePromise(day(promisedOn), today).map(({ code, field }) => [code, field]);
    expect(against('2026-03-02')).toEqual([]);
    expect(against('2028-03-02')).toEqual([]);
    expect(against('2028-03-03')).toEqual([['value-out-of-range', '/promisedOn']]);
    expect(against('2026-03-01')).toEqual([['promised-day-past', '/promisedOn']]);
    expect(judgePromise(day('2062-04-20'), today)[0]?.detail).toContain('Usual: 2 to 12 weeks');
  });
});

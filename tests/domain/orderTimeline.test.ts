import { uniformInt } from 'pure-rand/distribution/uniformInt';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { describe, expect, it } from 'vitest';
import { addDays } from '../../src/domain/days.ts';
import {
  censusOf,
  deliveredOn,
  finishedOrders,
  presentStay,
  staysOf,
  workingDaysByStage,
} from '../../src/domain/orderTimeline.ts';
import { backTestPromises } from '../../src/domain/promiseBackTest.ts';
import { addWorkingDays } from '../../src/domain/workCalendar.ts';
import { CLINIC, MONDAY, straight, went } from '../support/timelines.ts';

describe('how orders went through their stages (C5)', () => {
  const looped = went(
    'looped',
    MONDAY,
    ['check_fitting', 2],
    ['casting', 3],
    ['check_fitting', 1],
    ['lamination', 4],
    ['delivery', 2],
    ['delivered', 1],
    ['casting', 30],
  );

  it('adds up a stage that was gone back to, and ends with the first delivery', () => {
    expect(staysOf(looped).map(({ stage }) => stage)).toEqual([
      'casting',
      'check_fitting',
      'casting',
      'check_fitting',
      'lamination',
      'delivery',
    ]);
    expect(workingDaysByStage(CLINIC, looped, MONDAY)).toEqual({
      casting: 3,
      check_fitting: 7,
      lamination: 2,
      delivery: 1,
    });
    expect(deliveredOn(looped)).toBe(addWorkingDays(CLINIC, MONDAY, 13));
  });

  it('an order under way is counted until today', () => {
    const open = went('open', MONDAY, ['check_fitting', 2]);
    expect(deliveredOn(open)).toBeNull();
    expect(workingDaysByStage(CLINIC, open, addWorkingDays(CLINIC, MONDAY, 6))).toEqual({
      casting: 2,
      check_fitting: 4,
      lamination: 0,
      delivery: 0,
    });
  });

  it('knows where an order is and since when; a further cast begins no stay of its own', () => {
    const on = (days: number) => addWorkingDays(CLINIC, MONDAY, days);
    const recast = went('recast', MONDAY, ['check_fitting', 2], ['check_fitting', 3]);
    expect(presentStay(recast)).toEqual({ stage: 'check_fitting', from: on(2), to: null });
    expect(presentStay(went('opened', MONDAY))).toMatchObject({ stage: 'casting', from: MONDAY });
    expect(presentStay(looped)).toMatchObject({ stage: 'casting', from: on(43) });
    expect(presentStay(straight('delivered', MONDAY, [1, 1, 1, 1]))).toBeNull();
    expect(presentStay(went('cancelled', MONDAY, ['cancelled', 3]))).toBeNull();
  });

  it('says who was where at the beginning of a day', () => {
    const census = censusOf([
      looped,
      went('open', MONDAY, ['check_fitting', 2]),
      went('cancelled', MONDAY, ['cancelled', 3]),
    ]);
    const on = (days: number) => addWorkingDays(CLINIC, MONDAY, days);
    // Those that come on a day are not there at its beginning.
    expect(census('casting', MONDAY)).toBe(0);
    expect(census('casting', on(1))).toBe(3);
    expect(census('casting', on(2))).toBe(3);
    expect(census('casting', on(3))).toBe(1);
    expect(census('check_fitting', on(3))).toBe(2);
    expect(census('casting', on(6))).toBe(1);
    expect(census('delivery', on(40))).toBe(0);
  });

  it('tells of each delivered order how long its stages took and who was ahead', () => {
    const skipped = went(
      'skipped',
      addDays(MONDAY, 1),
      ['lamination', 1],
      ['delivery', 1],
      ['delivered', 1],
    );
    const finished = finishedOrders(CLINIC, [
      looped,
      skipped,
      went('cancelled', MONDAY, ['cancelled', 3]),
      { order: 'empty', changes: [] },
    ]);
    expect(finished.map(({ order }) => order)).toEqual(['skipped', 'looped']);
    expect(finished[0]).toEqual({
      order: 'skipped',
      openedOn: '2026-03-03',
      deliveredOn: '2026-03-06',
      stages: {
        casting: { workingDays: 1, ordersAhead: 2 },
        check_fitting: { workingDays: 0, ordersAhead: null },
        lamination: { workingDays: 1, ordersAhead: 0 },
        delivery: { workingDays: 1, ordersAhead: 0 },
      },
    });
  });
});

describe('finished orders', () => {
  it('come in the order of their delivery, those of one day as they were listed', () => {
    const days = [5, 1, 9, 1, 3, 9, 2, 5];
    const finished = finishedOrders(
      CLINIC,
      days.map((n, at) => went(`${at}`, MONDAY, ['delivered', n])),
    );
    expect(finished.map(({ order }) => order).join(' ')).toBe('1 3 6 4 0 7 2 5');
  });
});

describe('promises tried on the past (C5)', () => {
  /** Orders opened one a working day, with the working days of each stage. */
  const past = (days: (n: number) => readonly [number, number, number, number], count: number) =>
    Array.from({ length: count }, (_, n) =>
      straight(`order ${n}`, addWorkingDays(CLINIC, MONDAY, n), days(n)),
    );

  const LATER = addWorkingDays(CLINIC, MONDAY, 400);

  it('what is under way past its day is missed, until that day it counts neither way; cancelled never', () => {
    const opened = addWorkingDays(CLINIC, MONDAY, 80);
    const timelines = [
      ...past(() => [2, 3, 2, 1], 60),
      went('under way', opened, ['check_fitting', 2]),
      went('cancelled', opened, ['check_fitting', 2], ['cancelled', 1]),
    ];
    const on = (days: number) =>
      backTestPromises({
        calendar: CLINIC,
        timelines,
        today: addWorkingDays(CLINIC, opened, days),
        wantedChance: 0.8,
        seed: 1,
      });
    // All are done in eight working days.
    const [inTime, overdue] = [on(8), on(9)];
    expect([inTime.overdue, inTime.kept.count]).toEqual([0, inTime.kept.of]);
    expect(overdue).toMatchObject({
      overdue: 1,
      kept: { count: inTime.kept.count, of: inTime.kept.of + 1 },
      notPromised: inTime.notPromised,
    });
  });

  it.each([1, 2, 3])(
    'of days promised at 80 % about as many are kept as were said (%d)',
    (seed) => {
      const source = xoroshiro128plus(seed);
      const one = () => uniformInt(source, 1, 9);
      const { kept, meanChance, notPromised } = backTestPromises({
        calendar: CLINIC,
        timelines: past(() => [one(), one(), one(), one()], 250),
        today: LATER,
        wantedChance: 0.8,
        seed,
      });
      expect(kept.of + notPromised).toBe(250);
      expect(kept.of).toBeGreaterThan(150);
      expect(meanChance).toBeGreaterThanOrEqual(0.8);
      expect(kept.from).toBeLessThan(meanChance!);
      expect(kept.to).toBeGreaterThan(meanChance!);
    },
  );

  it('promises nothing while too few orders are finished', () => {
    expect(
      backTestPromises({
        calendar: CLINIC,
        timelines: past(() => [1, 2, 1, 1], 20),
        today: LATER,
        wantedChance: 0.8,
        seed: 1,
      }),
    ).toMatchObject({
      kept: { count: 0, of: 0, share: null },
      meanChance: null,
      notPromised: 20,
    });
  });

  it('where all orders are alike every promise is kept', () => {
    const { kept } = backTestPromises({
      calendar: CLINIC,
      timelines: past(() => [2, 3, 2, 1], 60),
      today: LATER,
      wantedChance: 0.8,
      seed: 1,
    });
    expect(kept.of).toBeGreaterThan(0);
    expect(kept.count).toBe(kept.of);
  });

  it('where delivery suddenly takes longer promises are missed, and it says so', () => {
    const { kept } = backTestPromises({
      calendar: CLINIC,
      timelines: past((n) => [2, 3, 2, n < 60 ? 1 : 20], 120),
      today: LATER,
      wantedChance: 0.8,
      seed: 1,
    });
    expect(kept.to).toBeLessThan(0.8);
  });
});

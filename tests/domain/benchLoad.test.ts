import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  benchLoad,
  isSameBench,
  judgePeople,
  type Bench,
  type BenchDay,
  type WorkToPlan,
} from '../../src/domain/benchLoad.ts';
import { addDays } from '../../src/domain/days.ts';
import type { Verdict } from '../../src/domain/verdict.ts';
import { STARTING_WEEKDAYS, type WorkCalendar } from '../../src/domain/workCalendar.ts';
import { day } from '../support/limbs.ts';

/** Open on weekdays; on Friday mornings only; closed on Tuesday 3 March. */
const CLINIC: WorkCalendar = {
  weekdays: STARTING_WEEKDAYS.map((hours, at) => (at === 4 ? hours.slice(0, 1) : hours)),
  closedOn: new Set([day('2026-03-03')]),
};
const MONDAY = day('2026-03-02');
const WEEK = { from: MONDAY, to: day('2026-03-08') };
const BENCHES: readonly Bench[] = [
  { name: 'lamination', people: 1 },
  { name: 'assembly', people: 2 },
];
const work = (over: Partial<WorkToPlan> = {}): WorkToPlan => ({
  order: 'KL-26-00001-X',
  bench: 'lamination',
  minutes: 300,
  from: MONDAY,
  to: MONDAY,
  ...over,
});
const days = (verdict: Verdict<readonly BenchDay[]>): readonly BenchDay[] =>
  verdict.ok ? verdict.value : [];
const onDay = (verdict: Verdict<readonly BenchDay[]>, bench: string) =>
  Object.fromEntries(
    days(verdict)
      .filter((each) => each.bench === bench)
      .map((each) => [each.day, each.plannedMinutes]),
  );

describe('the load of the benches (C5)', () => {
  it('stands beside the minutes for which they are manned, on working days only', () => {
    const load = benchLoad(CLINIC, BENCHES, [work()], WEEK);
    expect(days(load).slice(0, 2)).toEqual([
      {
        bench: 'lamination',
        day: MONDAY,
        plannedMinutes: 300,
        mannedMinutes: 480,
        overloaded: false,
        orders: ['KL-26-00001-X'],
      },
      {
        bench: 'assembly',
        day: MONDAY,
        plannedMinutes: 0,
        mannedMinutes: 960,
        overloaded: false,
        orders: [],
      },
    ]);
    expect(Object.keys(onDay(load, 'assembly'))).toEqual([
      '2026-03-02',
      '2026-03-04',
      '2026-03-05',
      '2026-03-06',
    ]);
  });

  it('of work promised for the last day of all years is a share, and worked out at once', () => {
    const to = day('9999-12-31');
    const load = benchLoad(CLINIC, BENCHES, [work({ minutes: 1e9, to })], WEEK);
    const { '2026-03-02': monday, '2026-03-06': friday } = onDay(load, 'lamination');
    // Some two million working days lie ahead; a Friday has half of a Monday.
    expect(monday).toBeGreaterThan(100);
    expect(friday).toBeCloseTo(monday! / 2, 9);
    expect(days(benchLoad(CLINIC, BENCHES, [], { from: to, to })).map((each) => each.day)).toEqual([
      to,
      to,
    ]);
  });

  it('of work that ends before the window, or falls on a working day after it, has none in it', () => {
    const before = work({ from: day('2026-02-23'), to: day('2026-02-27') });
    const weekend = work({ from: day('2026-03-07'), to: day('2026-03-08') });
    expect(onDay(benchLoad(CLINIC, BENCHES, [before, weekend], WEEK), 'lamination')).toEqual({
      '2026-03-02': 0,
      '2026-03-04': 0,
      '2026-03-05': 0,
      '2026-03-06': 0,
    });
  });

  it('is that of one bench, in whatever case or width its name is written', () => {
    expect(isSameBench('Öfen 2', 'ÖFEN ２')).toBe(true);
    expect(isSameBench('Oven', 'Oven 2')).toBe(false);
  });

  it('is spread over the days of its span by their opening minutes', () => {
    const load = benchLoad(CLINIC, BENCHES, [work({ minutes: 840, to: day('2026-03-06') })], WEEK);
    expect(onDay(load, 'lamination')).toEqual({
      '2026-03-02': 240,
      '2026-03-04': 240,
      '2026-03-05': 240,
      '2026-03-06': 120,
    });
  });

  it('work for closed days falls on the next working day', () => {
    const closed = { from: day('2026-03-03'), to: day('2026-03-03') };
    expect(onDay(benchLoad(CLINIC, BENCHES, [work(closed)], WEEK), 'lamination')).toMatchObject({
      '2026-03-04': 300,
    });
  });

  it('more than is manned is an overload, named with its orders', () => {
    const load = benchLoad(
      CLINIC,
      BENCHES,
      [work({ order: 'B' }), work({ order: 'A', minutes: 180 }), work({ order: 'B', minutes: 1 })],
      WEEK,
    );
    expect(days(load)[0]).toMatchObject({
      plannedMinutes: 481,
      overloaded: true,
      orders: ['A', 'B'],
    });
    const full = benchLoad(CLINIC, BENCHES, [work({ minutes: 480 })], WEEK);
    expect(days(full)[0]).toMatchObject({ plannedMinutes: 480, overloaded: false });
  });

  it('a bench is manned by somebody, and by no more than find room at it', () => {
    expect([1, 2, 50].flatMap(judgePeople)).toEqual([]);
    for (const people of [0, -1, 51]) {
      expect(judgePeople(people)).toMatchObject([
        { code: 'value-out-of-range', field: '/people', facts: { least: 1, greatest: 50 } },
      ]);
    }
  });

  it('what cannot be planned is told, all of it', () => {
    const load = benchLoad(
      CLINIC,
      BENCHES,
      [
        work({ bench: 'sewing' }),
        work({ minutes: -1 }),
        work({ minutes: Infinity }),
        work({ minutes: Number.NaN }),
        work({ to: day('2026-03-01') }),
        work(),
      ],
      WEEK,
    );
    expect(load.ok).toBe(false);
    expect(load.ok ? [] : load.reasons.map(({ code, facts }) => [code, facts['why']])).toEqual([
      ['work-to-plan-impossible', 'there is no such bench'],
      ['work-to-plan-impossible', '-1 minutes are none'],
      ['work-to-plan-impossible', 'Infinity minutes are none'],
      ['work-to-plan-impossible', 'NaN minutes are none'],
      ['work-to-plan-impossible', 'its last day 2026-03-01 is before its first 2026-03-02'],
    ]);
  });

  it('loses no minute of what lies within its window', () => {
    const someWork = fc
      .record({ minutes: fc.nat(900), from: fc.nat(20), span: fc.nat(10), bench: fc.nat(1) })
      .map(({ minutes, from, span, bench }) =>
        work({
          minutes,
          bench: BENCHES[bench]!.name,
          from: addDays(MONDAY, from),
          to: addDays(MONDAY, from + span),
        }),
      );
    fc.assert(
      fc.property(fc.array(someWork, { maxLength: 8 }), (all) => {
        const load = benchLoad(CLINIC, BENCHES, all, { from: MONDAY, to: addDays(MONDAY, 40) });
        const planned = days(load).reduce((sum, each) => sum + each.plannedMinutes, 0);
        expect(planned).toBeCloseTo(
          all.reduce((sum, each) => sum + each.minutes, 0),
          6,
        );
      }),
      { numRuns: 30 },
    );
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { addDays, daysBetween } from '../../src/domain/days.ts';
import {
  addWorkingDays,
  firstWorkingDayFrom,
  isWorkingDay,
  judgeWorkCalendar,
  openMinutes,
  openMinutesFrom,
  STARTING_WEEKDAYS,
  workingDaysBetween,
  type WorkCalendar,
} from '../../src/domain/workCalendar.ts';
import { day } from '../support/limbs.ts';

/** Closed on weekends, on Christmas and New Year, and on one Saturday that is closed anyway. */
const CLINIC: WorkCalendar = {
  weekdays: STARTING_WEEKDAYS,
  closedOn: new Set([day('2026-12-24'), day('2026-12-25'), day('2026-12-26'), day('2027-01-01')]),
};
const THURSDAY = day('2026-12-17');

describe('the working calendar of a clinic (C5)', () => {
  it('is open Monday to Friday for eight hours, and not on its closed days', () => {
    expect(openMinutes(CLINIC, THURSDAY)).toBe(480);
    expect(openMinutes(CLINIC, day('2026-12-19'))).toBe(0);
    expect(openMinutes(CLINIC, day('2026-12-24'))).toBe(0);
    expect(isWorkingDay(CLINIC, day('2026-12-28'))).toBe(true);
    expect(firstWorkingDayFrom(CLINIC, day('2026-12-24'))).toBe('2026-12-28');
    expect(firstWorkingDayFrom(CLINIC, THURSDAY)).toBe(THURSDAY);
  });

  it('counts working days over a weekend and a holiday', () => {
    expect(addWorkingDays(CLINIC, THURSDAY, 1)).toBe('2026-12-18');
    expect(addWorkingDays(CLINIC, THURSDAY, 2)).toBe('2026-12-21');
    expect(addWorkingDays(CLINIC, THURSDAY, 5)).toBe('2026-12-28');
    expect(addWorkingDays(CLINIC, day('2026-12-28'), -5)).toBe(THURSDAY);
    expect(addWorkingDays(CLINIC, day('2026-12-19'), 0)).toBe('2026-12-21');
    expect(addWorkingDays(CLINIC, day('2026-12-19'), 1)).toBe('2026-12-21');
  });

  it('what is done on the same day takes none, on the next working day one', () => {
    expect(workingDaysBetween(CLINIC, THURSDAY, THURSDAY)).toBe(0);
    expect(workingDaysBetween(CLINIC, THURSDAY, day('2026-12-18'))).toBe(1);
    expect(workingDaysBetween(CLINIC, day('2026-12-18'), day('2026-12-21'))).toBe(1);
    expect(workingDaysBetween(CLINIC, THURSDAY, day('2027-01-04'))).toBe(9);
    expect(workingDaysBetween(CLINIC, day('2027-01-04'), THURSDAY)).toBe(-9);
  });

  it('may be open from midnight to midnight, in stretches that touch, but for no stretch of nothing', () => {
    const monday = (...hours: readonly (readonly [number, number])[]) =>
      judgeWorkCalendar(
        [
          hours.map(([fromMinute, toMinute]) => ({ fromMinute, toMinute })),
          ...STARTING_WEEKDAYS.slice(1),
        ],
        [],
      ).ok;
    expect(monday([0, 720], [720, 1440])).toBe(true);
    expect(monday([480, 480])).toBe(false);
    expect(monday([480, 1441])).toBe(false);
  });

  it.each([
    ['six weekdays', STARTING_WEEKDAYS.slice(1), ['6 weekdays']],
    ['no day open', [[], [], [], [], [], [], []], ['No weekday is open']],
    [
      'closing before opening',
      [[{ fromMinute: 600, toMinute: 480 }], ...STARTING_WEEKDAYS.slice(1)],
      ['Monday: 10:00 to 8:00'],
    ],
    [
      'hours that overlap, half minutes, and past midnight',
      [
        [
          { fromMinute: 480, toMinute: 720 },
          { fromMinute: 700, toMinute: 800 },
        ],
        [{ fromMinute: 480.5, toMinute: 720 }],
        [{ fromMinute: 480, toMinute: 1441 }],
        [{ fromMinute: 480, toMinute: 720.5 }],
        ...STARTING_WEEKDAYS.slice(4),
      ],
      [
        'Monday: 11:40 to 13:20',
        'Tuesday: minute 480.5',
        'Wednesday: 8:00 to 24:01',
        'Thursday: 8:00 to minute 720.5',
      ],
    ],
  ])('is questioned where it has %s', (_what, weekdays, told) => {
    const verdict = judgeWorkCalendar(weekdays, []);
    expect(verdict.ok).toBe(false);
    const reasons = verdict.ok ? [] : verdict.reasons;
    expect(new Set(reasons.map(({ code }) => code))).toEqual(new Set(['calendar-impossible']));
    expect(reasons.map(({ detail }) => detail)).toEqual(
      told.map((part) => expect.stringContaining(part) as unknown),
    );
  });

  it('takes closed days once, in any order', () => {
    const [christmas, newYear] = [day('2026-12-25'), day('2027-01-01')];
    expect(judgeWorkCalendar(STARTING_WEEKDAYS, [newYear, christmas])).toEqual({
      ok: true,
      value: { weekdays: STARTING_WEEKDAYS, closedOn: new Set([christmas, newYear]) },
    });
    expect(judgeWorkCalendar(STARTING_WEEKDAYS, [newYear, newYear])).toMatchObject({
      reasons: [{ code: 'calendar-impossible', facts: { what: '1 Jan 2027 is closed twice' } }],
    });
  });

  const someDay = fc.integer({ min: 0, max: 1500 }).map((n) => addDays(day('2025-01-01'), n));
  const someCalendar = fc
    .record({
      opens: fc
        .array(fc.boolean(), { minLength: 7, maxLength: 7 })
        .filter((opens) => opens.includes(true)),
      closedOn: fc.array(someDay, { maxLength: 30 }),
    })
    .map(({ opens, closedOn }): WorkCalendar => ({
      weekdays: opens.map((open) => (open ? [{ fromMinute: 480, toMinute: 960 }] : [])),
      closedOn: new Set(closedOn),
    }));

  it('days added and taken away again come back to the same working day', () => {
    fc.assert(
      fc.property(someCalendar, someDay, fc.integer({ min: 1, max: 60 }), (calendar, from, n) => {
        const start = firstWorkingDayFrom(calendar, from);
        const end = addWorkingDays(calendar, start, n);
        expect(isWorkingDay(calendar, end)).toBe(true);
        expect(workingDaysBetween(calendar, start, end)).toBe(n);
        expect(addWorkingDays(calendar, end, -n)).toBe(start);
      }),
    );
  });

  it('counts past the same closed days however many thousand there are, to the end of the years', () => {
    const closedOn = Array.from({ length: 3_000 }, (_, n) => addDays(day('2020-01-01'), 2 * n));
    const calendar = { weekdays: STARTING_WEEKDAYS, closedOn: new Set(closedOn) };
    const [from, to] = [day('2019-12-31'), day('2027-12-31')];
    const open = Array.from({ length: daysBetween(from, to) }, (_, n) =>
      addDays(from, n + 1),
    ).filter((on) => isWorkingDay(calendar, on));
    expect(workingDaysBetween(calendar, from, to)).toBe(open.length);
    // 7973 years of Monday to Friday, less the closed weekdays among them.
    const last = day('9999-12-31');
    const bare = { weekdays: STARTING_WEEKDAYS, closedOn: new Set<never>() };
    const shut = closedOn.filter((on) => isWorkingDay(bare, on)).length;
    expect(workingDaysBetween(bare, from, last) - workingDaysBetween(calendar, from, last)).toBe(
      shut,
    );
    expect(openMinutesFrom(calendar, from, last)).toBe(
      480 * (workingDaysBetween(calendar, from, last) + 1),
    );
  });

  it('opening minutes of a stretch are those of its days, the first and the last among them', () => {
    fc.assert(
      fc.property(someCalendar, someDay, fc.integer({ min: 0, max: 90 }), (calendar, from, n) => {
        const days = Array.from({ length: n + 1 }, (_, at) => addDays(from, at));
        const minutes = days.reduce((sum, on) => sum + openMinutes(calendar, on), 0);
        expect(openMinutesFrom(calendar, from, addDays(from, n))).toBe(minutes);
      }),
    );
  });

  it('stretches that follow one another add up, and a day at a time gives the same count', () => {
    fc.assert(
      fc.property(someCalendar, someDay, someDay, someDay, (calendar, a, b, c) => {
        expect(workingDaysBetween(calendar, a, b) + workingDaysBetween(calendar, b, c)).toBe(
          workingDaysBetween(calendar, a, c),
        );
        const [first, last] = a < b ? [a, b] : [b, a];
        const counted = Array.from({ length: daysBetween(first, last) }, (_, n) =>
          addDays(first, n + 1),
        ).filter((on) => isWorkingDay(calendar, on));
        expect(workingDaysBetween(calendar, first, last)).toBe(counted.length);
      }),
      { numRuns: 40 },
    );
  });
});

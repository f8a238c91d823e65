import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { instantInWords, instantOn, minuteAt } from '../../src/domain/clockTimes.ts';
import { addDays, dayAt } from '../../src/domain/days.ts';
import { dayInWords, isInstant, minuteInWords, whenInWords } from '../../src/domain/dayWords.ts';
import { freeTimes, type FreeTimesAsked } from '../../src/domain/freeTimes.ts';
import { intervalOf, overlap } from '../../src/domain/fittingsBook.ts';
import { openingHours, STARTING_WEEKDAYS } from '../../src/domain/workCalendar.ts';
import { day } from '../support/limbs.ts';

const VIENNA = 'Europe/Vienna';
const iso = (at: Date) => at.toISOString();

describe('times at the clinic (R16)', () => {
  // In the European Union the clocks are put on at 01:00 UTC on the last Sunday of March and
  // back at 01:00 UTC on the last Sunday of October: Directive 2000/84/EC, Articles 2 and 3.
  it('knows the days of 23 and of 25 hours', () => {
    expect(iso(instantOn(day('2026-03-28'), 480, VIENNA))).toBe('2026-03-28T07:00:00.000Z');
    expect(iso(instantOn(day('2026-03-29'), 480, VIENNA))).toBe('2026-03-29T06:00:00.000Z');
    expect(iso(instantOn(day('2026-10-25'), 480, VIENNA))).toBe('2026-10-25T07:00:00.000Z');
    const hours = (on: string) =>
      (instantOn(day(on), 1440, VIENNA).getTime() - instantOn(day(on), 0, VIENNA).getTime()) /
      3_600_000;
    expect([hours('2026-03-28'), hours('2026-03-29'), hours('2026-10-25')]).toEqual([24, 23, 25]);
    // 2:30 is skipped in March, and shown twice in October: the first is meant.
    expect(iso(instantOn(day('2026-03-29'), 150, VIENNA))).toBe('2026-03-29T01:30:00.000Z');
    expect(iso(instantOn(day('2026-10-25'), 150, VIENNA))).toBe('2026-10-25T00:30:00.000Z');
    expect(minuteAt(new Date('2026-10-25T01:30:00Z'), VIENNA)).toBe(150);
  });

  it('reads back every minute that the clock shows', () => {
    const days = fc.integer({ min: 0, max: 1500 }).map((n) => addDays(day('2025-01-01'), n));
    const zones = fc.constantFrom(VIENNA, 'America/St_Johns', 'Asia/Kathmandu', 'UTC');
    fc.assert(
      fc.property(days, fc.integer({ min: 300, max: 1439 }), zones, (on, minute, zone) => {
        const at = instantOn(on, minute, zone);
        expect([dayAt(at, zone), minuteAt(at, zone)]).toEqual([on, minute]);
      }),
    );
  });

  it('says days and instants in words, and what is no day as it is', () => {
    expect(dayInWords('2026-11-25')).toBe('25 Nov 2026');
    expect(dayInWords('2026-03-02')).toBe('2 Mar 2026');
    expect(dayInWords('2026-13-02')).toBe('2026-13-02');
    expect(dayInWords('yesterday')).toBe('yesterday');
    expect(whenInWords('2026-11-25')).toBe('25 Nov 2026');
    expect(whenInWords('2026-11-25T13:05:00.123Z')).toBe('25 Nov 2026, 13:05 UTC');
    expect(whenInWords('unknown time')).toBe('unknown time');
    // As somebody may type it: a clock shows no sixtieth second, and no twenty-fifth hour.
    expect(['2026-03-02T09:00:60Z', '2026-03-02T25:00:00Z'].map(isInstant)).toEqual([false, false]);
    expect(['2026-11-25T13:05:00Z', '2026-11-25', 'T'].map(isInstant)).toEqual([
      true,
      false,
      false,
    ]);
    expect(minuteInWords(485)).toBe('08:05');
    expect(instantInWords(new Date('2026-11-25T13:05:00Z'), VIENNA)).toBe('25 Nov 2026, 14:05');
  });
});

describe('free times', () => {
  const FRIDAY = day('2026-03-27');
  const asked = (given: Partial<FreeTimesAsked> = {}): FreeTimesAsked => ({
    calendar: { weekdays: STARTING_WEEKDAYS, closedOn: new Set() },
    timeZone: VIENNA,
    now: new Date('2026-03-27T00:00:00Z'),
    from: FRIDAY,
    days: 7,
    minutes: 60,
    taken: [],
    perStretch: 1,
    most: 4,
    ...given,
  });
  const starts = (given: Partial<FreeTimesAsked> = {}) =>
    freeTimes(asked(given)).map(({ startsAt }) => iso(startsAt));

  it('offers the first of each morning and afternoon, on the clinic’s clock over the change', () => {
    expect(starts()).toEqual([
      '2026-03-27T07:00:00.000Z',
      '2026-03-27T12:00:00.000Z',
      // Monday, an hour earlier by UTC: summer time began on Sunday.
      '2026-03-30T06:00:00.000Z',
      '2026-03-30T11:00:00.000Z',
    ]);
  });

  it('goes round what is taken, what is past, and what would end after closing', () => {
    const taken = [intervalOf(instantOn(FRIDAY, 480, VIENNA), 40)];
    expect(starts({ taken, most: 1 })).toEqual(['2026-03-27T07:45:00.000Z']);
    const now = instantOn(FRIDAY, 661, VIENNA);
    expect(starts({ now, most: 1 })).toEqual(['2026-03-27T12:00:00.000Z']);
    expect(starts({ days: 1, minutes: 300 })).toEqual([]);
    expect(starts({ days: 1, minutes: 240, perStretch: 9 })).toHaveLength(2);
  });

  it('offers no time that the clock skips', () => {
    const night = Array.from({ length: 7 }, () => [{ fromMinute: 105, toMinute: 200 }]);
    const calendar = { weekdays: night, closedOn: new Set<never>() };
    const onSunday = { calendar, from: day('2026-03-29'), days: 1, minutes: 15 };
    expect(starts({ ...onSunday, perStretch: 9, most: 9 })).toEqual([
      '2026-03-29T00:45:00.000Z',
      '2026-03-29T01:00:00.000Z',
    ]);
  });

  it('always lie within the opening hours and outside what is taken', () => {
    const taken = fc.array(
      fc
        .record({
          minute: fc.integer({ min: 0, max: 8640 }),
          minutes: fc.integer({ min: 5, max: 480 }),
        })
        .map(({ minute, minutes }) =>
          intervalOf(new Date(Date.parse('2026-03-27T00:00:00Z') + minute * 60_000), minutes),
        ),
      { maxLength: 30 },
    );
    fc.assert(
      fc.property(taken, fc.integer({ min: 5, max: 240 }), (others, minutes) => {
        const question = asked({ taken: others, minutes, perStretch: 50, most: 100 });
        for (const time of freeTimes(question)) {
          const from = minuteAt(time.startsAt, VIENNA);
          const fits = openingHours(question.calendar, time.on).some(
            (hours) => hours.fromMinute <= from && from + minutes <= hours.toMinute,
          );
          expect(fits && !others.some((other) => overlap(time, other))).toBe(true);
        }
      }),
    );
  });
});

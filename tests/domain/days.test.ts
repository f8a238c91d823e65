import fc from 'fast-check';
import { Temporal } from 'temporal-polyfill';
import { describe, expect, it } from 'vitest';
import {
  addDays,
  addMonths,
  dayAt,
  daysBetween,
  isBefore,
  isTimeZone,
  parseDay,
} from '../../src/domain/days.ts';
import { day } from '../support/limbs.ts';

describe('calendar days (R16)', () => {
  it('are read as they are written, and only if there is such a day', () => {
    expect(parseDay('2026-03-01')).toBe('2026-03-01');
    expect(parseDay('2024-02-29')).toBe('2024-02-29');
    expect(parseDay('2000-02-29')).toBe('2000-02-29');
    expect(parseDay('2026-08-31')).toBe('2026-08-31');
    for (const none of [
      '2026-02-30',
      '2025-02-29',
      '2026-13-01',
      '2026-00-10',
      '2026-3-1',
      '01.03.2026',
      '2026-03-01T00:00:00Z',
      '+002026-03-01',
      '2026-03-010',
      '2026-03-01-01',
      '2026-03-00',
      '2026-03-32',
      '2026-04-31',
      '2026-06-31',
      '2026-09-31',
      '2026-11-31',
      '2100-02-29',
      '',
    ]) {
      expect(parseDay(none), none).toBeUndefined();
    }
  });

  it('have no year 0, which PostgreSQL would not take', () => {
    expect(parseDay('0000-01-01')).toBeUndefined();
    expect(parseDay('0001-01-01')).toBe('0001-01-01');
  });

  it('are those of the clinic’s zone, on either side of midnight and of summer time', () => {
    expect(dayAt(new Date('2026-03-01T22:59:59Z'), 'Europe/Vienna')).toBe('2026-03-01');
    expect(dayAt(new Date('2026-03-01T23:00:00Z'), 'Europe/Vienna')).toBe('2026-03-02');
    expect(dayAt(new Date('2026-07-01T22:00:00Z'), 'Europe/Vienna')).toBe('2026-07-02');
    expect(dayAt(new Date('2026-03-01T04:30:00Z'), 'America/New_York')).toBe('2026-02-28');
  });

  it('are counted across months, leap days and into the past', () => {
    expect(addDays(day('2026-02-27'), 14)).toBe('2026-03-13');
    expect(addDays(day('2024-02-28'), 1)).toBe('2024-02-29');
    expect(addDays(day('2026-01-01'), -1)).toBe('2025-12-31');
    expect(daysBetween(day('2026-03-01'), day('2026-03-15'))).toBe(14);
    expect(daysBetween(day('2026-03-15'), day('2026-03-01'))).toBe(-14);
  });

  it('end with the four-digit years, whose text sorts as they do: beyond there is no day to add', () => {
    expect(addDays(day('9999-12-30'), 1)).toBe('9999-12-31');
    expect(addDays(day('0001-01-02'), -1)).toBe('0001-01-01');
    for (const [from, days] of [
      ['9999-12-31', 1],
      ['0001-01-01', -1],
      ['2026-03-02', 1e12],
      ['2026-03-02', NaN],
    ] as const) {
      expect(() => addDays(day(from), days)).toThrow(RangeError);
    }
  });

  it('are reckoned in zones of places, and in no abbreviation', () => {
    for (const zone of ['Europe/Vienna', 'America/Argentina/Ushuaia', 'Etc/GMT+5', 'UTC']) {
      expect(isTimeZone(zone), zone).toBe(true);
    }
    // IST is India's, Ireland's or Israel's; EST has no summer.
    for (const zone of ['IST', 'BST', 'EST', 'EST5EDT', '+05:00', 'Europe/Atlantis', '']) {
      expect(isTimeZone(zone), zone).toBe(false);
    }
  });

  it('clip to the end of a shorter month', () => {
    expect(addMonths(day('2025-03-15'), 12)).toBe('2026-03-15');
    expect(addMonths(day('2026-01-31'), 1)).toBe('2026-02-28');
    expect(addMonths(day('2024-02-29'), 12)).toBe('2025-02-28');
  });

  it('come one after the other: what was added is what lies between', () => {
    const anyDay = fc
      .date({ min: new Date('1900-01-01'), max: new Date('2100-01-01'), noInvalidDate: true })
      .map((at) => dayAt(at, 'UTC'));
    fc.assert(
      fc.property(anyDay, fc.integer({ min: -5000, max: 5000 }), (from, days) => {
        const to = addDays(from, days);
        expect(parseDay(to)).toBe(to);
        expect(to).toBe(Temporal.PlainDate.from(from).add({ days }).toString());
        expect(daysBetween(from, to)).toBe(days);
        expect(isBefore(from, to)).toBe(days > 0);
        expect(isBefore(to, from)).toBe(days < 0);
      }),
    );
  });
});

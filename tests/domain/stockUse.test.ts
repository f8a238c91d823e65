import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  paceDaysOf,
  shelfOutlook,
  type ShelfBatch,
  type ShelfFacts,
} from '../../src/domain/stockUse.ts';
import { addDays } from '../../src/domain/days.ts';
import { evenly } from '../support/figures.ts';
import { day, refusalCodes } from '../support/limbs.ts';

const today = day('2026-03-02');
const batch = (left: number, expiresInDays: number | null, quarantined = false): ShelfBatch => ({
  left,
  expiresOn: expiresInDays === null ? null : addDays(today, expiresInDays),
  quarantined,
});
/** 900 g used in 90 days: 10 g a day. */
const shelf = (batches: readonly ShelfBatch[], over: Partial<ShelfFacts> = {}): ShelfFacts => ({
  batches,
  used: 900,
  usesNotMeasured: 0,
  paceDays: 90,
  leadDays: 14,
  coverDays: 60,
  today,
  ...over,
});
const looked = (batches: readonly ShelfBatch[], over: Partial<ShelfFacts> = {}) => {
  const verdict = shelfOutlook(shelf(batches, over));
  if (!verdict.ok) throw new Error(refusalCodes(verdict).join());
  return verdict.value;
};

describe('a material on the shelf (C3)', () => {
  test('at the pace of the shop it lasts so many days, and is reordered in time for the delivery', () => {
    expect(looked([batch(300, null)])).toEqual({
      pace: 'measured',
      usedPerDay: 10,
      usable: 300,
      notCountedOn: 0,
      lastsDays: 30,
      emptyOn: '2026-04-01',
      reorder: false,
      orderAmount: 0,
      inWords: 'At this pace it lasts 30 days.',
    });
    expect(looked([batch(140, null)])).toMatchObject({
      lastsDays: 14,
      reorder: true,
      orderAmount: 600,
    });
    expect(looked([batch(150, null)])).toMatchObject({ lastsDays: 15, reorder: false });
  });

  test('what expires before it would be used is not counted on', () => {
    // 10 g a day until the tenth day from now, that day counted: 110 g of the 500.
    expect(looked([batch(500, 10)])).toMatchObject({
      usable: 110,
      notCountedOn: 390,
      lastsDays: 11,
      reorder: true,
    });
  });

  test('the batch that expires first is used first, and leaves less time to the next', () => {
    const told = looked([batch(1_000, null), batch(80, 30), batch(100, 10)]);
    expect(told).toMatchObject({ usable: 1_180, notCountedOn: 0, lastsDays: 118 });
    // 110 g until the tenth day; of the second only what is left until its eleventh day.
    expect(looked([batch(100, 10), batch(100, 11)])).toMatchObject({ usable: 120 });
    expect(looked([batch(20, null), batch(30, null)])).toMatchObject({ usable: 50 });
    expect(looked([batch(20, null), batch(30, 400), batch(5, null)])).toMatchObject({ usable: 55 });
  });

  test('what is expired or in quarantine is not there', () => {
    expect(looked([batch(500, -1), batch(400, 90, true), batch(30, 0)])).toMatchObject({
      usable: 10,
      notCountedOn: 920,
      reorder: true,
    });
  });

  test('what nobody uses lasts for ever and is not reordered', () => {
    expect(looked([batch(50, null)], { used: 0 })).toEqual({
      pace: 'none',
      usedPerDay: 0,
      usable: 50,
      notCountedOn: 0,
      lastsDays: null,
      emptyOn: null,
      reorder: false,
      orderAmount: 0,
      inWords: 'Not used in 90 days.',
    });
  });

  test('past ten years no day is named on which it is empty', () => {
    expect(looked([batch(36_520, null)])).toMatchObject({ lastsDays: 3_652 });
    // A tenth of a gram in ninety days: the hundred kilos would outlast every calendar.
    for (const used of [900, 0.1, Number.MIN_VALUE * 100]) {
      expect(looked([batch(100_000, null)], { used })).toMatchObject({
        pace: 'measured',
        lastsDays: null,
        emptyOn: null,
        reorder: false,
        inWords: 'At this pace it lasts more than ten years.',
      });
    }
    // So little that a day's share of it is nothing.
    expect(looked([], { used: Number.MIN_VALUE })).toMatchObject({ pace: 'none', lastsDays: null });
  });

  test('where its uses were never measured the pace is not known, and nothing is said to expire unused', () => {
    const batches = [batch(500, 10), batch(300, null), batch(40, -1), batch(70, 90, true)];
    expect(looked(batches, { used: 0, usesNotMeasured: 2 })).toMatchObject({
      pace: 'not_known',
      usable: 800,
      notCountedOn: 110,
      lastsDays: null,
      reorder: false,
      inWords: 'Pace not known: 2 uses in 90 days, none of them with an amount.',
    });
    expect(looked([batch(300, null)], { usesNotMeasured: 1 })).toMatchObject({
      pace: 'measured',
      lastsDays: 30,
      inWords: 'At this pace it lasts 30 days. It goes faster: 1 use without an amount.',
    });
  });

  test('a young clinic takes the pace over the days that it has records for, from a week on', () => {
    expect([0, 6, 7, 30, 90, 400].map((days) => paceDaysOf(90, days))).toEqual([
      7, 7, 7, 30, 90, 90,
    ]);
  });

  test('an empty shelf is ordered for delivery and cover', () => {
    expect(looked([])).toMatchObject({ usable: 0, lastsDays: 0, emptyOn: today, orderAmount: 740 });
  });

  test.each<[string, ShelfFacts, string]>([
    ['less than nothing left', shelf([batch(1, null), batch(-1, null)]), '/batches/1/left'],
    ['less than nothing used', shelf([], { used: -1 }), '/used'],
    ['a window of a day', shelf([], { paceDays: 1 }), '/paceDays'],
    ['a delivery that is no number', shelf([], { leadDays: Number.NaN }), '/leadDays'],
    ['no cover', shelf([], { coverDays: 0 }), '/coverDays'],
  ])('%s is refused', (_title, facts, field) => {
    expect(shelfOutlook(facts)).toMatchObject({
      ok: false,
      reasons: [{ code: 'value-out-of-range', field }],
    });
  });

  test('usable and not counted on are what is there, and no batch more means less', () => {
    const anyBatch = fc
      .tuple(evenly(0, 2_000), fc.option(fc.integer({ min: -20, max: 400 })), fc.boolean())
      .map(([left, expiresInDays, quarantined]) => batch(left, expiresInDays, quarantined));
    fc.assert(
      fc.property(fc.array(anyBatch, { maxLength: 6 }), anyBatch, (batches, more) => {
        const told = looked(batches);
        const there = batches.reduce((sum, { left }) => sum + left, 0);
        expect(told.usable + told.notCountedOn).toBeCloseTo(there, 6);
        expect(told.usable).toBeGreaterThanOrEqual(0);
        expect(told.notCountedOn).toBeGreaterThanOrEqual(-1e-9);
        expect(looked([...batches, more]).usable).toBeGreaterThanOrEqual(told.usable - 1e-9);
      }),
    );
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  CHART_VALUES_FIRM,
  checkSocketsPerOrder,
  countByCause,
  firstFitRate,
  groupBy,
  individualsChart,
  judgeGrouping,
  monthOf,
  onTimeRate,
  proportion,
  quantile,
  turnaround,
  type OrderForQuality,
} from '../../src/domain/quality.ts';
import { evenly } from '../support/figures.ts';
import { day, refusalCodes } from '../support/limbs.ts';

const order = (over: Partial<OrderForQuality> = {}): OrderForQuality => ({
  order: 'KL-26-00001-X',
  fittings: ['accepted'],
  checkSockets: 1,
  promisedOn: day('2026-03-20'),
  deliveredOn: day('2026-03-20'),
  ...over,
});

describe('a share with its interval (C8)', () => {
  it('three of three is not certainty', () => {
    const { share, from, to } = proportion(3, 3);
    expect(share).toBe(1);
    expect(from).toBeCloseTo(0.4385, 4);
    expect(to).toBe(1);
  });

  it('of nothing nothing is said', () => {
    expect(proportion(0, 0)).toEqual({ count: 0, of: 0, share: null, from: 0, to: 1 });
  });

  it('none of ten begins at nothing exactly', () => {
    expect(proportion(0, 10).from).toBe(0);
  });

  it.each([
    [4, 3],
    [-1, 3],
    [1.5, 3],
    [1, 3.5],
    [Number.NaN, 3],
  ])('%d of %d is a fault of the program', (count, of) => {
    expect(() => proportion(count, of)).toThrow(RangeError);
  });

  it('the interval holds the share, lies within 0 to 1, and narrows with the count', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 5_000 }), fc.nat(5_000), (of, some) => {
        const count = some % (of + 1);
        const { share, from, to } = proportion(count, of);
        expect(from).toBeGreaterThanOrEqual(0);
        expect(to).toBeLessThanOrEqual(1);
        expect(from).toBeLessThanOrEqual(share!);
        expect(to).toBeGreaterThanOrEqual(share!);
        const tenTimes = proportion(10 * count, 10 * of);
        expect(tenTimes.to - tenTimes.from).toBeLessThan(to - from);
        const others = proportion(of - count, of);
        expect(others.from).toBeCloseTo(1 - to, 9);
      }),
    );
  });
});

describe('the clinic’s figures (C8)', () => {
  it('first fits: only the very first fitting of an order counts, and only of those fitted', () => {
    const rate = firstFitRate([
      order(),
      order({ fittings: ['rejected', 'accepted'] }),
      order({ fittings: ['accepted', 'rejected'] }),
      order({ fittings: [] }),
    ]);
    expect(rate).toMatchObject({ count: 2, of: 3 });
  });

  it('on time: the day itself is in time; without a promise or a delivery nothing is counted', () => {
    const rate = onTimeRate([
      order(),
      order({ deliveredOn: day('2026-03-19') }),
      order({ deliveredOn: day('2026-03-21') }),
      order({ promisedOn: null }),
      order({ deliveredOn: null }),
    ]);
    expect(rate).toMatchObject({ count: 2, of: 3 });
  });

  it('check sockets are counted over delivered orders', () => {
    const counted = checkSocketsPerOrder([
      order({ checkSockets: 2 }),
      order(),
      order(),
      order({ checkSockets: 0 }),
      order({ checkSockets: 9, deliveredOn: null }),
    ]);
    expect(counted).toMatchObject({
      orders: 4,
      checkSockets: 4,
      perOrder: 1,
      byNumber: [
        { checkSockets: 0, orders: { count: 1, of: 4 } },
        { checkSockets: 1, orders: { count: 2, of: 4 } },
        { checkSockets: 2, orders: { count: 1, of: 4 } },
      ],
    });
    expect(checkSocketsPerOrder([])).toEqual({
      orders: 0,
      checkSockets: 0,
      perOrder: null,
      byNumber: [],
    });
  });

  it('causes come the most frequent first, equal ones by name', () => {
    const counted = countByCause([
      'void',
      'crack',
      'dry_fibre',
      'crack',
      'void',
      'crack',
      'rattle',
    ]);
    expect(counted.map(({ cause, share }) => [cause, share.count, share.of])).toEqual([
      ['crack', 3, 7],
      ['void', 2, 7],
      ['dry_fibre', 1, 7],
      ['rattle', 1, 7],
    ]);
    expect(countByCause([])).toEqual([]);
  });

  it('turnaround is told by median and 90th percentile, with its count', () => {
    expect(turnaround([9, 1, 5, 3, 7])).toEqual({ orders: 5, median: 5, percentile90: 8.2 });
    // In binary fractions 26.200000000000003.
    expect(turnaround([10, 13, 16, 19, 22, 25, 28]).percentile90).toBe(26.2);
    expect(turnaround([4])).toEqual({ orders: 1, median: 4, percentile90: 4 });
    expect(turnaround([])).toEqual({ orders: 0, median: null, percentile90: null });
  });

  it('quantiles leave their input as it was, rise with the share, and stay among the values', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: -50, max: 500 }), { minLength: 1, maxLength: 30 }),
        evenly(0, 1),
        evenly(0, 1),
        (values, a, b) => {
          const before = [...values];
          const [low, high] = [quantile(values, Math.min(a, b)), quantile(values, Math.max(a, b))];
          expect(values).toEqual(before);
          expect(high!).toBeGreaterThanOrEqual(low! - 1e-9);
          expect(low!).toBeGreaterThanOrEqual(Math.min(...values));
          expect(high!).toBeLessThanOrEqual(Math.max(...values) + 1e-9);
        },
      ),
    );
  });

  it('by month the months come in their order', () => {
    const rows = [day('2026-03-02'), day('2025-12-31'), day('2026-03-31')];
    expect([...groupBy(rows, monthOf)]).toEqual([
      ['2025-12', ['2025-12-31']],
      ['2026-03', ['2026-03-02', '2026-03-31']],
    ]);
  });

  it('figures of a person are shown only where the clinic allows it', () => {
    expect(refusalCodes(judgeGrouping('technician', false))).toEqual([
      'quality-by-person-not-allowed',
    ]);
    expect(judgeGrouping('technician', true)).toEqual({ ok: true, value: 'technician' });
    expect(judgeGrouping('cause', false)).toEqual({ ok: true, value: 'cause' });
    expect(judgeGrouping('month', false)).toEqual({ ok: true, value: 'month' });
  });
});

describe('the control chart of turnaround (C8)', () => {
  it('marks an order that took far longer than the others differ, and the jumps to and from it', () => {
    const chart = individualsChart([10, 11, 10, 12, 11, 10, 40, 11, 10, 12, 11, 10])!;
    expect(chart.values.filter(({ outside }) => outside).map(({ value }) => value)).toEqual([40]);
    expect(chart.movingRanges.filter(({ outside }) => outside).map(({ range }) => range)).toEqual([
      30, 29,
    ]);
    const dip = individualsChart([10, 11, 10, 12, 11, 10, -20, 11, 10, 12, 11, 10])!;
    expect(dip.values.filter(({ outside }) => outside).map(({ value }) => value)).toEqual([-20]);
  });

  it('of fewer than two values there is none, and few values are provisional', () => {
    expect(individualsChart([])).toBeNull();
    expect(individualsChart([4])).toBeNull();
    const of = (count: number) => individualsChart(Array.from({ length: count }, (_, n) => n % 3))!;
    expect(of(CHART_VALUES_FIRM - 1).provisional).toBe(true);
    expect(of(CHART_VALUES_FIRM).provisional).toBe(false);
  });

  it('equal values have limits at their value, and none is outside', () => {
    const chart = individualsChart([7, 7, 7])!;
    expect([chart.lower, chart.centre, chart.upper, chart.upperRange]).toEqual([7, 7, 7, 0]);
    expect(chart.values.some(({ outside }) => outside)).toBe(false);
  });

  it('lies even about its mean, whatever is charted, and moves with it', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 0, max: 100 }), { minLength: 2, maxLength: 40 }),
        fc.integer({ min: 1, max: 50 }),
        (values, by) => {
          const chart = individualsChart(values)!;
          expect(chart.upper - chart.centre).toBeCloseTo(chart.centre - chart.lower, 9);
          const moved = individualsChart(values.map((value) => value + by))!;
          expect(moved.upper).toBeCloseTo(chart.upper + by, 9);
          expect(moved.meanMovingRange).toBeCloseTo(chart.meanMovingRange, 9);
        },
      ),
    );
  });
});

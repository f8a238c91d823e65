import { mean, quantileSeq } from 'mathjs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { individualsChart, proportion, quantile, Z_95 } from '../../src/domain/quality.ts';

describe('quality figures as published (C8)', () => {
  it.each([
    [81, 263, 0.2553, 0.3662],
    [15, 148, 0.0624, 0.1605],
    [0, 20, 0, 0.1611],
    [1, 29, 0.0061, 0.1718],
  ])(
    '%d of %d lies within %d to %d (Newcombe, Statistics in Medicine 1998;17:857, Table I, score method without continuity correction; from memory, recomputed)',
    (count, of, from, to) => {
      const wilson = proportion(count, of);
      expect(wilson.from).toBeCloseTo(from, 4);
      expect(wilson.to).toBeCloseTo(to, 4);
    },
  );

  it.each([
    [3, 3, 0.4385, 1],
    [0, 10, 0, 0.2775],
    [4, 20, 0.0807, 0.416],
  ])('%d of %d lies within %d to %d (computed by hand)', (count, of, from, to) => {
    const wilson = proportion(count, of);
    expect(wilson.from).toBeCloseTo(from, 4);
    expect(wilson.to).toBeCloseTo(to, 4);
  });

  it('the bounds solve the equation they come from: (p̂ − p)² = z²·p(1 − p)/n (Wilson 1927)', () => {
    fc.assert(
      fc.property(fc.integer({ min: 2, max: 2_000 }), fc.nat(2_000), (of, some) => {
        const count = 1 + (some % (of - 1));
        const { share, from, to } = proportion(count, of);
        for (const p of [from, to]) {
          expect((share! - p) ** 2).toBeCloseTo((Z_95 ** 2 * p * (1 - p)) / of, 10);
        }
      }),
    );
  });

  it('z is the 97.5 % point: the normal distribution to it holds 0.975 (Abramowitz and Stegun 26.2.1, integrated)', () => {
    const density = (x: number) => Math.exp((-x * x) / 2) / Math.sqrt(2 * Math.PI);
    const steps = 2_000;
    const step = Z_95 / steps;
    let sum = density(0) + density(Z_95);
    for (let n = 1; n < steps; n += 1) sum += density(n * step) * (n % 2 === 1 ? 4 : 2);
    expect(0.5 + (sum * step) / 3).toBeCloseTo(0.975, 12);
  });

  it('individuals chart of the flow rates (NIST/SEMATECH e-Handbook, 6.3.2.2, quoted by a public validation table)', () => {
    const chart = individualsChart([49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1])!;
    expect(chart.centre).toBeCloseTo(50.81, 10);
    expect(chart.meanMovingRange).toBeCloseTo(1.8778, 4);
    expect(chart.upper).toBeCloseTo(55.8041, 4);
    expect(chart.lower).toBeCloseTo(45.8159, 4);
    // With 3/d₂ rounded to 2.66 the limits would be 55.8049 and 45.8151.
    expect(chart.upper).not.toBeCloseTo(55.8049, 4);
    expect(chart.values.some(({ outside }) => outside)).toBe(false);
    expect(chart.upperRange).toBeCloseTo(3.267 * 1.8778, 3);
  });

  it('quantiles are those of mathjs (definition 7 of Hyndman and Fan)', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 0, max: 200 }), { minLength: 1, maxLength: 40 }),
        fc.constantFrom(0, 0.1, 0.25, 0.5, 0.9, 1),
        (values, share) => {
          expect(quantile(values, share)).toBeCloseTo(quantileSeq(values, share), 9);
        },
      ),
    );
    expect(individualsChart([3, 5, 10])!.centre).toBe(mean(3, 5, 10));
  });
});

import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  costsBy,
  judgeNewCurrency,
  orderCost,
  socketCost,
  type CostTotals,
  type OrderCost,
  type SocketCost,
  type SocketUses,
} from '../../src/domain/cost.ts';
import { evenly } from '../support/figures.ts';
import { refusalCodes } from '../support/limbs.ts';

const uses = (over: Partial<SocketUses> = {}): SocketUses => ({
  socket: 'KL-26-00001-X/D1',
  remake: false,
  materials: [],
  hardware: [],
  labour: [],
  ...over,
});
function costed(over: Partial<SocketUses>): SocketCost {
  const verdict = socketCost(uses(over));
  if (!verdict.ok) throw new Error(refusalCodes(verdict).join());
  return verdict.value;
}
function orderCosted(sockets: readonly SocketUses[]): OrderCost {
  const verdict = orderCost(sockets);
  if (!verdict.ok) throw new Error(refusalCodes(verdict).join());
  return verdict.value;
}
const resin = { what: 'Resin R-1', amount: 191.4, batchQuantity: 5_000, batchPriceMinor: 18_900 };
const lock = { itemId: 'lock', what: 'Lock serial 1', priceMinor: 24_950 };
const lamination = { what: 'Laminate', minutes: 90, ratePerHourMinor: 6_800 };

describe('the cost of a socket (C7)', () => {
  test('materials by their share of the batch, hardware by the piece, labour by the minute', () => {
    const told = costed({ materials: [resin], hardware: [lock], labour: [lamination] });
    // 18 900 · 191.4 / 5 000 = 723.492; 6 800 · 90 / 60 = 10 200.
    expect(told.lines).toEqual([
      { kind: 'material', what: 'Resin R-1', costMinor: 723 },
      { kind: 'hardware', what: 'Lock serial 1', costMinor: 24_950 },
      { kind: 'labour', what: 'Laminate', costMinor: 10_200 },
    ]);
    expect(told).toMatchObject({
      materialMinor: 723,
      hardwareMinor: 24_950,
      labourMinor: 10_200,
      totalMinor: 35_873,
      notCosted: [],
    });
  });

  test('half a cent goes up, and decimal grams are decimal', () => {
    const line = (amount: number, batchQuantity: number, batchPriceMinor: number) =>
      costed({ materials: [{ what: 'x', amount, batchQuantity, batchPriceMinor }] }).totalMinor;
    expect(line(1, 2, 1)).toBe(1);
    expect(line(1, 2.001, 1)).toBe(0);
    // 0.145 · 1000 is 144.99999999999997 by binary fractions.
    expect(line(0.145, 1, 100)).toBe(15);
    expect(line(1.005, 1, 100)).toBe(101);
    expect(line(0, 5, 900)).toBe(0);
  });

  test('what has no price and what has no minutes is named, not taken for nothing', () => {
    const told = costed({
      materials: [resin, { ...resin, what: 'Braid B-7', batchPriceMinor: null }],
      hardware: [{ ...lock, priceMinor: null }],
      labour: [
        lamination,
        { ...lamination, what: 'Cure', minutes: null },
        { ...lamination, what: 'Finish', ratePerHourMinor: null },
      ],
    });
    expect(told.notCosted).toEqual(['Braid B-7', 'Lock serial 1', 'Cure', 'Finish']);
    expect(told.totalMinor).toBe(723 + 10_200);
  });

  test.each<[string, Partial<SocketUses>, string, string]>([
    [
      'money with a fraction of a cent',
      { hardware: [{ ...lock, priceMinor: 249.5 }] },
      'money-not-whole',
      '/hardware/0/priceMinor',
    ],
    [
      'a price below nothing',
      { materials: [{ ...resin, batchPriceMinor: -1 }] },
      'value-out-of-range',
      '/materials/0/batchPriceMinor',
    ],
    [
      'a batch of nothing',
      { materials: [{ ...resin, batchQuantity: 0 }] },
      'value-out-of-range',
      '/materials/0/batchQuantity',
    ],
    [
      'an amount that is no number',
      { materials: [resin, { ...resin, amount: Number.NaN }] },
      'value-out-of-range',
      '/materials/1/amount',
    ],
    [
      'minutes below nothing',
      { labour: [{ ...lamination, minutes: -5 }] },
      'value-out-of-range',
      '/labour/0/minutes',
    ],
    [
      'a rate without end',
      { labour: [{ ...lamination, ratePerHourMinor: Infinity }] },
      'value-out-of-range',
      '/labour/0/ratePerHourMinor',
    ],
  ])('%s is refused', (_title, over, code, field) => {
    const verdict = socketCost(uses(over));
    expect(verdict.ok ? [] : verdict.reasons).toMatchObject([{ code, field }]);
  });
});

describe('the cost of an order (C7)', () => {
  const check = uses({ socket: 'C1', hardware: [lock], labour: [lamination] });
  const definitive = uses({ socket: 'D1', hardware: [lock], materials: [resin] });

  test('the lock that went from the check socket into the definitive one is paid once', () => {
    const told = orderCosted([check, definitive]);
    expect(told.hardwareMinor).toBe(24_950);
    expect(told.sockets.map(({ socket, hardwareMinor }) => [socket, hardwareMinor])).toEqual([
      ['C1', 0],
      ['D1', 24_950],
    ]);
    expect(told).toMatchObject({ totalMinor: 24_950 + 10_200 + 723, remakeMinor: 0 });
    expect(check.hardware).toEqual([lock]);
  });

  test('what was spent on remakes is told apart', () => {
    const remake = uses({ socket: 'D2', remake: true, materials: [resin], labour: [lamination] });
    expect(orderCosted([check, definitive, remake])).toMatchObject({
      remakeMinor: 10_923,
      totalMinor: 24_950 + 2 * 10_200 + 2 * 723,
    });
  });

  test('an order without a socket costs nothing', () => {
    expect(orderCosted([])).toMatchObject({ totalMinor: 0, sockets: [], notCosted: [] });
  });

  test('what is wrong is told with the socket that it is in', () => {
    const verdict = orderCost([check, uses({ hardware: [{ ...lock, priceMinor: 0.5 }] })]);
    expect(verdict.ok ? [] : verdict.reasons).toMatchObject([
      { code: 'money-not-whole', field: '/sockets/1/hardware/0/priceMinor' },
    ]);
  });

  test('months are summed and counted in the order in which they come', () => {
    const { sockets } = orderCosted([check, definitive]);
    const lacking: CostTotals = { ...sockets[0]!, notCosted: ['Cure'] };
    expect(
      costsBy([
        { key: '2026-02', totals: sockets[0]! },
        { key: '2026-03', totals: sockets[1]! },
        { key: '2026-02', totals: lacking },
      ]),
    ).toEqual([
      { key: '2026-02', count: 2, totalMinor: 20_400, notCosted: 1 },
      { key: '2026-03', count: 1, totalMinor: 25_673, notCosted: 0 },
    ]);
  });
});

describe('laws of the account (C7)', () => {
  const money = fc.option(fc.integer({ min: 0, max: 1_000_000_000 }));
  const what = fc.constantFrom('Resin', 'Braid', 'Lock', 'Trim');
  const anyUses: fc.Arbitrary<SocketUses> = fc.record({
    socket: fc.constantFrom('C1', 'D1', 'D2'),
    remake: fc.boolean(),
    materials: fc.array(
      fc.record({
        what,
        amount: evenly(0, 100_000),
        batchQuantity: fc.double({ min: 0.001, max: 100_000, noNaN: true }),
        batchPriceMinor: fc.option(fc.integer({ min: 0, max: 100_000 })),
      }),
      { maxLength: 4 },
    ),
    hardware: fc.array(
      fc.record({ itemId: fc.constantFrom('a', 'b', 'c'), what, priceMinor: money }),
      { maxLength: 3 },
    ),
    labour: fc.array(
      fc.record({
        what,
        minutes: fc.option(fc.integer({ min: 0, max: 10_000 })),
        ratePerHourMinor: fc.option(fc.integer({ min: 0, max: 100_000 })),
      }),
      { maxLength: 4 },
    ),
  });

  test('every sum is whole, never below nothing, and the sum of its lines', () => {
    fc.assert(
      fc.property(fc.array(anyUses, { maxLength: 4 }), (sockets) => {
        const told = orderCosted(sockets);
        const lines = told.sockets.flatMap((socket) => socket.lines);
        const sum = lines.reduce((total, { costMinor }) => total + (costMinor ?? 0), 0);
        expect(told.totalMinor).toBe(sum);
        expect(told.totalMinor).toBe(
          told.sockets.reduce((total, { totalMinor }) => total + totalMinor, 0),
        );
        expect(told.totalMinor).toBe(told.materialMinor + told.hardwareMinor + told.labourMinor);
        expect(told.remakeMinor).toBeLessThanOrEqual(told.totalMinor);
        expect(told.notCosted).toHaveLength(
          lines.filter(({ costMinor }) => costMinor === null).length,
        );
        for (const { costMinor } of lines) {
          expect(costMinor === null || (Number.isInteger(costMinor) && costMinor >= 0)).toBe(true);
        }
      }),
    );
  });

  test('a whole batch costs what it cost, and more of it never costs less', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 1_000_000 }),
        fc.integer({ min: 0, max: 1_000_000_000 }),
        fc.integer({ min: 0, max: 999 }),
        (batchQuantity, batchPriceMinor, part) => {
          const of = (amount: number) =>
            costed({ materials: [{ what: 'x', amount, batchQuantity, batchPriceMinor }] })
              .totalMinor;
          expect(of(batchQuantity)).toBe(batchPriceMinor);
          expect(of((batchQuantity * part) / 1_000)).toBeLessThanOrEqual(
            of((batchQuantity * (part + 1)) / 1_000),
          );
        },
      ),
    );
  });
});

describe('another currency (C7)', () => {
  test('is refused while money is kept in the one that stands, and told what', () => {
    const against = (batches: number, items: number, labourRate: boolean) =>
      judgeNewCurrency('EUR', { batches, items, labourRate });
    expect(against(0, 0, false)).toEqual([]);
    expect(against(2, 31, true)).toMatchObject([
      {
        code: 'currency-in-use',
        detail:
          'Kept in EUR: prices of batches (2), prices of pieces (31), the labour rate. In another currency they would be other amounts.',
      },
    ]);
    expect(against(0, 1, false)[0]?.detail).toContain('Kept in EUR: prices of pieces (1).');
  });
});

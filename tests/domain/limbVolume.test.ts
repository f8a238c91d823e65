import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Day } from '../../src/domain/days.ts';
import {
  compareMeasureSets,
  earlierFirst,
  questionCast,
  questionDecision,
  questionNewest,
  questionPair,
  questionVolumeSettings,
  STARTING_VOLUME_SETTINGS,
  type SetInOrder,
  type SetOfALimb,
  VOLUME_DECISIONS,
  type VolumeComparison,
  type VolumeSettings,
} from '../../src/domain/limbVolume.ts';
import type { LimbMeasure } from '../../src/domain/measures.ts';
import { codes, refusalCodes } from '../support/limbs.ts';

const atCast: LimbMeasure[] = [
  { heightMm: 0, circumferenceMm: 232 },
  { heightMm: 40, circumferenceMm: 268 },
  { heightMm: 80, circumferenceMm: 297 },
  { heightMm: 120, circumferenceMm: 321 },
];
const scaled = (factor: number): LimbMeasure[] =>
  atCast.map((each) => ({ ...each, circumferenceMm: each.circumferenceMm * factor }));
const inMl = (perPly: number, limitPercent = 5): VolumeSettings => ({
  ply: { means: 'mL', perPly },
  limitPercent,
});

function compared(
  first: readonly LimbMeasure[],
  second: readonly LimbMeasure[],
  settings = STARTING_VOLUME_SETTINGS,
): VolumeComparison {
  const verdict = compareMeasureSets(first, second, settings);
  if (!verdict.ok) throw new Error(refusalCodes(verdict).join());
  return verdict.value;
}

describe('a limb on two days (C1)', () => {
  test('a limb that lost three per cent of its girth lost six of its volume, and a decision is asked for', () => {
    const told = compared(atCast, scaled(0.97));
    expect(told.percent).toBeCloseTo(100 * (0.97 ** 2 - 1), 9);
    expect(told.differenceMl).toBeCloseTo(told.secondMl - told.firstMl, 12);
    // 5.91 % at 1.2 % for a ply.
    expect(told.ply).toBe(5);
    expect(told.asks).toMatchObject({
      code: 'limb-volume-changed',
      facts: { limitPercent: 5, ply: 5, fromMm: 0, toMm: 120 },
    });
    expect(told.asks?.detail).toContain('lost');
    expect(told.asks?.detail).toContain('5 ply of sock more');
    expect(told.asks?.wayOut).toContain('new cast');
    expect(VOLUME_DECISIONS).toEqual(['new_cast', 'socks', 'as_is']);
  });

  test('a limb that has swollen takes socks off', () => {
    const told = compared(atCast, scaled(1.04), inMl(20));
    expect(told.differenceMl).toBeGreaterThan(0);
    expect(told.ply).toBe(Math.round(-told.differenceMl / 20));
    expect(told.asks?.detail).toContain('gained');
    expect(told.asks?.detail).toContain('ply of sock less');
  });

  test('a change up to the limit asks nothing, one past it does', () => {
    const settings = { ...STARTING_VOLUME_SETTINGS, limitPercent: 10 };
    expect(compared(atCast, scaled(0.97), settings).asks).toBeNull();
    expect(compared(atCast, scaled(0.94), settings).asks).not.toBeNull();
  });

  test('only the heights that both tables have are compared, cut where one of them ends', () => {
    const shorter = [
      { heightMm: 20, circumferenceMm: 250 },
      ...atCast.slice(1, 3),
      { heightMm: 100, circumferenceMm: 309 },
    ];
    const told = compared(atCast, shorter);
    expect(told).toMatchObject({ fromMm: 20, toMm: 100, asks: null, ply: 0 });
    expect(told.differenceMl).toBeCloseTo(0, 9);
  });

  test('tables with less than 40 mm in common are not compared', () => {
    const above = atCast.map((each) => ({ ...each, heightMm: each.heightMm + 90 }));
    expect(refusalCodes(compareMeasureSets(atCast, above, STARTING_VOLUME_SETTINGS))).toEqual([
      'measures-do-not-overlap',
    ]);
    const just = atCast.map((each) => ({ ...each, heightMm: each.heightMm + 80 }));
    expect(compared(atCast, just)).toMatchObject({ fromMm: 80, toMm: 120 });
  });

  test('a table that is none is told with the side it is on', () => {
    const verdict = compareMeasureSets([], [...atCast].reverse(), STARTING_VOLUME_SETTINGS);
    expect(verdict.ok ? [] : verdict.reasons.map(({ code, field }) => [code, field])).toEqual([
      ['measures-too-few', '/first'],
      ['measures-implausible', '/second/1'],
      ['measures-implausible', '/second/2'],
      ['measures-implausible', '/second/3'],
    ]);
  });

  test.each<[string, VolumeSettings, string]>([
    ['a ply of half a litre', inMl(500), '/ply/perPly'],
    ['a ply of no volume', inMl(0), '/ply/perPly'],
    [
      'a ply of twelve per cent',
      { ply: { means: 'percent', perPly: 12 }, limitPercent: 5 },
      '/ply/perPly',
    ],
    ['a limit that is never passed', inMl(20, 80), '/limitPercent'],
    ['a limit that is no number', inMl(20, Number.NaN), '/limitPercent'],
  ])('settings with %s are refused', (_title, settings, field) => {
    expect(questionVolumeSettings(settings)).toMatchObject([{ code: 'value-out-of-range', field }]);
    expect(compareMeasureSets(atCast, atCast, settings).ok).toBe(false);
  });

  test('what a clinic starts with stands', () => {
    expect(questionVolumeSettings(STARTING_VOLUME_SETTINGS)).toEqual([]);
  });

  test('compared the other way round, mL and ply have the other sign', () => {
    const table = fc
      .array(
        fc.record({
          riseMm: fc.double({ min: 20, max: 60, noNaN: true }),
          circumferenceMm: fc.double({ min: 150, max: 600, noNaN: true }),
        }),
        { minLength: 4, maxLength: 8 },
      )
      .map((rows) => {
        let heightMm = -20;
        return rows.map(({ riseMm, circumferenceMm }) => {
          heightMm += riseMm;
          return { heightMm, circumferenceMm };
        });
      });
    fc.assert(
      fc.property(table, table, fc.integer({ min: 5, max: 60 }), (first, second, perPly) => {
        const there = compareMeasureSets(first, second, inMl(perPly));
        const back = compareMeasureSets(second, first, inMl(perPly));
        expect(there.ok).toBe(back.ok);
        if (!there.ok || !back.ok) return;
        expect(there.value.differenceMl + back.value.differenceMl).toBe(0);
        expect(there.value.ply + back.value.ply).toBe(0);
        expect([there.value.fromMm, there.value.toMm]).toEqual([
          back.value.fromMm,
          back.value.toMm,
        ]);
        expect(Number.isFinite(there.value.percent)).toBe(true);
      }),
    );
  });

  test('a limb that stayed as it was lost nothing, and no sock is added or taken off', () => {
    expect(compared(atCast, atCast)).toMatchObject({
      differenceMl: 0,
      percent: 0,
      ply: 0,
      asks: null,
    });
    const hair = compared(atCast, scaled(1.0001));
    expect(Object.is(hair.ply, 0)).toBe(true);
  });
});

describe('two sets of measures', () => {
  const set = (over: Partial<SetOfALimb> = {}): SetOfALimb => ({
    id: 'a',
    patientId: 'patient',
    side: 'left',
    level: 'trans_tibial',
    orderNumber: 'KL-26-00001-X',
    takenOn: '2026-03-02' as Day,
    ...over,
  });

  test('are of one limb: one patient, one side, one level', () => {
    expect(questionPair(set(), set({ id: 'b', orderNumber: 'KL-26-00009-Y' }))).toEqual([]);
    for (const other of [
      { patientId: 'another' },
      { side: 'right' },
      { level: 'trans_femoral' },
    ] as const) {
      const reasons = questionPair(set(), set({ id: 'b', ...other }));
      expect(codes(reasons)).toEqual(['measure-sets-of-two-limbs']);
      // Two orders are named, no patient.
      expect(reasons[0]?.detail).not.toMatch(/patient|another/);
    }
  });

  test('are two: a set is not compared with itself', () => {
    expect(codes(questionPair(set(), set()))).toEqual(['measure-set-with-itself']);
  });

  test('are told from the earlier to the later, whichever is named first', () => {
    const later = set({ id: '0', takenOn: '2026-03-09' as Day });
    expect(earlierFirst(later, set())).toEqual([set(), later]);
    expect(earlierFirst(set(), later)).toEqual([set(), later]);
    const sameDay = set({ id: 'b' });
    expect(earlierFirst(sameDay, set())).toEqual([set(), sameDay]);
  });

  test('are decided on while they are the newest: of the order’s accepted cast, and of the limb', () => {
    const own = (id: string, over: Partial<SetInOrder> = {}): SetInOrder => ({
      ...set({ id, takenOn: `2026-03-0${id}` as Day }),
      orderId: 'order',
      stage: 'check_fitting',
      castState: null,
      ...over,
    });
    const cast = own('1', { castState: 'accepted' });
    const thinner = own('2');
    const asked = (second: SetInOrder, since: readonly SetInOrder[]) =>
      questionNewest(cast, second, [cast, thinner, ...since]);
    expect(asked(thinner, [])).toEqual([]);
    // Neither the other leg, nor what was cancelled, nor the cast of another order is newer here.
    for (const other of [
      own('3', { side: 'right' }),
      own('3', { level: 'trans_femoral' }),
      own('3', { stage: 'cancelled' }),
    ]) {
      expect(asked(thinner, [other])).toEqual([]);
    }
    const elsewhere = own('3', { castState: 'accepted', orderId: 'another order' });
    expect(asked(elsewhere, [elsewhere])).toEqual([]);
    expect(asked(thinner, [own('3')])).toMatchObject([
      {
        code: 'not-the-newest-measures',
        detail:
          'The decision named is on the sets of 2026-03-01 and 2026-03-02; the newest accepted cast of the order was taken on 2026-03-01, the newest measures of the limb on 2026-03-03.',
      },
    ]);
    const later = own('3', { castState: 'accepted' });
    expect(codes(asked(later, [later]))).toEqual(['not-the-newest-measures']);
    const never = questionNewest(thinner, own('3'), []);
    expect(never[0]?.detail).toContain(
      'cast of the order is none, the newest measures of the limb are none',
    );
  });

  test('after which a new cast was decided leave nothing to make from the old one', () => {
    expect(questionCast('KL-26-00001-X/C1', 1, null)).toEqual([]);
    const decided = (socket: string | null) =>
      questionCast(socket, 1, '2026-03-02' as Day)[0]?.detail;
    expect(decided('KL-26-00001-X/C1')).toContain('KL-26-00001-X/C1 still comes from cast 1');
    expect(decided(null)).toContain('nothing more is made from cast 1');
  });

  test('within the limit ask for no decision', () => {
    expect(codes(questionDecision(compared(atCast, scaled(0.99)), 5))).toEqual([
      'no-decision-asked',
    ]);
    expect(questionDecision(compared(atCast, scaled(0.9)), 5)).toEqual([]);
  });
});

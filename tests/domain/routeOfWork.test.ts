import { describe, expect, test } from 'vitest';
import { STARTING_BENCHES } from '../../src/domain/benchLoad.ts';
import type { OperationKind } from '../../src/domain/operations.ts';
import { judgePartEntry, settingCarriers } from '../../src/domain/partEntry.ts';
import { judgeBenches, judgeRoute, type RouteOperation } from '../../src/domain/routeOfWork.ts';
import { STARTING_ROUTES } from '../../src/domain/startingRoutes.ts';
import { SUSPENSIONS } from '../../src/domain/words.ts';

const starting = (socketKind: string, suspension: string): readonly RouteOperation[] =>
  STARTING_ROUTES.find(
    (route) => route.socketKind === socketKind && route.suspension === suspension,
  )?.operations ?? [];
const definitive = starting('definitive', 'pin_lock');
const codes = (operations: readonly RouteOperation[]) =>
  judgeRoute('definitive', operations).map(({ code, facts }) => [code, facts['operation']]);

const BENCHES = STARTING_BENCHES.map(({ name }) => name);

describe('the starting routes', () => {
  test('each kind of socket has one for each suspension', () => {
    expect(STARTING_ROUTES).toHaveLength(2 * SUSPENSIONS.length);
  });

  test.each(STARTING_ROUTES.map((route) => [route.name, route] as const))(
    '%s obeys the rules of routes',
    (_name, route) => {
      expect(judgeRoute(route.socketKind, route.operations)).toEqual([]);
    },
  );

  test('every operation has its bench and its minutes', () => {
    for (const { operations } of STARTING_ROUTES) {
      expect(judgeBenches(operations, BENCHES)).toEqual([]);
      for (const { bench, plannedMinutes } of operations) {
        expect(bench).not.toBeNull();
        expect(plannedMinutes).toBeGreaterThan(0);
      }
    }
  });

  test('only the pin lock has lock steps', () => {
    for (const { suspension, operations } of STARTING_ROUTES) {
      const locks = operations.filter(
        ({ kind }) => kind === 'check_lock' || kind === 'mount_dummy',
      );
      expect(locks.length > 0).toBe(suspension === 'pin_lock');
    }
  });

  test('resin, solvent, heat and dust come with their cautions', () => {
    const cautions = Object.fromEntries(definitive.map(({ kind, caution }) => [kind, caution]));
    expect(cautions['laminate']).toMatch(/gloves/);
    expect(cautions['seal_model']).toMatch(/no flame/);
    expect(cautions['grind_flush']).toMatch(/extraction/);
    for (const caution of Object.values(cautions)) {
      if (caution !== null) expect(caution).toMatch(/maker's instructions and the local rules/);
    }
  });

  test('laminating asks for the vacuum with limits; its batches stand with the cups', () => {
    const checks = definitive.find(({ kind }) => kind === 'laminate')?.checks ?? [];
    expect(checks.filter(({ kind }) => kind === 'batch')).toEqual([]);
    expect(checks).toContainEqual(expect.objectContaining({ unit: 'kPa', min: 50, max: 98 }));
  });
});

describe('a route as written (R6)', () => {
  const without = (kind: string) => definitive.filter((operation) => operation.kind !== kind);
  const moved = (kind: OperationKind, to: number) => {
    const rest = without(kind);
    const operation = definitive.find((each) => each.kind === kind);
    return operation === undefined ? rest : [...rest.slice(0, to), operation, ...rest.slice(to)];
  };

  test.each(['lay_up', 'laminate', 'cure', 'inspect_chamber', 'torque_joints'])(
    'without %s a definitive socket is never done',
    (kind) => {
      expect(codes(without(kind))).toContainEqual(['route-lacks-operation', kind]);
    },
  );

  test('hardware does not go in before the chamber is inspected', () => {
    expect(codes(moved('fit_hardware', 3))).toEqual([['route-order-wrong', 'fit_hardware']]);
  });

  test('the dummy that went in comes out before the chamber is inspected', () => {
    expect(codes(moved('pull_dummy', 14))).toEqual([['route-order-wrong', 'inspect_chamber']]);
  });

  test('the dummy that goes in comes out: a route that mounts one pulls one', () => {
    expect(codes(without('pull_dummy'))).toEqual([['route-lacks-operation', 'pull_dummy']]);
    const neither = without('pull_dummy').filter(({ kind }) => kind !== 'mount_dummy');
    expect(codes(neither)).toEqual([]);
  });

  test('an operation is done at a bench in use, or at none that is named', () => {
    const [first, second, ...rest] = definitive;
    const operations = [{ ...first!, bench: 'Sewing table' }, { ...second!, bench: null }, ...rest];
    expect(judgeBenches(operations, BENCHES)).toMatchObject([
      {
        code: 'route-bench-unknown',
        field: '/operations/0/bench',
        facts: { operation: 'Prepare the model', bench: 'Sewing table' },
      },
    ]);
  });

  test('a slip of the keys in planned minutes is answered; none need be planned', () => {
    const [first, ...rest] = definitive;
    const planned = (plannedMinutes: number | null) =>
      judgeRoute('definitive', [{ ...first!, plannedMinutes }, ...rest]);
    expect(planned(null)).toEqual([]);
    for (const minutes of [0, -5, 1_441]) {
      expect(planned(minutes)).toMatchObject([
        { code: 'value-out-of-range', field: '/operations/0/plannedMinutes' },
      ]);
    }
  });

  test('a check socket is not laminated', () => {
    const reasons = judgeRoute('check', definitive);
    expect(reasons.map(({ code }) => code)).toContain('route-operation-misplaced');
  });
});

describe('a catalogue entry (R3, R4)', () => {
  const pyramid = {
    kind: 'pyramid',
    name: 'Pyramid',
    thread: 'M6',
    pinFit: null,
    ratedBodyMassKg: 100,
    leastClicks: null,
    rangeDeg: null,
  } as const;

  test('what carries the wearer states a rating', () => {
    expect(judgePartEntry(pyramid)).toEqual([]);
    expect(judgePartEntry({ ...pyramid, ratedBodyMassKg: null }).map(({ code }) => code)).toEqual([
      'rating-missing',
    ]);
    expect(judgePartEntry({ ...pyramid, kind: 'spring', ratedBodyMassKg: null })).toEqual([]);
  });

  test('clicks belong to locks and pins', () => {
    expect(judgePartEntry({ ...pyramid, leastClicks: 3 })[0]?.field).toBe('/leastClicks');
    expect(judgePartEntry({ ...pyramid, kind: 'lock', leastClicks: 3, pinFit: 'x' })).toEqual([]);
  });

  test('a range belongs to what tilts, and is told in degrees', () => {
    expect(judgePartEntry({ ...pyramid, rangeDeg: 10 })).toEqual([]);
    expect(judgePartEntry({ ...pyramid, kind: 'four_hole_adapter', rangeDeg: 8 })).toEqual([]);
    const [misfit] = judgePartEntry({ ...pyramid, kind: 'lock_plate', rangeDeg: 8 });
    expect(misfit).toMatchObject({ code: 'part-field-misfits', field: '/rangeDeg' });
    expect(misfit?.detail).toContain('a pyramid or a four hole adapter has');
    expect(judgePartEntry({ ...pyramid, rangeDeg: 90 })[0]).toMatchObject({
      code: 'value-out-of-range',
      field: '/rangeDeg',
    });
  });

  test('the distal joint is set by pyramid or adapter', () => {
    expect(settingCarriers('distal')).toEqual(['pyramid', 'four_hole_adapter']);
    expect(settingCarriers('release_valve')).toEqual(['release_valve']);
  });
});

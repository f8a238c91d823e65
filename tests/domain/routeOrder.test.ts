/** What a route of work must have, in which order, and what its checks may ask (R6). */
import { describe, expect, test } from 'vitest';
import type { Check, OperationKind } from '../../src/domain/operations.ts';
import { judgeRoute, type RouteOperation } from '../../src/domain/routeOfWork.ts';
import { STARTING_ROUTES } from '../../src/domain/startingRoutes.ts';

const starting = (socketKind: string, suspension: string): readonly RouteOperation[] =>
  STARTING_ROUTES.find(
    (route) => route.socketKind === socketKind && route.suspension === suspension,
  )?.operations ?? [];
const definitive = starting('definitive', 'pin_lock');
const codes = (operations: readonly RouteOperation[]) =>
  judgeRoute('definitive', operations).map(({ code, facts }) => [code, facts['operation']]);
const without = (kind: OperationKind) => definitive.filter((each) => each.kind !== kind);
const moved = (kind: OperationKind, to: number) => {
  const operation = definitive.filter((each) => each.kind === kind);
  return without(kind).toSpliced(to, 0, ...operation);
};

describe('a route as an administrator writes it (R6)', () => {
  test.each<[OperationKind, OperationKind]>([
    ['lay_up', 'laminate'],
    ['laminate', 'cure'],
    ['cure', 'inspect_chamber'],
    ['inspect_chamber', 'torque_joints'],
    ['mount_dummy', 'pull_dummy'],
    ['mount_dummy', 'lay_up'],
    ['pull_dummy', 'inspect_chamber'],
    ['inspect_chamber', 'fit_hardware'],
    ['fit_hardware', 'torque_joints'],
    ['check_lock', 'finish'],
  ])('%s comes before %s', (earlier, later) => {
    const at = definitive.findIndex(({ kind }) => kind === earlier);
    const misplaced = moved(later, at);
    expect(judgeRoute('definitive', misplaced)).toContainEqual(
      expect.objectContaining({
        code: 'route-order-wrong',
        facts: { operation: later, after: earlier },
        field: `/operations/${at}`,
      }),
    );
  });

  test('an operation that comes first of all is in the wrong order as well', () => {
    expect(judgeRoute('definitive', moved('laminate', 0))).toMatchObject([
      {
        code: 'route-order-wrong',
        facts: { operation: 'laminate', after: 'lay_up' },
        field: '/operations/0',
      },
    ]);
  });

  test('a socket is laminated once: recipe, cups and cure are those of one lamination', () => {
    const at = definitive.findIndex(({ kind }) => kind === 'laminate');
    const second = { ...definitive[at]!, title: 'Second lamination' };
    expect(judgeRoute('definitive', definitive.toSpliced(at + 1, 0, second))).toMatchObject([
      {
        code: 'route-operation-twice',
        facts: { operation: 'laminate' },
        field: `/operations/${at + 1}/kind`,
      },
    ]);
  });

  test('a model is prepared before a sheet is drawn over it', () => {
    const check = starting('check', 'pin_lock');
    expect(judgeRoute('check', check.toReversed())).toContainEqual(
      expect.objectContaining({ facts: { operation: 'thermoform', after: 'prepare_model' } }),
    );
  });

  test('what a route does not have is in no wrong order', () => {
    const suction = starting('definitive', 'suction');
    expect(suction.map(({ kind }) => kind)).not.toContain('mount_dummy');
    expect(codes(suction)).toEqual([]);
    expect(codes(without('fit_hardware'))).toEqual([]);
  });

  test('a check socket is not laminated, and needs only its joints torqued', () => {
    const at = definitive.findIndex(({ kind }) => kind === 'laminate');
    expect(judgeRoute('check', definitive)).toContainEqual(
      expect.objectContaining({
        code: 'route-operation-misplaced',
        facts: { operation: 'laminate', socketKind: 'check' },
        field: `/operations/${at}/kind`,
      }),
    );
    expect(judgeRoute('check', [])).toMatchObject([
      {
        code: 'route-lacks-operation',
        facts: { socketKind: 'check', operation: 'torque_joints' },
        field: '/operations',
      },
    ]);
  });

  const vacuum = (key: string, min: number | null, max: number | null): Check => ({
    kind: 'measured',
    key,
    ask: 'What is the vacuum?',
    unit: 'kPa',
    min,
    max,
  });
  const asking = (checks: readonly Check[]) =>
    judgeRoute(
      'definitive',
      definitive.map((each) => (each.kind === 'laminate' ? { ...each, checks } : each)),
    );
  const laminating = definitive.findIndex(({ kind }) => kind === 'laminate');

  test('two checks of one operation have two keys', () => {
    expect(asking([vacuum('first', 50, 98), vacuum('then', 50, 98)])).toEqual([]);
    expect(asking([vacuum('vacuum', 50, 98), vacuum('vacuum', 60, 98)])).toMatchObject([
      {
        code: 'route-check-twice',
        facts: { operation: definitive[laminating]?.title, key: 'vacuum' },
        field: `/operations/${laminating}/checks/1/key`,
      },
    ]);
  });

  test.each<[string, number | null, number | null, boolean]>([
    ['both, the least below', 50, 98, true],
    ['both the same', 60, 60, true],
    ['only the least', 50, null, true],
    ['only the greatest', null, 98, true],
    ['only the least, and that nought', 0, null, true],
    ['only the greatest, and that below nought', null, -5, true],
    ['the least above the greatest', 98, 50, false],
    ['neither', null, null, false],
  ])('limits of a measure: %s', (_title, min, max, kept) => {
    const refusal = {
      code: 'route-limits-wrong',
      facts: { check: 'What is the vacuum?', min, max },
      field: `/operations/${laminating}/checks/0`,
    };
    expect(asking([vacuum('vacuum', min, max)])).toMatchObject(kept ? [] : [refusal]);
  });
});

/**
 * A route as an administrator writes it: the operations of one kind of socket
 * in order. It is judged as a whole, so that no socket starts on a route it
 * could never finish.
 */
import { isSameBench } from './benchLoad.ts';
import { OPERATION_KINDS, type Check, type OperationKind } from './operations.ts';
import { questionRange, type Range } from './ranges.ts';
import { reason, type Reason } from './reasons/index.ts';
import type { SocketKind } from './words.ts';

/** One operation of a route, with the checks it asks when it is done. */
export interface RouteOperation {
  readonly kind: OperationKind;
  readonly title: string;
  readonly checks: readonly Check[];
  readonly caution: string | null;
  /** Name of the bench where it is done, and how many minutes are planned for it (C5); null: not planned. */
  readonly bench: string | null;
  readonly plannedMinutes: number | null;
}

/** What a definitive socket's route must have, in this order (R6). */
const DEFINITIVE_ORDER: readonly OperationKind[] = [
  'lay_up',
  'laminate',
  'cure',
  'inspect_chamber',
  'torque_joints',
];
/** A check socket may be formed, printed or cast: only its joints must be torqued. */
const CHECK_ORDER: readonly OperationKind[] = ['torque_joints'];

/** What a route has once: the recipe, its cups and the hours of curing are those of one lamination. */
const ONCE: readonly OperationKind[] = ['laminate'];

/** Where both are in the route, the second comes later. */
const LATER_BY_KIND: readonly (readonly [OperationKind, OperationKind])[] = [
  ['prepare_model', 'thermoform'],
  ['mount_dummy', 'pull_dummy'],
  ['mount_dummy', 'lay_up'],
  ['pull_dummy', 'inspect_chamber'],
  ['inspect_chamber', 'fit_hardware'],
  ['fit_hardware', 'torque_joints'],
  ['check_lock', 'finish'],
];

/** 'route-bench-unknown' for each operation at a bench that is not in use. */
export const judgeBenches = (
  operations: readonly RouteOperation[],
  inUse: readonly string[],
): Reason[] =>
  operations.flatMap(({ title, bench }, index) =>
    bench === null || inUse.some((each) => isSameBench(each, bench))
      ? []
      : [reason('route-bench-unknown', { operation: title, bench }, `/operations/${index}/bench`)],
  );

const PLANNED_MINUTES: Range = {
  what: 'Planned minutes of an operation',
  least: 1,
  greatest: 1_440,
  unit: 'min',
  usual: '5 to 240 min of somebody’s work; time in which nobody is needed is none',
};

/**
 * Everything against a route for a kind of socket: operations of the other
 * kind, what is missing or there twice, what stands in the wrong order, checks that
 * cannot be answered. Each reason names the operation by its place in the list.
 */
export function judgeRoute(
  socketKind: SocketKind,
  operations: readonly RouteOperation[],
): Reason[] {
  const reasons = operations.flatMap((operation, index) => [
    ...judgeKind(socketKind, operation, index),
    ...judgeChecks(operation, index),
    ...(operation.plannedMinutes === null
      ? []
      : questionRange(
          operation.plannedMinutes,
          PLANNED_MINUTES,
          `/operations/${index}/plannedMinutes`,
        )),
  ]);
  const required = socketKind === 'definitive' ? DEFINITIVE_ORDER : CHECK_ORDER;
  // A dummy that is mounted must come out: no hardware goes in beside it (R6).
  const mounts =
    socketKind === 'definitive' && operations.some((operation) => operation.kind === 'mount_dummy');
  for (const kind of mounts ? [...required, 'pull_dummy' as const] : required) {
    if (!operations.some((operation) => operation.kind === kind)) {
      reasons.push(reason('route-lacks-operation', { socketKind, operation: kind }, '/operations'));
    }
  }
  for (const kind of ONCE) {
    const last = operations.findLastIndex((operation) => operation.kind === kind);
    if (last !== operations.findIndex((operation) => operation.kind === kind)) {
      reasons.push(
        reason('route-operation-twice', { operation: kind }, `/operations/${last}/kind`),
      );
    }
  }
  const orders = [
    ...required.slice(1).map((later, index) => [required[index], later] as const),
    ...LATER_BY_KIND,
  ];
  for (const [earlier, later] of orders) {
    const first = operations.findLastIndex((operation) => operation.kind === earlier);
    const second = operations.findIndex((operation) => operation.kind === later);
    if (earlier !== undefined && first > second && second >= 0) {
      reasons.push(
        reason('route-order-wrong', { operation: later, after: earlier }, `/operations/${second}`),
      );
    }
  }
  return reasons;
}

function judgeKind(socketKind: SocketKind, operation: RouteOperation, index: number): Reason[] {
  const sockets: readonly SocketKind[] = OPERATION_KINDS[operation.kind].sockets;
  if (sockets.includes(socketKind)) return [];
  return [
    reason(
      'route-operation-misplaced',
      { operation: operation.kind, socketKind },
      `/operations/${index}/kind`,
    ),
  ];
}

function judgeChecks(operation: RouteOperation, index: number): Reason[] {
  const seen = new Set<string>();
  return operation.checks.flatMap((check, at) => {
    const field = `/operations/${index}/checks/${at}`;
    const against: Reason[] = [];
    if (seen.has(check.key)) {
      against.push(
        reason('route-check-twice', { operation: operation.title, key: check.key }, `${field}/key`),
      );
    }
    seen.add(check.key);
    if (check.kind === 'measured') {
      const { min, max } = check;
      const upsideDown = min !== null && max !== null && min > max;
      if (upsideDown || (min === null && max === null)) {
        against.push(reason('route-limits-wrong', { check: check.ask, min, max }, field));
      }
    }
    return against;
  });
}
